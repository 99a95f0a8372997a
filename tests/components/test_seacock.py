"""Seacocks, held against Crane and Weisbach."""

from __future__ import annotations

import fluids
import numpy as np
import pytest

from netsolve.components.seacock import Seacock
from netsolve.hydraulics import velocity_pressure
from netsolve.water import custom_water

WATER = custom_water(1025.0, 1.08e-3)
FLOW = 3e-3


def coefficient(seacock: Seacock) -> float:
    return float(seacock.pressure_drop(FLOW, WATER) / velocity_pressure(FLOW, seacock.bore, WATER))


def test_open_full_port_is_cranes_ball_valve() -> None:
    # Source: Crane TP-410, A-27 (1-1/2 in: fT 0.0200) and A-28 (3 fT); Hooper (1981) adds 300/Re, here 0.003.
    assert coefficient(Seacock(bore=0.0409)) == pytest.approx(3 * 0.0200, abs=0.005)


def test_open_reduced_port_is_cranes_formula() -> None:
    expected = fluids.fittings.K_ball_valve_Crane(D1=0.8 * 0.0254, D2=0.0254, angle=30.0)

    # Source: Crane TP-410, A-28, formula 5, as in the fluids library; the port's 0.8 bores
    # and 30 degrees are an estimate.
    assert coefficient(Seacock(bore=0.0254, way="reduced")) == pytest.approx(expected, abs=0.02)


@pytest.mark.parametrize(("degrees", "k"), [(10.0, 0.29), (20.0, 1.56), (40.0, 17.3), (60.0, 206.0)])
def test_throttling_follows_weisbach(degrees: float, k: float) -> None:
    added = coefficient(Seacock(bore=0.038, shut=np.radians(degrees))) - coefficient(Seacock(bore=0.038))

    # Source: Weisbach's cock, as tabulated in Perry's Chemical Engineers' Handbook.
    assert added == pytest.approx(k, rel=1e-3)


def test_loss_grows_with_every_degree_until_it_is_shut() -> None:
    losses = [coefficient(Seacock(bore=0.038, shut=np.radians(degrees))) for degrees in range(91)]

    assert np.diff(losses).min() > 0


def test_at_ninety_degrees_it_is_closed_and_only_leaks() -> None:
    shut = Seacock.model_validate({"bore": "38 mm", "shut": "90 deg"})

    assert shut.closed()
    assert shut.pressure_drop(1e-9, WATER) == pytest.approx(1e5, rel=1e-12)
    assert shut.status(0.0, 0.0) == "closed"
    assert not Seacock(bore=0.038, shut=np.radians(89.9)).closed()
