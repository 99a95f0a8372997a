"""Tube, held against Hagen-Poiseuille and Colebrook."""

from __future__ import annotations

import fluids
import numpy as np
import pytest

from netsolve.components.tube import Tube
from netsolve.hydraulics import reynolds, velocity_pressure
from netsolve.water import custom_water

WATER = custom_water(1025.0, 1.08e-3)


def test_slow_flow_follows_hagen_and_poiseuille() -> None:
    # Source: 128 mu L Q / (pi d^4), exact in laminar flow.
    expected = 128 * 1.08e-3 * 2.0 * 2e-6 / (np.pi * 0.013**4)

    assert Tube(bore=0.013, length=2.0).pressure_drop(2e-6, WATER) == pytest.approx(expected, rel=1e-4)


@pytest.mark.parametrize(("material", "roughness"), [("copper", 1.5e-6), ("steel", 4.5e-5)])
def test_material_gives_moodys_roughness(material: str, roughness: float) -> None:
    factor = fluids.friction.Colebrook(float(reynolds(1e-3, 0.02, WATER)), roughness / 0.02)
    expected = factor * 1.0 / 0.02 * velocity_pressure(1e-3, 0.02, WATER)

    # Source: Moody (1944): drawn tubing 5e-6 ft, commercial steel 1.5e-4 ft; Churchill's fit +-1.8 %.
    assert Tube(bore=0.02, length=1.0, material=material).pressure_drop(1e-3, WATER) == pytest.approx(
        expected, rel=0.018
    )


def test_given_roughness_goes_before_the_materials() -> None:
    given = Tube(bore=0.02, length=1.0, material="steel", roughness=1.5e-6)

    assert given.pressure_drop(1e-3, WATER) == Tube(bore=0.02, length=1.0).pressure_drop(1e-3, WATER)
