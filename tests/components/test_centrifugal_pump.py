"""Centrifugal pumps: affinity, the ends of the curve, and a pump that stands."""

from __future__ import annotations

import numpy as np
import pytest

from netsolve.components.centrifugal_pump import CentrifugalPump
from netsolve.laws.curve import Curve
from netsolve.water import custom_water

WATER = custom_water(1025.0, 1.08e-3)
POINTS = [(0.0, 35e3), (2e-4, 30e3), (4e-4, 15e3), (5e-4, 0.0)]
PUMP = CentrifugalPump(curve=Curve.through(POINTS))


def head(pump: CentrifugalPump, flow: float) -> float:
    return -float(pump.pressure_drop(flow, WATER))


def test_curve_is_met_point_by_point() -> None:
    assert -PUMP.pressure_drop(np.array([flow for flow, _ in POINTS]), WATER) == pytest.approx(
        [pressure for _, pressure in POINTS], abs=10.0
    )


KINDS = [PUMP, CentrifugalPump(shutoff=35e3, open_flow=5e-4)]


@pytest.mark.parametrize("pump", KINDS, ids=["curve", "parabola"])
@pytest.mark.parametrize("flow", [-2e-4, 0.0, 1e-4, 4.5e-4, 7e-4])
def test_half_speed_gives_half_the_flow_at_a_quarter_of_the_head(pump: CentrifugalPump, flow: float) -> None:
    slower = pump.model_copy(update={"speed": 0.5})

    # Source: affinity laws, Q as n and H as n squared.
    assert head(slower, 0.5 * flow) == pytest.approx(0.25 * head(pump, flow), abs=5.0)


def test_parabola_runs_from_shut_off_to_open_flow() -> None:
    pump = CentrifugalPump(shutoff=30e3, open_flow=8e-4)

    # H = H0 [1 - (Q/Q0)^2]: 3/4 of the head at half the flow.
    assert [head(pump, flow) for flow in (0.0, 4e-4, 8e-4)] == pytest.approx([30e3, 22.5e3, 0.0], abs=5.0)


def test_standing_pump_lets_water_through_with_a_loss() -> None:
    standing = CentrifugalPump(shutoff=30e3, open_flow=8e-4, running=False)

    assert not standing.closed()
    assert standing.status(1e-4, 0.0) == "stopped"
    assert head(standing, 8e-4) == pytest.approx(-30e3, rel=1e-3)
    assert head(standing, 0.0) == 0.0


def test_water_pushed_back_meets_more_than_the_shut_off_head() -> None:
    assert head(PUMP, -1e-4) > head(PUMP, 0.0)
    assert PUMP.status(-1e-4, -4e4) == "pushed back"


def test_wear_takes_its_share_of_the_shut_off_head() -> None:
    worn = PUMP.model_copy(update={"worn": 0.2})

    assert [head(PUMP, flow) - head(worn, flow) for flow in (0.0, 2e-4, 6e-4)] == pytest.approx([7e3] * 3, rel=1e-9)


def test_humped_curve_is_pooled_and_says_by_how_much() -> None:
    humped = CentrifugalPump(curve=Curve.through([(0.0, 30e3), (2e-4, 33e3), (4e-4, 15e3)]))

    # The first two points run the wrong way and take their mean, 31.5 kPa.
    assert humped.smoothed() == pytest.approx(1500.0, rel=1e-12)
    assert head(humped, 0.0) == pytest.approx(31.5e3, rel=1e-9)
    assert PUMP.smoothed() == 0.0


@pytest.mark.parametrize(
    ("given", "sentence"),
    [
        (
            {"shutoff": 30e3},
            "a centrifugal pump needs a curve, or shutoff (head at no flow) and open_flow (flow at no head)",
        ),
        (
            {"shutoff": 30e3, "curve": Curve.through(POINTS)},
            "a centrifugal pump takes a curve or shutoff and open_flow, not both",
        ),
    ],
)
def test_curve_is_given_one_way(given: dict[str, object], sentence: str) -> None:
    assert list(CentrifugalPump.model_validate(given).check()) == [sentence]
