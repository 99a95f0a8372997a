"""Blowing through parts: the way of the breath, across joints too, what passes, and what it tells."""

from __future__ import annotations

import numpy as np
import pytest

import netsolve
from netsolve.circuit import Row
from netsolve.problems import CircuitError
from netsolve.study.diagnosis.blown import likelihood, ratios
from netsolve.study.diagnosis.breath import NoBreathError, Piece, breath
from netsolve.study.diagnosis.diagnose import diagnose
from netsolve.study.diagnosis.fault import Fault, faults
from netsolve.study.diagnosis.probe import BLOWN, Situation
from netsolve.study.diagnosis.read import read_text
from netsolve.study.diagnosis.rows import row_of
from tests.commands import CIRCUITS, POT_HAULER

LAUNCH = netsolve.load(CIRCUITS / "two_coolers.yaml")
BOAT = netsolve.load(POT_HAULER)

RING = """
format: 1
circuit: two ways from one hose to the other
water: {kind: sea}
joints:
  sea:   {type: sea_inlet, height: -0.5 m, bore: 25 mm}
  fork:  {type: manifold, height: 0 m}
  meet:  {type: manifold, height: 0 m}
  spout: {type: discharge, height: 0.3 m, bore: 16 mm}
runs:
  supply: {from: sea, to: fork, parts: [{feed: {type: hose, bore: 20 mm, length: 1 m}}]}
  left:  {from: fork, to: meet, parts: [{left hose: {type: hose, bore: 16 mm, length: 1 m}}]}
  right: {from: meet, to: fork, parts: [{right hose: {type: hose, bore: 16 mm, length: 1 m}}]}
  away:  {from: meet, to: spout, parts: [{tail: {type: hose, bore: 20 mm, length: 1 m}}]}
"""
PUMP = "{lift: {type: impeller_pump, rated_flow: 20 L/min, rated_speed: 1500 rpm, speed: 1500 rpm}}"


def launch(condition: str = "full") -> Row:
    return row_of(LAUNCH, Situation(condition))


def fault(row: Row, name: str) -> Fault:
    return next(each for each in faults(row, 13) if each.name == name)


def word(row: Row, names: tuple[str, str], wrong: Fault) -> str:
    """The likeliest word where the fault is whole; of those that say as much the one that says more."""
    passing = ratios(row, names, wrong)[-1]
    return max(reversed(BLOWN), key=lambda each: round(float(likelihood(each, passing)), 2))


def pieces(row: Row, *names: str) -> list[Piece]:
    """The way of a breath, but for what may be stuck."""
    return [(name, sense) for name, sense in breath(row, names) if not name.startswith("plug: ")]


def test_the_breath_goes_from_run_to_run_by_the_joint_between_them():
    assert [("feed hose", 1.0), ("winch hose", 1.0)] == pieces(launch(), "feed hose", "winch hose")
    assert [("winch hose", -1.0), ("feed hose", -1.0)] == pieces(launch(), "winch hose", "feed hose")
    valve_to_cooler = ["isolating valve", "feed hose", "gearbox hose", "gearbox cooler"]
    assert valve_to_cooler == [name for name, _ in pieces(launch(), "isolating valve", "gearbox cooler")]


def test_the_breath_goes_up_one_branch_and_down_another():
    up, down = ["winch return", "winch cooler", "winch hose"], ["gearbox hose", "gearbox cooler", "gearbox return"]
    expected = [*((name, -1.0) for name in up), *((name, 1.0) for name in down)]
    assert expected == pieces(launch(), "winch return", "gearbox return")


def test_what_may_be_stuck_in_either_end_is_in_the_way():
    names = {name for name, _ in breath(launch(), ("winch hose", "gearbox hose"))}
    assert {"plug: winch hose", "plug: gearbox hose"} <= names


def test_what_lies_outside_of_the_two_is_not_in_the_way():
    row, names = launch(), ("feed hose", "winch hose")
    assert "blocked" == word(row, names, fault(row, "feed hose: plugged"))
    assert "blocked" == word(row, names, fault(row, "winch hose: plugged"))
    for outside in ("isolating valve: plugged", "winch return: plugged", "gearbox hose: plugged"):
        assert "open" == word(row, names, fault(row, outside))


def test_the_ways_back_and_forth_are_each_other_s():
    row = launch()
    for wrong in (fault(row, "winch hose: plugged"), fault(row, "gearbox hose: plugged")):
        there = ratios(row, ("winch cooler", "gearbox cooler"), wrong)
        back = ratios(row, ("gearbox cooler", "winch cooler"), wrong)
        np.testing.assert_allclose(there, back[:, ::-1])


def test_a_check_valve_on_the_way_lets_a_breath_through_as_it_is_fitted():
    """From the cooler's end of the branch up to the tee it holds, and so it does from the tee where it is backwards."""
    row = row_of(BOAT, Situation("cruise", "screen and check valve"))
    backwards, sound = fault(row, "check valve: backwards"), faults(row, 13)[0]
    assert "other way" == word(row, ("oil cooler", "engine cooler"), sound)
    assert "one way" == word(row, ("engine cooler", "oil cooler"), sound)
    assert "one way" == word(row, ("oil cooler", "engine cooler"), backwards)


def no_breath(text: str, *names: str) -> NoBreathError:
    with pytest.raises(NoBreathError) as raised:
        breath(row_of(netsolve.loads(text), Situation("as written")), names)
    return raised.value


def test_two_ways_are_told_and_a_pump_leaves_one():
    assert "two-ways" == no_breath(RING, "feed", "tail").code
    one = RING.replace("{right hose:", f"{PUMP}, {{right hose:")
    row = row_of(netsolve.loads(one), Situation("as written"))
    assert [("feed", 1.0), ("left hose", 1.0), ("tail", 1.0)] == pieces(row, "feed", "tail")
    held = RING.replace("right: {", "right: {blanked: yes, ")
    row = row_of(netsolve.loads(held), Situation("as written"))
    assert [("feed", 1.0), ("left hose", 1.0), ("tail", 1.0)] == pieces(row, "feed", "tail")


def test_two_ways_from_a_part_between_two_joints_are_told():
    assert "two-ways" == no_breath(RING, "left hose", "right hose").code


def test_pumps_in_all_ways_are_told_and_so_is_no_way():
    both = RING.replace("{right hose:", f"{PUMP}, {{right hose:").replace(
        "{left hose:", f"{PUMP.replace('lift', 'second')}, {{left hose:"
    )
    assert "pump-in-the-way" == no_breath(both, "feed", "tail").code
    apart = RING.replace("meet:  {type: manifold, height: 0 m}", "meet:  {type: tank, level: 0 m}")
    error = no_breath(apart, "feed", "tail")
    assert ("no-way", True) == (error.code, "nothing but parts and joints" in error.help)


def test_a_reading_that_cannot_be_is_refused_where_it_stands():
    with pytest.raises(CircuitError) as raised:
        read_text("readings:\n  - {blow: [feed, tail], found: open}\n", netsolve.loads(RING), "read.yaml")
    (problem,) = raised.value.problems
    assert ("two-ways", 2, 12) == (problem.code, problem.at and problem.at.line, problem.at and problem.at.column)


def test_blowing_across_a_joint_tells_the_feed_from_what_lies_before_it():
    """Both legs starved: somewhere from the tee to the header. A breath through its hose into a leg is stopped."""
    lines = [
        "bucket: gearbox leg, condition: full, volume: 1 L, took: 40 s",
        "bucket: winch leg, condition: full, volume: 1 L, took: 90 s",
    ]

    def chances(*more: str) -> dict[str, float]:
        text = "readings:\n" + "".join(f"  - {{{each}}}\n" for each in (*lines, *more))
        return {each.name: each.probability for each in diagnose(LAUNCH, read_text(text, LAUNCH)).ranking.suspects}

    blocked = chances("blow: [feed hose, winch hose], found: blocked")
    through = chances("blow: [feed hose, winch hose], found: open")
    feed, before = "feed hose: plugged", "isolating valve: plugged"
    assert blocked[feed] > 5 * blocked[before]
    assert through[before] > 5 * through[feed]
