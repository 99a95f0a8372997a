"""Pressure lines against what follows from the balance of energy alone."""

from __future__ import annotations

from itertools import pairwise
from math import pi

import pytest

import netsolve
from netsolve.result import Result
from netsolve.study.pressure_line import Step, along, lowest, ways

GRAVITY, DENSITY = 9.80665, 1000.0
SIPHON = """format: 1
circuit: a siphon with a branch
water: {kind: custom, density: 1000 kg/m3, viscosity: 1 mPa.s}
joints:
  upper: {type: tank, level: 2 m}
  fork: {type: manifold, height: 3 m}
  lower: {type: tank, level: 0 m}
  side: {type: tank, level: 1 m}
runs:
  up: {from: upper, to: fork, parts: [{rise: {type: loss, k: 4, bore: 50 mm, height: 3 m}}]}
  down: {from: fork, to: lower, parts: [{fall: {type: loss, k: 4, bore: 50 mm, height: 0.5 m}}]}
  over: {from: side, to: fork, parts: [{valve: {type: loss, k: 400, bore: 20 mm, height: 1 m}}]}
"""


@pytest.fixture(scope="module")
def siphon() -> Result:
    return netsolve.solve(netsolve.loads(SIPHON))


def steps_of(result: Result) -> list[tuple[tuple[str, ...], tuple[Step, ...]]]:
    row, state = result.rows[0], result.states[0]
    shown = frozenset(state.parts)
    return [(tuple(run for run, _ in way.runs), along(way, row, state, shown=shown)) for way in ways(row, state)]


def test_each_way_leads_from_opening_to_opening_and_together_through_every_run(siphon: Result) -> None:
    found = {runs: [step.name for step in steps] for runs, steps in steps_of(siphon)}
    side = siphon.rows[0].run("over").flow or 0.0
    onwards = ["side", "valve", "fork", "fall", "lower"] if side > 0 else ["upper", "rise", "fork", "valve", "side"]
    assert ["upper", "rise", "fork", "fall", "lower"] == found["up", "down"]
    assert onwards in found.values()


def test_total_head_falls_by_each_parts_loss_and_starts_and_ends_near_the_levels(siphon: Result) -> None:
    (_, steps), _ = steps_of(siphon)
    points = {step.name: (step.first, step.last) for step in steps}
    for name, run in (("rise", "up"), ("fall", "down")):
        speed = (siphon.rows[0].run(run).flow or 0.0) / (pi / 4 * 0.05**2)
        first, last = points[name]
        assert first is not None
        assert last is not None
        assert first.head - last.head == pytest.approx(
            4 * speed**2 / (2 * GRAVITY), rel=2e-4
        )  # a K is a little laminar
    entrance, leaving = points["upper"][0], points["lower"][1]
    assert entrance is not None
    assert leaving is not None
    assert 0 <= 2 - entrance.head < 0.5  # less the entrance's loss
    assert 0 <= leaving.head  # the exit's is still to come


def test_static_head_is_total_head_less_velocity_head_and_pressure_is_its_excess_over_the_height(
    siphon: Result,
) -> None:
    for _, steps in steps_of(siphon):
        for step in steps:
            if step.joint:
                continue
            speed = siphon.rows[0].part(step.name).velocity or 0.0
            for point in (step.first, step.last):
                assert point is not None
                assert point.static is not None
                assert point.head - point.static == pytest.approx(speed**2 / (2 * GRAVITY), rel=1e-9)
                assert point.pressure == pytest.approx(DENSITY * GRAVITY * (point.static - point.height), abs=1e-6)


def test_the_lowest_is_at_the_top_of_the_siphon(siphon: Result) -> None:
    (_, steps), _ = steps_of(siphon)
    least = lowest(steps)
    assert least is not None
    assert least[0] < -DENSITY * GRAVITY * 1.0  # the top is a metre above the upper level
    assert least[1] in ("rise", "fork")  # which meet at the top


def test_water_that_runs_against_a_run_is_followed_the_way_it_runs() -> None:
    turned = SIPHON.replace("from: fork, to: lower", "from: lower, to: fork, direction: either")
    (runs, steps), _ = steps_of(netsolve.solve(netsolve.loads(turned)))
    assert ("up", "down") == runs
    assert ["upper", "rise", "fork", "fall", "lower"] == [step.name for step in steps]
    heads = [point.head for step in steps for point in (step.first, step.last) if point]
    assert all(after <= before + 1e-9 for before, after in pairwise(heads))
