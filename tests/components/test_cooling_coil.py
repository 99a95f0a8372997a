"""Cooling coils, held against White and Ito."""

from __future__ import annotations

import fluids
import pytest

from netsolve.components.cooling_coil import CoolingCoil
from netsolve.hydraulics import area, velocity_pressure
from netsolve.water import custom_water

WATER = custom_water(1000.0, 1e-3)
COIL = CoolingCoil(bore=0.015, length=8.0, coil_diameter=0.25)


def factor(coil: CoolingCoil, reynolds: float) -> float:
    """Darcy friction factor on the clean bore."""
    flow = reynolds * 1e-6 / coil.bore * area(coil.bore)
    heads = coil.pressure_drop(flow, WATER) / velocity_pressure(flow, coil.bore, WATER)
    return float(heads * coil.bore / coil.length)


@pytest.mark.parametrize("reynolds", [500.0, 1500.0, 4000.0])
def test_laminar_friction_lies_near_white(reynolds: float) -> None:
    expected = fluids.friction.helical_laminar_fd_White(Re=reynolds, Di=0.015, Dc=0.25)

    # Source: White (1929), as in the fluids library; authors differ by 10 %.
    assert factor(COIL, reynolds) == pytest.approx(expected, rel=0.1)


@pytest.mark.parametrize("reynolds", [2e4, 5e4])
def test_turbulent_friction_lies_near_ito(reynolds: float) -> None:
    curvature = 0.015 / 0.25

    # Source: Ito (1959), sqrt(d/D) [0.029 + 0.304 (Re (d/D)^2)^-1/4], from memory; authors differ by 20 %.
    expected = curvature**0.5 * (0.029 + 0.304 * (reynolds * curvature**2) ** -0.25)
    assert factor(COIL, reynolds) == pytest.approx(expected, rel=0.1)


def test_scale_narrows_the_bore_on_both_sides() -> None:
    scaled = COIL.model_copy(update={"scale": 0.0005})
    narrow = CoolingCoil(bore=0.014, length=8.0, coil_diameter=0.25)

    assert scaled.pressure_drop(2e-4, WATER) == pytest.approx(narrow.pressure_drop(2e-4, WATER), rel=1e-12)


def test_scale_that_fills_the_tube_is_refused() -> None:
    choked = COIL.model_copy(update={"scale": 0.008})

    assert list(choked.check()) == ["scale of 8 mm leaves nothing of a bore of 15 mm"]
