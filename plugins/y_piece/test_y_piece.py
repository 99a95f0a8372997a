"""The Y keeps the promises of a joint, its rule those of a rule; they work together in a circuit."""

from pathlib import Path

import numpy as np
import pytest

from netsolve.plugin import Water
from netsolve.testing import check_component, check_rule, plugin, solved

HERE = Path(__file__).parent
CIRCUIT = (HERE / "y_piece.yaml").read_text(encoding="utf-8")
YPiece, UnevenY = plugin("y_piece", HERE), plugin("uneven_y", HERE)

SEA = Water(density=1025.0, viscosity=1.2e-3, heat_capacity=4000.0, conductivity=0.6, vapour_pressure=1700.0)


def test_it_keeps_every_promise_of_a_joint():
    check_component(YPiece)


def test_each_leg_loses_by_its_own_flow():
    # By hand: 18.85 L/min in 20 mm run at 1.0 m/s, so 0.4 x 1025 / 2 x 1.0^2 = 205 Pa; half the flow loses a quarter.
    left, right = YPiece(bore=0.02).pressure_drop(np.array([3.1416e-4, -1.5708e-4]), SEA)
    assert (left, right) == pytest.approx((205, -51.25), rel=0.01)


def test_its_rule_speaks_of_unlike_legs_and_not_of_legs_alike():
    alike = CIRCUIT.replace("length: 8 m, bends: 3", "length: 2 m, bends: 1")
    check_rule(UnevenY, speaks=[CIRCUIT], silent=[alike], folder=HERE)


def test_the_circuit_hears_of_it():
    result = solved(HERE / "y_piece.yaml", HERE)
    found, alike = (
        [each.code for each in result["as written", change].findings] for change in ("as found", "a hose alike")
    )
    assert "uneven_y" in found
    assert "uneven_y" not in alike
