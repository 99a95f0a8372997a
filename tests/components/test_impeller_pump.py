"""Flexible-impeller pumps: displacement less slip, by numbers and by a maker's curve."""

from __future__ import annotations

from typing import Any

import numpy as np
import pytest

from netsolve.components.impeller_pump import ImpellerPump
from netsolve.curve import Curve
from netsolve.water import custom_water

WATER = custom_water(1025.0, 1.08e-3)
GPM = 3.785411784e-3 / 60
POINTS = [(1e-4, 200e3), (3.6e-4, 100e3), (4.4e-4, 50e3), (5e-4, 0.0)]


def test_flow_is_speed_times_displacement_less_slip() -> None:
    pump = ImpellerPump.model_validate(
        {"rated_flow": "44 gpm", "rated_speed": "2600 rpm", "speed": "1800 rpm", "slip": "6 gpm/bar"}
    )

    # Source: Q = 44 gpm n/2600 - 6 gpm/bar times the rise, worked by hand: 30.462 - 3 gpm at half a bar.
    assert pump.pressure_drop(27.4615385 * GPM, WATER) == pytest.approx(-50e3, rel=1e-6)


def test_slip_in_per_cent_is_of_the_rated_flow() -> None:
    pump = ImpellerPump(rated_flow=1e-3, rated_speed=25.0, slip=0.12e-5)

    # 12 %/bar: at one bar 88 % of the rated flow is left.
    assert pump.pressure_drop(0.88e-3, WATER) == pytest.approx(-1e5, rel=1e-9)


def test_wear_takes_flow_and_multiplies_slip() -> None:
    pump = ImpellerPump(rated_flow=1e-3, rated_speed=25.0, slip=0.12e-5, worn=0.25)

    # A quarter worn: 75 % of the flow, twice the slip: 51 % left at one bar. Common practice, no source.
    assert pump.pressure_drop(0.51e-3, WATER) == pytest.approx(-1e5, rel=1e-9)


@pytest.mark.parametrize("standing", [{"running": False}, {"speed": 0.0}])
def test_standing_pump_blocks_and_leaks_by_its_slip(standing: dict[str, Any]) -> None:
    pump = ImpellerPump(rated_flow=1e-3, rated_speed=25.0, slip=0.12e-5, **standing)

    assert pump.closed()
    assert pump.status(0.0, 0.0) == "stopped"
    assert pump.pressure_drop(0.12e-3, WATER) == pytest.approx(1e5, rel=1e-9)


def test_curve_is_met_point_by_point_at_the_rated_speed() -> None:
    pump = ImpellerPump(rated_flow=5e-4, rated_speed=25.0, curve=Curve.through(POINTS))

    assert -pump.pressure_drop(np.array([flow for flow, _ in POINTS]), WATER) == pytest.approx(
        [head for _, head in POINTS], abs=1e-6
    )


def test_slower_the_curve_loses_the_same_flow_to_slip() -> None:
    pump = ImpellerPump(rated_flow=5e-4, rated_speed=25.0, speed=20.0, curve=Curve.through(POINTS))

    # At 1 bar the curve loses 1.4e-4 of 5e-4 m3/s; at 80 % of the speed 4e-4 - 1.4e-4 is left.
    assert pump.pressure_drop(2.6e-4, WATER) == pytest.approx(-100e3, rel=1e-9)


def test_rising_curve_is_refused() -> None:
    pump = ImpellerPump(rated_flow=5e-4, rated_speed=25.0, curve=Curve.through([(0.0, 10e3), (1e-4, 12e3)]))

    assert list(pump.check()) == ["the curve's head must fall from point to point as the flow rises"]
