"""Gate valves, held against Crane, Perry and Weisbach."""

from __future__ import annotations

import fluids
import numpy as np
import pytest

from netsolve.components.gate_valve import GateValve
from netsolve.hydraulics import velocity_pressure
from netsolve.water import custom_water

WATER = custom_water(1025.0, 1.08e-3)
FLOW = 3e-3


def coefficient(valve: GateValve) -> float:
    return float(valve.pressure_drop(FLOW, WATER) / velocity_pressure(FLOW, valve.bore, WATER))


def test_open_is_cranes_gate_valve() -> None:
    expected = fluids.fittings.K_gate_valve_Crane(D1=0.0266, D2=0.0266, angle=0.0)

    # Source: Crane TP-410, A-27, 8 fT, as in the fluids library; Hooper (1981) adds 300/Re, here 0.002.
    assert coefficient(GateValve(bore=0.0266)) == pytest.approx(expected, abs=0.005)


@pytest.mark.parametrize(("opening", "k"), [(0.75, 0.9), (0.5, 4.5), (0.25, 24.0)])
def test_part_open_is_perrys_table(opening: float, k: float) -> None:
    # Source: Perry's Chemical Engineers' Handbook, losses of fittings; its open valve is 0.17, and Crane's 0.18 here.
    assert coefficient(GateValve(bore=0.0266, opening=opening)) == pytest.approx(k, abs=0.02)


def test_nearly_shut_lies_near_weisbach() -> None:
    # Source: Weisbach, gate seven eighths down: 97.8 (from memory).
    assert coefficient(GateValve(bore=0.0266, opening=0.125)) == pytest.approx(97.8, rel=0.05)


def test_loss_grows_with_every_per_cent_until_it_is_shut() -> None:
    losses = [coefficient(GateValve(bore=0.0266, opening=share / 100)) for share in range(100, 0, -1)]

    assert np.diff(losses).min() > 0


def test_shut_it_is_closed_and_only_leaks() -> None:
    shut = GateValve.model_validate({"bore": "25 mm", "opening": "closed"})

    assert shut.closed()
    assert shut.pressure_drop(1e-9, WATER) == pytest.approx(1e5, rel=1e-12)
    assert shut.status(0.0, 0.0) == "closed"
    assert GateValve(bore=0.025, opening=0.001).status(0.0, 0.0) == "part shut"
    assert GateValve(bore=0.025).status(0.0, 0.0) == "open"
