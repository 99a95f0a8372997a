"""Injection rings: rated holes, some of them blocked."""

from __future__ import annotations

import pytest

from netsolve.components.injection_ring import InjectionRing
from netsolve.water import custom_water

WATER = custom_water(1025.0, 1.08e-3)
RING = InjectionRing(drop=12e3, at=2e-3)


@pytest.mark.parametrize(("flow", "drop"), [(2e-3, 12e3), (1e-3, 3e3), (-2e-3, -12e3)])
def test_drop_goes_with_the_square_of_the_flow(flow: float, drop: float) -> None:
    # Source: Q = Cd A sqrt(2 dp/rho); half the flow, a quarter of the drop.
    assert RING.pressure_drop(flow, WATER) == pytest.approx(drop, rel=1e-9)


def test_what_the_open_holes_carry_costs_the_same_in_each() -> None:
    blocked = RING.model_copy(update={"blocked": 0.3})

    # 70 % of the holes at 70 % of the flow: the speed in them, and so the drop, is that of the clean ring.
    assert blocked.pressure_drop(0.7 * 2e-3, WATER) == pytest.approx(12e3, rel=1e-9)
