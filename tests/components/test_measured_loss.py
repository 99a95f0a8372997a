"""Losses by a table: met at its points, from nothing at no flow, the same backwards."""

from __future__ import annotations

import numpy as np
import pytest

from netsolve.components.measured_loss import MeasuredLoss
from netsolve.laws.curve import Curve
from netsolve.water import custom_water

WATER = custom_water(1025.0, 1.08e-3)
POINTS = [(1e-4, 0.8e3), (2e-4, 3e3), (4e-4, 13e3)]
LOSS = MeasuredLoss(curve=Curve.through(POINTS))


def test_table_is_met_point_by_point_and_backwards() -> None:
    flows, drops = (np.array(column) for column in zip(*POINTS, strict=True))

    assert LOSS.pressure_drop(flows, WATER) == pytest.approx(drops, rel=1e-12)
    assert LOSS.pressure_drop(-flows, WATER) == pytest.approx(-drops, rel=1e-12)


def test_nothing_is_lost_at_no_flow() -> None:
    assert LOSS.pressure_drop(0.0, WATER) == 0.0


def test_finely_measured_square_is_found_between_its_points() -> None:
    flows = np.linspace(0.0, 4e-4, 9)
    loss = MeasuredLoss(curve=Curve.through([(flow, 1e11 * flow**2) for flow in flows]))

    # Source: the square itself, 1e11 q^2; monotone cubics stay within 2 % of it between points from a quarter up.
    between = np.array([1.25e-4, 2.25e-4, 3.75e-4])
    assert loss.pressure_drop(between, WATER) == pytest.approx(1e11 * between**2, rel=0.02)


def test_beyond_its_last_point_it_goes_straight_on_and_says_so() -> None:
    # The last chord rises 10 kPa in 2e-4 m3/s.
    assert LOSS.pressure_drop(5e-4, WATER) == pytest.approx(18e3, rel=1e-9)
    assert LOSS.status(5e-4, 18e3) == "beyond its table"
    assert LOSS.status(4e-4, 13e3) is None


def test_table_is_written_as_points_with_units() -> None:
    loss = MeasuredLoss.model_validate(
        {"curve": [{"flow": "6 L/min", "drop": "0.8 kPa"}, {"flow": "12 L/min", "drop": "3 kPa"}]}
    )

    assert loss.pressure_drop(2e-4, WATER) == pytest.approx(3e3, rel=1e-9)


@pytest.mark.parametrize(
    ("points", "sentence"),
    [
        ([(1e-4, 3e3), (2e-4, 2e3)], "the curve's drop must rise from point to point as the flow rises"),
        ([(-1e-4, 1e3), (2e-4, 2e3)], "the curve's flows must not be below zero"),
        (
            [(0.0, 1e3), (2e-4, 2e3)],
            "the curve has a drop at no flow: that is a difference of height or a gauge's error, take it off",
        ),
    ],
)
def test_tables_that_cannot_be_a_loss_are_refused(points: list[tuple[float, float]], sentence: str) -> None:
    assert list(MeasuredLoss(curve=Curve.through(points)).check()) == [sentence]
