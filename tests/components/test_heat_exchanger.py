"""Heat exchangers: the maker's point and the power of flow."""

from __future__ import annotations

import pytest

from netsolve.components.heat_exchanger import HeatExchanger
from netsolve.water import custom_water

WATER = custom_water(1025.0, 1.08e-3)


def test_maker_s_point_is_met_and_half_the_flow_costs_a_quarter() -> None:
    cooler = HeatExchanger(drop=25e3, at=2.5e-3)

    # Source: definition of the rating; 25 kPa / 2^2.
    assert cooler.pressure_drop(2.5e-3, WATER) == pytest.approx(25e3, rel=1e-12)
    assert cooler.pressure_drop(1.25e-3, WATER) == pytest.approx(6.25e3, rel=1e-12)


def test_exponent_and_fouling_change_the_law() -> None:
    cooler = HeatExchanger(drop=10e3, at=2e-3, exponent=1.75, fouled=3.0)

    # 3 * 10 kPa / 2^1.75 = 8.919 kPa, by hand.
    assert cooler.pressure_drop(1e-3, WATER) == pytest.approx(8919.1, rel=1e-4)
