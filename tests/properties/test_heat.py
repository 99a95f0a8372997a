"""Heat is kept, and no temperature crosses another, whatever circuit it is put into and however it flows there."""

from __future__ import annotations

from dataclasses import dataclass, replace
from functools import cache

import numpy as np
import pytest

from netsolve.answer import answer
from netsolve.assemble import assemble
from netsolve.circuit import Charge, Circuit, Part, Row
from netsolve.component import NO_FLOW, Opening
from netsolve.contract.cooling import Cooling, Oil
from netsolve.contract.waters import SeaWater
from netsolve.heat.stated import rate_of
from netsolve.laws.thermal import ARRANGEMENTS
from netsolve.result import RowResult
from netsolve.solver import Solution
from netsolve.warmed import solve_rows
from tests.properties.random_circuits import random_circuit

LIQUID = SeaWater(temperature=293.15, salinity=35.0)
WATER = 293.15
SEEDS = range(36)


def heated(seed: int) -> Circuit:
    """A random circuit with random heat in a third of its parts, and one to three oils."""
    circuit = random_circuit(seed, tees=seed % 2 == 1)
    draw = np.random.default_rng(10_000 + seed)
    oils = {f"oil {number}": _charge(draw, f"oil {number}") for number in range(int(draw.integers(1, 4)))}
    row = circuit.rows[0]
    parts = {name: _perhaps_cooler(draw, part, list(oils)) for name, part in row.parts.items()}
    warm = replace(row, parts=parts, oils=oils, liquid=LIQUID, water=LIQUID.water())
    return replace(circuit, rows=(warm,))


def _charge(draw: np.random.Generator, name: str) -> Charge:
    oil = Oil(
        volume=float(draw.uniform(0.005, 0.3)),
        heat=float(10 ** draw.uniform(2, 4.5)),
        loss=float(draw.choice([0.0, 8.0, 40.0])),
        air=float(draw.uniform(280, 320)),
        alarm=344.0,
    )
    return Charge(name, oil)


def _perhaps_cooler(draw: np.random.Generator, part: Part, oils: list[str]) -> Part:
    kind = draw.random()
    if kind < 0.12:
        return replace(part, cooling=Cooling(heat=float(10 ** draw.uniform(2, 5))))
    if kind < 0.2:
        return replace(part, cooling=Cooling(ua=float(10 ** draw.uniform(1, 3)), outside=285.0))
    if kind < 0.4:
        arrangement = str(draw.choice(list(ARRANGEMENTS)))
        ua, flow = float(10 ** draw.uniform(0, 4)), float(10 ** draw.uniform(-4.5, -2.5))
        cooling = Cooling(ua=ua, arrangement=arrangement, oil_flow=flow)
        return replace(part, cooling=cooling, cools=str(draw.choice(oils)), count=int(draw.integers(1, 3)))
    return part


@dataclass(frozen=True)
class Case:
    """A random circuit with heat, solved."""

    state: Row
    row: RowResult
    solution: Solution


@cache
def case(seed: int) -> Case:
    circuit = heated(seed)
    warmed = solve_rows(assemble(circuit.rows))
    return Case(circuit.rows[0], answer(circuit, *warmed).rows[0], warmed.solution)


def carried_out(each: Case) -> float:
    """What the water carries out of the circuit above what it brought in, W: by the flows as they were solved."""
    rate, total = float(rate_of(each.state.water)), 0.0
    for place, run in enumerate(each.state.runs.values()):
        flow = float(each.solution.flow[0, place])
        end = run.target.joint if flow > 0 else run.source.joint
        if run.blanked or not isinstance(each.state.places[end].joint, Opening):
            continue
        parts = [each.row.parts[name] for name in run.parts if each.state.parts[name].fitted]
        last = parts[-1 if flow > 0 else 0]
        if last.outlet_temperature is not None:
            total += abs(flow) * rate * (last.outlet_temperature - WATER)
    return total + taken_away(each)


def taken_away(each: Case) -> float:
    """What joints that draw water off carry away, W."""
    rate = float(rate_of(each.state.water))
    drawn = 0.0
    for name, place in each.state.places.items():
        inflow = float(place.joint.inflow())
        temperature = each.row.joints[name].temperature
        if inflow < 0 and temperature is not None:
            drawn -= inflow * rate * (temperature - WATER)
    return drawn


def duties(each: Case) -> tuple[float, float]:
    """What all coolers give to the water, and what moves at all, W."""
    given = [part.duty for part in each.row.parts.values() if part.duty is not None]
    return sum(given), sum(map(abs, given))


@pytest.mark.parametrize("seed", SEEDS)
def test_what_coolers_give_is_what_the_water_carries_out(seed: int):
    each = case(seed)
    if not each.row.settled:
        pytest.fail("did not settle")
    total, moved = duties(each)
    assert carried_out(each) == pytest.approx(total, abs=1e-6 * max(moved, 1.0))


@pytest.mark.parametrize("seed", SEEDS)
def test_what_goes_into_an_oil_comes_out_of_it(seed: int):
    each = case(seed)
    for name, charge in each.state.oils.items():
        oil = each.row.oil(name)
        if oil.plateau is None:
            continue
        out = (oil.cooler_duty or 0.0) + charge.oil.loss * (oil.plateau - charge.oil.air)
        assert out == pytest.approx(charge.oil.heat, rel=1e-6)


@pytest.mark.parametrize("seed", SEEDS)
def test_no_temperatures_cross(seed: int):
    """Water that is cooled by an oil or from outside lies between what it was and what it meets."""
    each = case(seed)
    for name, part in each.row.parts.items():
        state = each.state.parts[name]
        if state.cooling is None or part.outlet_temperature is None or part.inlet_temperature is None:
            continue
        other = each.row.oil(state.cools).plateau if state.cools else state.cooling.outside
        if state.cooling.heat is not None:
            assert part.outlet_temperature >= part.inlet_temperature
        elif other is not None:
            low, high = sorted((part.inlet_temperature, other))
            assert low - 1e-6 <= part.outlet_temperature <= high + 1e-6
            duty = part.duty or 0.0
            assert duty * (other - part.inlet_temperature) >= -1e-6 * abs(duty)


def test_the_random_circuits_have_heat_that_flows():
    """The three tests above would say little of circuits in which nothing is warmed or nothing settles."""
    cases = [case(seed) for seed in SEEDS]
    assert sum(duties(each)[1] > 1000.0 for each in cases) > 24
    oils = [oil for each in cases for oil in each.row.oils.values()]
    assert sum(oil.plateau is not None for oil in oils) > len(oils) / 2
    assert any(abs(part.flow or 0.0) < NO_FLOW for each in cases for part in each.row.parts.values())
