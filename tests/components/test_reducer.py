"""Reducers, held against Crane."""

from __future__ import annotations

import fluids
import pytest

from netsolve.components.reducer import Reducer
from netsolve.hydraulics import velocity_pressure
from netsolve.water import custom_water

WATER = custom_water(1000.0, 1e-3)
FLOW = 1e-3


def coefficients(reducer: Reducer) -> tuple[float, float]:
    """K on the smaller bore, forward and backwards."""
    head = velocity_pressure(FLOW, min(reducer.bore_in, reducer.bore_out), WATER)
    return (
        float(reducer.pressure_drop(FLOW, WATER) / head),
        float(reducer.pressure_drop(-FLOW, WATER) / -head),
    )


def test_sudden_reducer_contracts_forward_and_enlarges_backwards() -> None:
    # Source: Crane TP-410, A-26, beta 0.5: 0.5 (1 - 0.25) = 0.375 and (1 - 0.25)^2 = 0.5625.
    assert coefficients(Reducer(bore_in=0.02, bore_out=0.01)) == pytest.approx((0.375, 0.5625), rel=1e-3)


def test_turned_round_it_loses_what_it_lost_backwards() -> None:
    forward, backwards = coefficients(Reducer(bore_in=0.02, bore_out=0.013, style="taper"))

    assert coefficients(Reducer(bore_in=0.013, bore_out=0.02, style="taper")) == (backwards, forward)


@pytest.mark.parametrize("degrees", [20.0, 30.0, 60.0])
def test_taper_has_cranes_coefficients(degrees: float) -> None:
    expected = (
        fluids.contraction_conical(0.02, 0.01, angle=degrees, method="Crane"),
        fluids.diffuser_conical(0.01, 0.02, angle=degrees, method="Crane"),
    )

    # Source: Crane TP-410, A-26, as in the fluids library.
    taper = Reducer(bore_in=0.02, bore_out=0.01, style="taper", angle=degrees * 3.141592653589793 / 180)
    assert coefficients(taper) == pytest.approx(expected, rel=1e-3)
