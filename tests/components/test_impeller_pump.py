"""Flexible-impeller pumps: displacement less slip, by numbers and by a maker's curve."""

from __future__ import annotations

from typing import Any

import numpy as np
import pytest
from pydantic import ValidationError

from netsolve.components.impeller_pump import ImpellerPump
from netsolve.contract.declare import Reading
from netsolve.laws.curve import Curve, CurveFamily
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


FAST = [(1e-4, 200e3), (3.6e-4, 100e3), (5e-4, 0.0)]
SLOW = [(0.5e-4, 90e3), (1.5e-4, 50e3), (2.4e-4, 0.0)]
FAMILY = CurveFamily.through([*((*point, 25.0) for point in FAST), *((*point, 12.0) for point in SLOW)])


def at_speed(speed: float, **more: Any) -> ImpellerPump:
    return ImpellerPump(rated_flow=5e-4, rated_speed=25.0, speed=speed, curve=FAMILY, **more)


@pytest.mark.parametrize(("speed", "points"), [(25.0, FAST), (12.0, SLOW)])
def test_each_curve_is_met_at_its_own_speed(speed: float, points: list[tuple[float, float]]) -> None:
    flows, heads = (np.array(column) for column in zip(*points, strict=True))

    assert -at_speed(speed).pressure_drop(flows, WATER) == pytest.approx(heads, abs=1e-6)


def test_between_two_speeds_the_flow_at_no_head_lies_between() -> None:
    # A quarter of the way from 12 to 25 rev/s: 2.4e-4 + (5 - 2.4)e-4/4 m3/s.
    assert at_speed(15.25).pressure_drop(3.05e-4, WATER) == pytest.approx(0.0, abs=1e-6)


def test_curves_that_differ_by_constant_slip_give_it_at_any_speed() -> None:
    # q = 2e-5 n - 1.2e-9 p: the law of a pump without a curve, measured at two speeds.
    points = [(2e-5 * n - 1.2e-9 * p, p, n) for n in (10.0, 25.0) for p in (0.0, 5e4, 1e5)]
    pump = ImpellerPump(rated_flow=5e-4, rated_speed=25.0, speed=16.0, curve=CurveFamily.through(points))
    plain = ImpellerPump(rated_flow=5e-4, rated_speed=25.0, speed=16.0, slip_flow=1.2e-9)
    flows = np.linspace(1e-4, 4e-4, 7)

    assert pump.pressure_drop(flows, WATER) == pytest.approx(plain.pressure_drop(flows, WATER), abs=1e-3)


@pytest.mark.parametrize(("speed", "free"), [(6.0, 1.2e-4), (30.0, 6e-4)])
def test_outside_its_curves_the_flow_goes_with_the_speed(speed: float, free: float) -> None:
    # Half of the slow one's 2.4e-4, and 30/25 of the fast one's 5e-4 m3/s.
    assert at_speed(speed).pressure_drop(free, WATER) == pytest.approx(0.0, abs=1e-6)


def test_speeds_may_be_written_with_the_points() -> None:
    point = {"flow": "6 L/min", "head": "2 m"}
    pump = ImpellerPump.model_validate(
        {
            "rated_flow": "30 L/min",
            "rated_speed": "1500 rpm",
            "curve": [
                {**point, "speed": "750 rpm"},
                {"flow": "14 L/min", "head": "0 m", "speed": "750 rpm"},
                {**point, "flow": "20 L/min", "speed": "1500 rpm"},
                {"flow": "30 L/min", "head": "0 m", "speed": "1500 rpm"},
            ],
        },
        context=Reading(density=1000.0),
    )

    assert isinstance(pump.curve, CurveFamily)
    assert pump.curve.at == pytest.approx((12.5, 25.0))
    assert pump.pressure_drop(20e-3 / 60, WATER) == pytest.approx(-2 * 9806.65, rel=1e-9)


def test_a_speed_at_some_points_only_is_refused() -> None:
    points = [{"flow": "6 L/min", "head": "2 kPa", "speed": "750 rpm"}, {"flow": "14 L/min", "head": "0 kPa"}]
    with pytest.raises(ValidationError, match="a point with flow and head and speed is wanted"):
        ImpellerPump.model_validate({"rated_flow": "30 L/min", "rated_speed": "1500 rpm", "curve": points})


def test_faster_must_mean_more() -> None:
    backwards = CurveFamily.through([*((*point, 25.0) for point in SLOW), *((*point, 12.0) for point in FAST)])
    pump = ImpellerPump(rated_flow=5e-4, rated_speed=25.0, curve=backwards)

    assert list(pump.check()) == ["the curve's flow at no head must rise with the speed"]
