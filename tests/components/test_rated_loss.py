"""A loss known at one flow."""

from __future__ import annotations

import pytest

from netsolve.components.rated_loss import RatedLoss
from netsolve.water import custom_water

WATER = custom_water(1025.0, 1.08e-3)


@pytest.mark.parametrize(("exponent", "expected"), [(1.0, 6e3), (1.75, 3567.6), (2.0, 3e3)])
def test_half_the_flow_costs_the_power_of_a_half(exponent: float, expected: float) -> None:
    # Source: 12 kPa / 2^exponent, by hand.
    loss = RatedLoss(drop=12e3, at=2.5e-3, exponent=exponent)
    assert loss.pressure_drop(1.25e-3, WATER) == pytest.approx(expected, rel=1e-4)
    assert loss.pressure_drop(-1.25e-3, WATER) == pytest.approx(-expected, rel=1e-4)


def test_rating_may_be_written_as_a_head_of_the_circuits_water() -> None:
    from netsolve.contract.declare import Reading

    loss = RatedLoss.model_validate({"drop": "1 m", "at": "10 L/min"}, context=Reading(density=1025.0))

    # Source: rho g h with g = 9.80665 m/s2.
    assert loss.drop == pytest.approx(1025.0 * 9.80665, rel=1e-9)
