"""Ball valves, held against Crane and Weisbach."""

from __future__ import annotations

import fluids
import numpy as np
import pytest

from netsolve.components.ball_valve import BallValve
from netsolve.components.seacock import Seacock
from netsolve.hydraulics import velocity_pressure
from netsolve.water import custom_water

WATER = custom_water(1025.0, 1.08e-3)
FLOW = 3e-3


def coefficient(valve: BallValve) -> float:
    return float(valve.pressure_drop(FLOW, WATER) / velocity_pressure(FLOW, valve.bore, WATER))


def test_open_full_port_is_cranes_ball_valve() -> None:
    # Source: Crane TP-410, A-27 (1 in: fT 0.0223) and A-28 (3 fT); Hooper (1981) adds 300/Re, here 0.002.
    assert coefficient(BallValve(bore=0.0266)) == pytest.approx(3 * 0.0223, abs=0.005)


def test_open_reduced_port_is_cranes_formula() -> None:
    expected = fluids.fittings.K_ball_valve_Crane(D1=0.8 * 0.019, D2=0.019, angle=30.0)

    # Source: Crane TP-410, A-28, formula 5, as in the fluids library; the port's 0.8 bores and 30 degrees: an estimate.
    assert coefficient(BallValve(bore=0.019, way="reduced")) == pytest.approx(expected, abs=0.02)


@pytest.mark.parametrize(("degrees", "k"), [(10.0, 0.29), (20.0, 1.56), (40.0, 17.3), (60.0, 206.0)])
def test_throttling_follows_weisbach(degrees: float, k: float) -> None:
    added = coefficient(BallValve(bore=0.025, shut=np.radians(degrees))) - coefficient(BallValve(bore=0.025))

    # Source: Weisbach's cock, as tabulated in Perry's Chemical Engineers' Handbook.
    assert added == pytest.approx(k, rel=1e-3)


@pytest.mark.parametrize("shut", ["open", "30 deg", "closed"])
def test_it_loses_what_a_seacock_of_that_bore_loses(shut: str) -> None:
    valve, seacock = (kind.model_validate({"bore": "25 mm", "shut": shut}) for kind in (BallValve, Seacock))

    assert seacock.pressure_drop(1e-3, WATER) == valve.pressure_drop(1e-3, WATER)
    assert seacock.closed() == valve.closed()


@pytest.mark.parametrize(("shut", "state"), [("open", "open"), ("45 deg", "part shut"), ("closed", "closed")])
def test_state_is_named_by_the_handle(shut: str, state: str) -> None:
    assert BallValve.model_validate({"bore": "25 mm", "shut": shut}).status(0.0, 0.0) == state
