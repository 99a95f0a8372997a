"""What must hold whatever the numbers: mass is kept, a hose is odd, more resistance never helps, order does not matter."""

from __future__ import annotations

from dataclasses import replace

import numpy as np
import pytest
from hypothesis import given, settings
from hypothesis import strategies as st

import netsolve
from netsolve.assemble import assemble
from netsolve.components.hose import Hose
from netsolve.components.loss import Loss
from netsolve.solver import solve
from netsolve.water import sea_water
from tests.properties.balances import solved
from tests.properties.random_circuits import random_circuit

WATER = sea_water(288.15, 35.0)
QUICK = settings(max_examples=25, deadline=None)
BRANCHED = """
format: 1
circuit: one pump, two branches
water: {{kind: sea, temperature: 15 degC, salinity: 35 g/kg}}
engines: {{main: {{speed: {speed} rpm}}}}
joints:
  sea: {{type: sea_inlet, height: -0.5 m, bore: 38 mm}}
  fork: {{type: manifold, height: 0.1 m}}
  exhaust: {{type: discharge, height: 0.4 m, bore: 32 mm}}
  overboard: {{type: discharge, height: 0.2 m, bore: 16 mm}}
runs:
  intake: {{from: sea, to: fork, parts: [{{pump: {{type: impeller_pump, rated_flow: 160 L/min, rated_speed: 2600 rpm}}}}]}}
  engine: {{from: fork, to: exhaust, parts: [{{cooler: {{type: heat_exchanger, drop: 25 kPa, at: 150 L/min}}}}]}}
  branch:
    from: fork
    to: overboard
    parts: [{parts}]
"""
HOSE = "feed: {{type: hose, bore: 16 mm, length: {length} m}}"
LOSS = "fittings: {{type: loss, bore: 16 mm, k: {k}}}"


def branch_flow(parts: list[str], speed: float = 1800) -> float:
    text = BRANCHED.format(speed=speed, parts=", ".join(f"{{{part}}}" for part in parts))
    return netsolve.solve(netsolve.loads(text)).rows[0].run("branch").flow


@QUICK
@given(flow=st.floats(-5e-3, 5e-3), bore=st.floats(0.004, 0.1), length=st.floats(0.05, 20))
def test_a_hose_is_odd_in_flow(flow: float, bore: float, length: float):
    hose = Hose(bore=bore, length=length)
    assert -hose.pressure_drop(flow, WATER) == pytest.approx(hose.pressure_drop(-flow, WATER), rel=1e-12)


@QUICK
@given(k=st.floats(0.1, 500), more=st.floats(1.01, 20), length=st.floats(0.2, 10))
def test_more_resistance_in_a_branch_never_raises_its_flow(k: float, more: float, length: float):
    before = branch_flow([HOSE.format(length=length), LOSS.format(k=k)])
    after = branch_flow([HOSE.format(length=length), LOSS.format(k=k * more)])
    assert after < before


@QUICK
@given(k=st.floats(0.1, 500), length=st.floats(0.2, 10))
def test_the_order_of_parts_does_not_matter(k: float, length: float):
    parts = [HOSE.format(length=length), LOSS.format(k=k)]
    assert branch_flow(parts) == pytest.approx(branch_flow(parts[::-1]), rel=1e-9)


@QUICK
@given(count=st.integers(2, 5), k=st.floats(0.1, 50))
def test_a_count_is_so_many_parts_written_out(count: int, k: float):
    written_out = [LOSS.format(k=k).replace("fittings", f"fitting {number}") for number in range(count)]
    counted = LOSS.format(k=k).replace("k: ", f"count: {count}, k: ")
    assert branch_flow(written_out) == pytest.approx(branch_flow([counted]), rel=1e-9)


@QUICK
@given(slow=st.floats(500, 2500), faster=st.floats(1.01, 1.5))
def test_a_faster_pump_never_gives_a_branch_less(slow: float, faster: float):
    parts = [HOSE.format(length=3), LOSS.format(k=4)]
    assert branch_flow(parts, slow * faster) > branch_flow(parts, slow)


@pytest.mark.parametrize("seed", range(12))
def test_the_order_and_the_names_of_runs_and_joints_do_not_matter(seed: int):
    circuit = random_circuit(seed, tees=True)
    row = circuit.rows[0]
    turned = replace(row, runs=dict(reversed(row.runs.items())), places=dict(reversed(row.places.items())))
    (first, one), (second, other) = solved(circuit), solved(replace(circuit, rows=(turned,)))
    scale = np.abs(one.flow).max()
    for name in row.runs:
        there = other.flow[0, second.edge_index[name]]
        assert one.flow[0, first.edge_index[name]] == pytest.approx(there, abs=1e-7 * scale + 2e-9)


def test_rows_together_are_rows_one_by_one():
    circuit = netsolve.load("circuits/pot_hauler.yaml")
    together = solve(assemble(circuit.rows))
    for place, row in enumerate(circuit.rows):
        alone = solve(assemble([row]))
        assert alone.flow[0] == pytest.approx(together.flow[place], rel=1e-6, abs=1e-12)


@QUICK
@given(flow=st.floats(-2e-3, 2e-3), k=st.floats(0.1, 1e4))
def test_a_stack_is_its_parts_one_by_one(flow: float, k: float):
    parts = [Loss(bore=bore, k=k) for bore in (0.01, 0.016, 0.05)]
    stack = Loss.model_construct(bore=np.array([part.bore for part in parts]), k=np.full(3, k))
    flows = np.full((4, 3), flow)
    assert stack.pressure_drop(flows, WATER)[2] == pytest.approx([part.pressure_drop(flow, WATER) for part in parts])
