"""Sight glasses: a K on their bore."""

from __future__ import annotations

import fluids
import pytest

from netsolve.components.sight_glass import SightGlass
from netsolve.water import custom_water

WATER = custom_water(1000.0, 1e-3)
ONE_METRE_A_SECOND = 3.141593e-4  # m3/s in 20 mm: 500 Pa to a velocity head of water of 1000 kg/m3


def test_k_counts_velocity_heads_in_its_bore() -> None:
    # The term in Re adds 0.05 %.
    assert SightGlass(bore=0.02, k=1.5).pressure_drop(ONE_METRE_A_SECOND, WATER) == pytest.approx(750.0, rel=1e-3)


def test_a_glass_without_a_k_loses_what_a_slightly_wider_tube_does() -> None:
    wider = fluids.fittings.diffuser_sharp(0.02, 0.025) + fluids.fittings.contraction_sharp(0.025, 0.02, method="Crane")
    k = SightGlass(bore=0.02).pressure_drop(ONE_METRE_A_SECOND, WATER) / 500.0

    # Source: Borda-Carnot and Crane, as in the fluids library, for a tube of 1.25 bores: 0.31; the default is 0.2.
    assert k == pytest.approx(wider, abs=0.15)
