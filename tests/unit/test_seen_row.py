"""The ways of the water, as rules ask for them, on a small circuit with a branch, a loop and two openings."""

from __future__ import annotations

import netsolve
from netsolve.contract.seen_row import SeenRow
from netsolve.judging.seeing import seen
from netsolve.judging.verdicts import with_verdicts

TEXT = """format: 1
circuit: of a test
water: {kind: custom, density: 1000 kg/m3, viscosity: 1 mPa.s}
joints:
  sea: {type: sea_inlet, height: -0.5 m, losses: none}
  meet: {type: manifold, height: 0 m}
  again: {type: manifold, height: 0.1 m}
  exhaust: {type: exhaust_injection, height: 0.1 m, losses: none}
  overboard: {type: discharge, height: 0.2 m, losses: none}
runs:
  suction:
    from: sea
    to: meet
    parts:
      - seacock: {type: seacock, bore: 25 mm}
      - strainer: {type: strainer, cv: 20, bore: 25 mm, fitted: STRAINED}
      - pump: {type: impeller_pump, rated_flow: 60 L/min, rated_speed: 2000 rpm, speed: 2000 rpm}
  left: {from: meet, to: again, parts: [{left cooler: {type: heat_exchanger, drop: 5 kPa, at: 30 L/min}}]}
  right: {from: meet, to: again, parts: [{right cooler: {type: heat_exchanger, drop: 5 kPa, at: 30 L/min}}]}
  exhaust run: {from: again, to: exhaust, parts: [{ring: {type: rated_loss, drop: 5 kPa, at: 30 L/min}}]}
  outlet: {from: again, to: overboard, blanked: yes, parts: [{outlet hose: {type: hose, bore: 25 mm, length: 1 m}}]}
"""


def row_of(strained: str = "yes") -> SeenRow:
    result = netsolve.solve(netsolve.loads(TEXT.replace("STRAINED", strained)))
    state = result.states[0]
    return seen(with_verdicts(result.rows[0], state), state, "metric")


ROW = row_of()


def part(name: str, row: SeenRow = ROW):
    return next(each for each in row.parts() if each.name == name)


def test_upstream_is_all_that_the_water_passes_the_nearest_first() -> None:
    assert [each.name for each in ROW.upstream(part("left cooler"))] == ["pump", "strainer", "seacock"]
    ring = [each.name for each in ROW.upstream(part("ring"))]
    assert ring == ["left cooler", "right cooler", "pump", "strainer", "seacock"]


def test_a_walk_goes_no_further_than_what_stops_it() -> None:
    met = ROW.upstream(part("ring"), until=lambda each: "strainer" in each.roles)
    assert [each.name for each in met][-1] == "strainer"


def test_a_walk_says_which_joints_it_came_to() -> None:
    assert ROW.way_to([part("ring")]).joints == ("again", "meet", "sea")
    assert ROW.way_on([part("pump")]).joints == ("meet", "again", "exhaust")


def test_what_stands_before_a_pump_is_its_suction_side() -> None:
    assert ROW.suction == {"seacock", "strainer"}


def test_every_way_between_two_joints_passes_none_twice() -> None:
    ways = {tuple(run.name for run in way) for way in ROW.paths("sea", "exhaust")}
    assert ways == {("suction", "left", "exhaust run"), ("suction", "right", "exhaust run")}


def test_a_siphon_takes_a_shortest_way_to_what_is_low() -> None:
    (way,) = [[run.name for run in way] for name, way in ROW.siphons(0.15).items() if name == "exhaust"]
    assert way == ["suction", "left", "exhaust run"]
    assert list(ROW.siphons(0.05)) == []


def test_what_no_strainer_guards() -> None:
    assert {"left cooler", "right cooler", "pump"} & ROW.unstrained == set()
    assert {"left cooler", "right cooler", "pump"} <= row_of("no").unstrained


def test_a_blanked_run_is_seen_with_its_parts_and_no_way() -> None:
    assert [(run.name, [each.name for each in run.parts]) for run in ROW.blanked] == [("outlet", ["outlet hose"])]
    assert "outlet hose" not in {each.name for each in ROW.parts()}


def test_a_part_shows_what_is_declared_and_nothing_else() -> None:
    pump = part("pump")
    assert (pump.value("rated_speed"), pump.value("curve"), pump.value("wire")) == (2000 / 60, None, None)
    assert pump.value("check") is None
    assert pump.drop < 0


def test_a_part_tells_what_other_settings_would_take() -> None:
    strainer = part("strainer")
    clean, half = strainer.drop_with(blinded=0.0), strainer.drop_with(blinded=0.5)
    assert half / clean == 4.0  # the law: over (1 - blinded) squared
    assert abs(clean - strainer.drop) < 1e-6 * clean
