"""Blockages, held against ISO 5167 and Idelchik."""

from __future__ import annotations

import fluids
import pytest

from netsolve.components.blockage import Blockage
from netsolve.hydraulics import velocity_pressure
from netsolve.water import custom_water

WATER = custom_water(1025.0, 1.08e-3)


def coefficient(hole: float) -> float:
    plug = Blockage(hole=hole, bore=0.016)
    return float(plug.pressure_drop(5e-4, WATER) / velocity_pressure(5e-4, 0.016, WATER))


@pytest.mark.parametrize("hole", [0.004, 0.008, 0.012])
def test_lasting_loss_is_that_of_iso_5167(hole: float) -> None:
    # Source: ISO 5167-2, 5.4, as in the fluids library.
    expected = fluids.flow_meter.discharge_coefficient_to_K(0.016, hole, 0.62)
    assert coefficient(hole) == pytest.approx(expected, rel=1e-3)


@pytest.mark.parametrize("hole", [0.004, 0.008, 0.012])
def test_it_lies_near_idelchiks_thin_plate(hole: float) -> None:
    share = (hole / 0.016) ** 2

    # Source: Idelchik, Handbook of Hydraulic Resistance, diagram 4-14: [1 - f + 0.707 (1 - f)^0.375]^2/f^2.
    expected = (1 - share + 0.707 * (1 - share) ** 0.375) ** 2 / share**2
    assert coefficient(hole) == pytest.approx(expected, rel=0.16)


def test_nothing_is_lost_where_the_hole_is_the_bore() -> None:
    # Unlike 1/Cd^2, which would leave a K of 2.6.
    assert coefficient(0.016) == pytest.approx(0.0, abs=1e-5)


def test_hole_larger_than_the_bore_is_refused() -> None:
    assert list(Blockage(hole=0.018, bore=0.016).check()) == [
        "the hole (18 mm) is larger than the bore that is blocked (16 mm)"
    ]
