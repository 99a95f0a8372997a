"""Every verdict at its boundary, in circuits whose answer is known in closed form."""

from __future__ import annotations

import pytest

import netsolve
from netsolve.read import VERDICT_CODES
from netsolve.water import GRAVITY

DENSITY = 1000.0
PSI = 6894.757293168361
HEAD = """
format: 1
circuit: a tank, a branch
water: {kind: custom, density: 1000 kg/m3, viscosity: 1 mPa.s}
"""


def row(joints: str, runs: str, more: str = ""):
    return netsolve.solve(netsolve.loads(f"{HEAD}{more}\njoints:\n{joints}\nruns:\n{runs}\n")).rows[0]


def spoken(answer):
    """The findings that no rule of the trade has made."""
    return [each for each in answer.findings if each.code in VERDICT_CODES]


def from_tank(pressure_pa: float, parts: str, *, end: str = "{type: discharge, height: 0 m, losses: none}"):
    """A tank at this pressure, a run of these parts, an end."""
    joints = f"  tank: {{type: tank, level: 0 m, pressure: {pressure_pa!r} Pa, losses: none}}\n  end of it: {end}"
    return row(joints, f"  branch: {{from: tank, to: end of it, parts: [{parts}]}}")


def rated(flow_l_min: float = 10.0, need: str = "") -> str:
    """1 kPa at this flow, so that a driving pressure of 1 kPa gives just that."""
    return f"{{coil: {{type: rated_loss, drop: 1 kPa, at: {flow_l_min} L/min, bore: 16 mm{need}}}}}"


@pytest.mark.parametrize(
    ("need", "verdict"),
    [
        ("min_flow: 10.01 L/min", "starved"),
        ("min_flow: 9.9 L/min", "marginal"),
        ("min_flow: 8.7 L/min", "marginal"),
        ("min_flow: 8.69 L/min", "served"),
        ("max_flow: 9.9 L/min", "overfed"),
        ("max_flow: 10.1 L/min", "served"),
        ("min_flow: 9.9 L/min, max_flow: 9.95 L/min", "overfed"),
    ],
)
def test_a_need_is_judged_by_the_flow(need: str, verdict: str):
    answer = from_tank(1e3, rated(need=f", {need}"))
    assert 10.0 == pytest.approx(answer.part("coil").flow * 60_000, rel=1e-3)
    assert (verdict, verdict) == (answer.part("coil").verdict, answer.run("branch").verdict)


def test_a_part_without_a_need_has_no_verdict():
    answer = from_tank(1e3, rated())
    assert (None, None) == (answer.part("coil").verdict, answer.run("branch").verdict)
    assert [] == spoken(answer)


VALVE = "{valve: {type: check_valve, style: spring, bore: 16 mm, cracking: 1 psi, k: 6}}"


def test_a_valve_of_1_psi_over_a_branch_of_0_9_psi_passes_nothing():
    answer = from_tank(0.9 * PSI, f"{rated()}, {VALVE}")
    assert 0.0 == answer.run("branch").flow
    assert "dry" == answer.run("branch").verdict
    assert 0.1 * PSI == pytest.approx(answer.run("branch").missing, rel=1e-3)


def test_the_same_valve_over_1_1_psi_passes_what_a_tenth_drives():
    answer = from_tank(1.1 * PSI, VALVE)
    speed = (0.1 * PSI / (6 * DENSITY / 2)) ** 0.5
    assert speed * 3.141592653589793 / 4 * 0.016**2 == pytest.approx(answer.run("branch").flow, rel=2e-3)
    assert "open" == answer.part("valve").status or "cracking" == answer.part("valve").status


def test_two_valves_face_to_face_pass_nothing_either_way():
    facing = VALVE.replace("valve:", "other:", 1).replace("k: 6", "k: 6, backwards: yes")
    for pressure in (50e3, -50e3):
        end = "{type: tank, level: 0 m, losses: none}"
        assert 0.0 == from_tank(pressure, f"{VALVE}, {facing}", end=end).run("branch").flow


def test_a_closed_seacock_is_shut_and_named():
    answer = from_tank(
        20e3, f"{rated(need=', min_flow: 1 L/min')}, {{seacock: {{type: seacock, bore: 16 mm, shut: closed}}}}"
    )
    assert (0.0, "shut") == (answer.run("branch").flow, answer.run("branch").verdict)
    assert [("shut", "fault")] == [(each.code, each.severity) for each in spoken(answer)]
    assert "seacock is closed" in spoken(answer)[0].message


def test_a_stopped_impeller_pump_is_shut():
    pump = "{pump: {type: impeller_pump, rated_flow: 50 L/min, rated_speed: 2000 rpm, running: no}}"
    answer = from_tank(0.0, pump, end="{type: tank, level: 0 m, losses: none}")
    assert (0.0, "shut") == (answer.run("branch").flow, answer.run("branch").verdict)


def test_what_cannot_be_lifted_is_dry_and_says_what_is_missing():
    answer = from_tank(5e3, rated(need=", min_flow: 1 L/min"), end="{type: discharge, height: 1 m, losses: none}")
    missing = DENSITY * GRAVITY * 1.0 - 5e3
    assert (0.0, "dry") == (answer.run("branch").flow, answer.run("branch").verdict)
    assert missing == pytest.approx(answer.run("branch").missing, rel=1e-3)
    assert "4.81 kPa" in answer.findings[0].message
    assert "490 mm of water" in answer.findings[0].message


SUCTION = """\
  sea: {type: sea_inlet, height: -0.5 m, losses: none}
  tee: {type: manifold, height: 0 m}
  exhaust: {type: discharge, height: 0.3 m, losses: none}
  overboard: {type: discharge, height: 0.2 m, losses: none}"""


def test_a_branch_on_the_suction_side_would_draw_air():
    runs = """\
  inlet: {from: sea, to: tee, parts: [{strainer: {type: rated_loss, drop: 10 kPa, at: 50 L/min}}]}
  engine: {from: tee, to: exhaust, parts: [{pump: {type: impeller_pump, rated_flow: 50 L/min, rated_speed: 2000 rpm, speed: 2000 rpm}}]}
  branch: {from: tee, to: overboard, parts: [{hose: {type: hose, bore: 16 mm, length: 2 m, min_flow: 5 L/min}}]}"""
    answer = row(SUCTION, runs)
    assert (0.0, "reversed") == (answer.run("branch").flow, answer.run("branch").verdict)
    assert "draws_air" in {each.code for each in answer.findings}
    assert answer.run("inlet").flow == pytest.approx(answer.run("engine").flow, abs=1e-9)


def backwards(direction: str):
    joints = "  high: {type: tank, level: 1 m, losses: none}\n  low: {type: tank, level: 0 m, losses: none}"
    return row(joints, f"  link: {{from: low, to: high, direction: {direction}, parts: [{rated()}]}}")


def test_a_run_against_its_parts_is_reversed():
    answer = backwards("forward")
    assert answer.run("link").flow < 0
    assert ("reversed", "reversed") == (answer.run("link").verdict, answer.part("coil").verdict)
    assert "runs backwards" in answer.findings[0].message


def test_a_run_that_may_go_either_way_never_is():
    assert None is backwards("either").run("link").verdict


def test_a_blanked_run_carries_nothing_and_is_told_so_where_something_needs_it():
    joints = "  tank: {type: tank, level: 1 m, losses: none}\n  out of it: {type: discharge, height: 0 m, losses: none}"
    answer = row(
        joints, f"  link: {{from: tank, to: out of it, blanked: yes, parts: [{rated(need=', min_flow: 1 L/min')}]}}"
    )
    assert (None, "shut") == (answer.run("link").flow, answer.run("link").verdict)
    assert ["shut"] == [each.code for each in spoken(answer)]


def test_a_run_has_the_worst_verdict_of_its_parts():
    parts = ", ".join(
        rated(need=f", min_flow: {least} L/min").replace("coil:", f"coil {least}:", 1) for least in (1, 6, 9)
    )
    answer = from_tank(3e3, parts)
    assert ["served", "served", "marginal"] == [each.verdict for each in answer.parts.values()]
    assert "marginal" == answer.run("branch").verdict


NEEDS = {
    "starved": "min_flow: 10.5 L/min",
    "marginal": "min_flow: 9.5 L/min",
    "overfed": "max_flow: 9.5 L/min",
    "served": "min_flow: 5 L/min",
}


@pytest.mark.parametrize("worst", range(4))
def test_starved_is_worse_than_marginal_than_overfed_than_served(worst: int):
    expected = list(NEEDS)[worst:]
    parts = [rated(need=f", {NEEDS[each]}").replace("coil:", f"{each} coil:", 1) for each in expected]
    answer = from_tank(1e3 * len(parts), ", ".join(reversed(parts)))
    assert expected == [answer.part(f"{each} coil").verdict for each in expected]
    assert expected[0] == answer.run("branch").verdict


def test_a_feed_into_a_closed_place_is_told_as_a_danger():
    joints = "  feed: {type: fixed_flow, flow: 5 L/min}\n  tank: {type: tank, level: 0 m, losses: none}"
    runs = "  link: {from: feed, to: tank, parts: [{valve: {type: seacock, bore: 16 mm, shut: closed}}]}"
    answer = row(joints, runs)
    assert ("trapped", "danger") == (answer.findings[0].code, answer.findings[0].severity)


def test_a_pipe_between_two_like_pressures_is_at_rest_and_not_dry():
    """A header tank's pipe fills a closed loop and carries nothing: in a loop without a leak nothing can pass."""
    (row,) = netsolve.solve(netsolve.loads(LOOP))
    filling = row.runs["filling"]
    assert 0.0 == filling.flow
    assert filling.verdict is None
    assert row.runs["go"].flow > 0


LOOP = """
format: 1
water: {kind: fresh}
joints:
  header: {type: tank, level: 0.8 m}
  low: {type: tee, bore: 32 mm, branch_bore: 16 mm, height: 0 m}
  high: {type: manifold, height: 0.3 m}
runs:
  filling: {from: header, to: low.branch, parts: [{fill hose: {type: hose, bore: 16 mm, length: 1 m}}]}
  go: {from: low.straight, to: high, parts: [{pump: {type: centrifugal_pump, shutoff: 6 m, open_flow: 120 L/min}}]}
  back: {from: high, to: low.common, parts: [{keel pipe: {type: tube, bore: 32 mm, length: 3 m}}]}
"""


def test_a_run_above_a_standing_pump_is_dry_and_draws_no_air():
    (row,) = netsolve.solve(netsolve.loads(STANDING.format(speed="0 rpm")))
    assert "dry" == row.part("cooler").verdict
    assert "draws_air" not in {each.code for each in row.findings}


STANDING = """
format: 1
joints:
  sea: {{type: sea_inlet, bore: 32 mm, height: -0.3 m}}
  middle: {{type: manifold, height: 0.4 m}}
  exhaust: {{type: exhaust_injection, height: 0.5 m, bore: 25 mm}}
runs:
  suction:
    from: sea
    to: middle
    parts: [{{pump: {{type: impeller_pump, speed: {speed}, rated_flow: 40 L/min, rated_speed: 3000 rpm}}}}]
  on:
    from: middle
    to: exhaust
    parts: [{{cooler: {{type: heat_exchanger, drop: 10 kPa, at: 60 L/min, min_flow: 20 L/min}}}}]
"""
