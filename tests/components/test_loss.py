"""A plain loss coefficient."""

from __future__ import annotations

import numpy as np
import pytest

from netsolve.components.loss import Loss
from netsolve.hydraulics import velocity_pressure
from netsolve.water import custom_water

WATER = custom_water(1000.0, 1e-3)


def test_loss_is_k_velocity_heads_within_two_thousandths_above_re_5000() -> None:
    flows = np.pi / 4 * 0.02 * 1e-6 * np.array([5000.0, 1e4, 1e5, -1e5])

    # Source: definition of K.
    assert Loss(bore=0.02, k=1.6).pressure_drop(flows, WATER) == pytest.approx(
        1.6 * velocity_pressure(flows, 0.02, WATER), rel=0.00201
    )
