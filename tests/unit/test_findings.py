"""Verdicts and the findings that follow from them, on circuits small enough to reckon by hand."""

from __future__ import annotations

import pytest

import netsolve
from netsolve.problems import Finding
from netsolve.read import VERDICT_CODES
from netsolve.result import RowResult

GRAVITY = 9.80665
DENSITY = 1000.0
"""m/s2, kg/m3: standard gravity; the water below is written with this density."""

PIPE = """format: 1
circuit: one pipe
water: {kind: custom, density: 1000 kg/m3, viscosity: 1 mPa s}
joints:
  tank: {type: tank, level: 2 m}
  spout: {type: discharge, height: 0 m, bore: 16 mm}
runs:
  pipe:
    from: tank
    to: spout
    parts:
      - cock: {type: seacock, bore: 16 mm}
      - hose: {type: hose, bore: 16 mm, length: 5 m}
"""


def solved(text: str, change: str = "as found") -> RowResult:
    row = netsolve.solve(netsolve.loads(text))["as written", change]
    assert row.settled
    return row


def spoken(row: RowResult) -> list[Finding]:
    """The findings of a row that no rule of the trade has made."""
    return [each for each in row.findings if each.code in VERDICT_CODES]


def only(row: RowResult) -> Finding:
    """The one finding of a row that no rule of the trade has made."""
    (finding,) = spoken(row)
    return finding


def edited(old: str, new: str, text: str = PIPE) -> str:
    assert text.count(old) == 1
    return text.replace(old, new)


def with_need(**needs: float) -> str:
    """The pipe whose hose wants a share of what it gets without a need."""
    flow = solved(PIPE).run("pipe").flow
    assert flow is not None
    written = "".join(f", {name}: {share * flow * 6e4:.9g} L/min" for name, share in needs.items())
    return edited("length: 5 m}", f"length: 5 m{written}}}")


@pytest.mark.parametrize(
    ("needs", "verdict", "severity"),
    [
        ({"min_flow": 1.01}, "starved", "fault"),
        ({"min_flow": 1.0 / 1.01}, "marginal", "note"),
        ({"min_flow": 1.0 / 1.14}, "marginal", "note"),
        ({"min_flow": 1.0 / 1.16}, "served", None),
        ({"max_flow": 1.01}, "served", None),
        ({"max_flow": 0.99}, "overfed", "wear"),
        ({"min_flow": 0.95, "max_flow": 0.99}, "overfed", "wear"),
        ({"min_flow": 0.5, "max_flow": 1.5}, "served", None),
    ],
)
def test_a_need_is_judged_by_the_flow_and_marginal_is_within_15_per_cent(
    needs: dict[str, float], verdict: str, severity: str | None
) -> None:
    row = solved(with_need(**needs))
    assert (row.part("hose").verdict, row.run("pipe").verdict) == (verdict, verdict)
    if severity is None:
        assert spoken(row) == []
        return
    finding = only(row)
    assert (finding.code, finding.severity, finding.about) == (verdict, severity, "hose")
    assert finding.value == row.part("hose").flow
    assert finding.at is not None
    assert (finding.at.line, finding.at.column) == (13, 9)


def test_a_part_without_a_need_has_no_verdict() -> None:
    row = solved(PIPE)
    assert (row.part("hose").verdict, row.run("pipe").verdict, spoken(row)) == (None, None, [])


def test_a_starved_part_is_told_in_both_systems_with_who_takes_the_most() -> None:
    message = only(solved(with_need(min_flow=1.25))).message
    assert message.startswith("hose gets ")
    assert " L/min (" in message
    assert " gpm)" in message
    assert "hose takes " in message.partition(": starved; ")[2]


@pytest.mark.parametrize("litres", ["", ", min_flow: 3 L/min"])
def test_a_closed_cock_shuts_its_run_a_fault_only_where_something_is_wanted(litres: str) -> None:
    text = edited("bore: 16 mm, length: 5 m}", f"bore: 16 mm, length: 5 m{litres}}}")
    row = solved(edited("{type: seacock, bore: 16 mm}", "{type: seacock, bore: 16 mm, shut: closed}", text))
    assert (row.run("pipe").verdict, row.part("hose").verdict, row.run("pipe").flow) == ("shut", "shut", 0.0)
    finding = only(row)
    assert (finding.code, finding.severity) == ("shut", "fault" if litres else "note")
    assert "cock is closed" in finding.message


def test_a_blanked_run_is_shut_and_needs_are_missed() -> None:
    text = with_need(min_flow=0.5) + "changes: {closed: {blank: pipe}}\n"
    row = solved(text, "closed")
    assert (row.run("pipe").verdict, row.run("pipe").flow, row.part("hose").verdict) == ("shut", None, "shut")
    assert (only(row).code, only(row).severity) == ("shut", "fault")
    assert "blanked" in only(row).message


def test_a_dry_run_lacks_the_height_that_the_water_cannot_climb() -> None:
    row = solved(edited("type: discharge, height: 0 m", "type: discharge, height: 3.5 m"))
    run = row.run("pipe")
    assert (run.verdict, run.flow) == ("dry", 0.0)
    assert run.missing == pytest.approx(DENSITY * GRAVITY * 1.5, rel=1e-3)  # hydrostatics: ρ g times 3.5 m - 2 m
    finding = only(row)
    assert (finding.code, finding.severity, finding.unit) == ("dry", "fault", "Pa")
    assert "14.7 kPa (2.13 psi), or 1.5 m of water, are missing" in finding.message


def test_a_run_against_its_direction_is_reversed_unless_either_is_allowed() -> None:
    tanks = edited("{type: discharge, height: 0 m, bore: 16 mm}", "{type: tank, level: 3 m}")
    row = solved(tanks)
    flow = row.run("pipe").flow
    assert flow is not None
    assert flow < 0
    assert (row.run("pipe").verdict, only(row).code, only(row).severity) == ("reversed", "reversed", "fault")
    assert "from spout to tank" in only(row).message.replace(".pipe", "").replace(".end", "")
    either = solved(edited("    to: spout\n", "    to: spout\n    direction: either\n", tanks))
    assert (either.run("pipe").verdict, spoken(either)) == (None, [])
    assert either.run("pipe").flow == pytest.approx(flow)


SUCTION = """format: 1
circuit: a side outlet before the pump
water: {kind: custom, density: 1000 kg/m3, viscosity: 1 mPa s}
joints:
  tank: {type: tank, level: 0 m}
  meet: {type: manifold, height: 0.5 m}
  side: {type: discharge, height: 0.5 m, bore: 16 mm}
  spout: {type: discharge, height: 0.5 m, bore: 25 mm}
runs:
  suction: {from: tank, to: meet, parts: [hose: {type: hose, bore: 25 mm, length: 2 m}]}
  pressure:
    from: meet
    to: spout
    parts:
      - pump: {type: impeller_pump, rated_flow: 30 L/min, rated_speed: 1500 rpm, speed: 1500 rpm}
  branch: {from: meet, to: side, parts: [tail: {type: hose, bore: 16 mm, length: 1 m, min_flow: 1 L/min}]}
"""


def test_an_outlet_where_the_pump_sucks_would_draw_air() -> None:
    row = solved(SUCTION)
    meet = row.joint("meet").ports["branch"].total_pressure
    assert meet < -DENSITY * GRAVITY * 0.5  # the water is lifted half a metre, and moves
    assert row.run("branch").verdict == "reversed"
    finding = next(each for each in row.findings if each.code == "draws_air")
    assert (finding.severity, finding.about) == ("fault", "tail")
    assert "would draw air in at side" in finding.message


def test_the_worst_comes_first() -> None:
    order = ("danger", "fault", "wear", "note")
    row = solved(SUCTION.replace("length: 2 m}", "length: 2 m, max_flow: 1 L/min}"))
    severities = [each.severity for each in row.findings]
    assert {"fault", "wear"} <= set(severities)
    assert severities == sorted(severities, key=order.index)


def test_limits_silence_a_verdicts_finding_but_not_the_verdict() -> None:
    row = solved(with_need(min_flow=1.25) + "limits: {starved: off}\n")
    assert (row.part("hose").verdict, spoken(row)) == ("starved", [])


def test_limits_move_a_rules_threshold() -> None:
    step = edited("bore: 16 mm, length: 5 m}", "bore: 14 mm, length: 5 m}")  # a ratio of 0.875
    codes = [{each.code for each in solved(text).findings} for text in (step, step + "limits: {bore_step: 0.9}\n")]
    assert codes[1] - codes[0] == {"bore_step"}


def test_a_run_has_the_worst_verdict_of_its_parts() -> None:
    text = with_need(min_flow=1.25)
    flow = solved(PIPE).run("pipe").flow
    assert flow is not None
    half = f"{flow * 3e4:.6g} L/min"
    row = solved(edited("{type: seacock, bore: 16 mm}", f"{{type: seacock, bore: 16 mm, min_flow: {half}}}", text))
    assert [row.part(name).verdict for name in ("cock", "hose")] == ["served", "starved"]
    assert row.run("pipe").verdict == "starved"
