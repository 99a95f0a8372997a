"""Water that is warmed is thinner: flows and temperatures found together are those of a reckoning of our own."""

from __future__ import annotations

import fluids
import numpy as np
import pytest
from chemicals.iapws import iapws95_rho
from chemicals.viscosity import mu_IAPWS
from scipy.optimize import brentq

import netsolve
from netsolve import warmed
from netsolve.assemble import assemble
from netsolve.circuit import Circuit, Row
from netsolve.result import RowResult
from netsolve.solver import solve
from netsolve.study.many import solve_many
from netsolve.water import sea_water
from tests.properties.test_heat import heated

LINE = """
format: 1
circuit: a cooler and a hose between two tanks on a survey launch
water: {kind: fresh, temperature: 20 degC}
joints:
  high: {type: tank, level: LEVEL, losses: none}
  low: {type: tank, level: 0 m, losses: none}
runs:
  line:
    from: high
    to: low
    parts:
      - cooler: {type: heat_exchanger, drop: 1 kPa, at: 10 L/min, heat: HEAT}
      - hose: {type: hose, bore: 16 mm, length: 12 m, roughness: 0.01 mm}
"""
DENSITY, CAPACITY = 998.207, 4184.1
"""Fresh water at 20 degC: IAPWS SR6-08, as tabled."""


def line(level: str, heat: str, water: str = "{kind: fresh, temperature: 20 degC}") -> Circuit:
    text = LINE.replace("LEVEL", level).replace("HEAT", heat)
    return netsolve.loads(text.replace("{kind: fresh, temperature: 20 degC}", water))


def only(circuit: Circuit) -> RowResult:
    (row,) = netsolve.solve(circuit).rows
    assert row.settled
    return row


def by_hand(level: float, heat: float) -> tuple[float, float]:
    """Flow (m3/s, of what comes in) and temperature (K) behind the cooler: Churchill's friction, IAPWS's water there."""

    def warmth(flow: float) -> float:
        return 293.15 + heat / (DENSITY * CAPACITY * flow)

    def left(flow: float) -> float:
        temperature = min(warmth(flow), 373.0)
        density = iapws95_rho(temperature, 101325.0)
        speed = flow * DENSITY / density / (np.pi / 4 * 0.016**2)
        reynolds = density * speed * 0.016 / mu_IAPWS(temperature, density)
        factor = fluids.friction.Churchill_1977(reynolds, 0.01 / 16)
        cooler = 1e3 * (flow / (10e-3 / 60)) ** 2
        return float(cooler + factor * 12.0 / 0.016 * density * speed**2 / 2 - DENSITY * 9.80665 * level)

    flow = float(brentq(left, 1e-6, 1e-2, xtol=1e-14))
    return flow, warmth(flow)


@pytest.mark.parametrize(("level", "heat"), [(2.0, 14e3), (0.5, 9e3), (0.02, 1.2e3), (2.0, 0.5e3)])
def test_the_flow_through_a_hose_behind_a_cooler_is_that_of_warm_water(level: float, heat: float):
    # Source: Churchill (1977) as in the fluids library; viscosity IAPWS R12-08 and density IAPWS-95 as in the chemicals
    # library. What the columns of water weigh is that of the water that comes in, on both sides.
    row = only(line(f"{level} m", f"{heat} W"))
    flow, temperature = by_hand(level, heat)
    assert row.run("line").flow == pytest.approx(flow, rel=3e-4)
    warm = row.part("hose").inlet_temperature
    assert warm is not None
    assert warm - 293.15 == pytest.approx(temperature - 293.15, rel=3e-4)


def test_warm_water_flows_better_than_cold_water():
    flows = [only(line("2 m", heat)).run("line").flow for heat in ("1 W", "14 kW")]
    assert flows[0] is not None
    assert flows[1] is not None
    # 20 K halve the viscosity of Blasius' law, f ~ Re^-1/4: flow^(7/4) mu^(1/4) is constant where all is friction
    assert 1.02 < flows[1] / flows[0] < (1.002 / 0.65) ** (1 / 7)


def test_a_liquid_that_is_known_by_its_numbers_keeps_them():
    water = "{kind: custom, density: 998 kg/m3, viscosity: 1 mPa s, temperature: 20 degC}"
    warm, cold = (only(line("2 m", heat, water)).run("line").flow for heat in ("14 kW", "1 W"))
    assert warm == pytest.approx(cold, rel=1e-9)


def test_rows_without_heat_are_solved_once():
    circuit = netsolve.load("circuits/reference_diesel.yaml")
    network = assemble([replaced(row) for row in circuit.rows])
    found, plain = warmed.solve_rows(network), solve(network)
    assert found[0] is network
    assert found[2] is None
    assert found[1].iterations.tolist() == plain.iterations.tolist()


def replaced(row: Row) -> Row:
    from dataclasses import replace

    return replace(row, oils={}, parts={name: replace(each, cooling=None) for name, each in row.parts.items()})


@pytest.mark.parametrize("seed", range(24))
def test_all_water_is_as_thin_and_light_as_it_is_warm(seed: int):
    """In random circuits with random heat: the water that laws were told of against the temperatures that are told."""
    network, solution, heat = warmed.solve_rows(assemble(heated(seed).rows))
    assert heat is not None
    assert solution.settled.all()
    for stack in network.inline:
        if stack.viscosity is None or stack.density is None:
            continue
        for name, *used in zip(stack.names, stack.density[0], stack.viscosity[0], strict=True):
            ends = [heat.inlet_temperature(name)[0], heat.outlet_temperature(name)[0]]
            known = 293.15 if np.isnan(ends).any() else np.clip(np.mean(ends), 271.15, 373.15)
            there, before = sea_water(known, 35.0), sea_water(293.15, 35.0)
            assert used[0] == pytest.approx(float(before.density**2 / there.density), rel=3e-5)
            assert used[1] == pytest.approx(float(there.viscosity * before.density / there.density), rel=1.3e-3)


def test_columns_are_the_rows_one_by_one():
    circuit = line("1 m", "9 kW")
    levels = np.array([0.02, 0.3, 1.0, 2.5])
    many = solve_many(circuit, {"high.level": levels})
    for level, flow in zip(levels, many.flow("line"), strict=True):
        assert flow == pytest.approx(only(line(f"{level} m", "9 kW")).run("line").flow, rel=2e-4)


def test_what_comes_to_no_agreement_did_not_settle(monkeypatch: pytest.MonkeyPatch):
    monkeypatch.setattr(warmed, "AGREED", -1.0)
    (row,) = netsolve.solve(line("2 m", "14 kW")).rows
    assert not row.settled
