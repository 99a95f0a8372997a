"""Hose tails, held against Crane."""

from __future__ import annotations

import fluids
import pytest

from netsolve.components.hose_tail import HoseTail
from netsolve.hydraulics import reynolds, velocity_pressure
from netsolve.water import custom_water

WATER = custom_water(1025.0, 1.08e-3)
FLOW = 2.524e-4


def test_tail_is_a_contraction_a_throat_and_an_enlargement() -> None:
    ends = 0.3215 + 0.4135  # 0.5 (1 - b^2) and (1 - b^2)^2 with b = 9.5/15.9, by hand
    throat = fluids.friction.Colebrook(float(reynolds(FLOW, 0.0095, WATER)), 1.5e-6 / 0.0095) * 0.03 / 0.0095

    # Source: Crane TP-410, A-26, and Colebrook as in the fluids library.
    expected = (ends + throat) * velocity_pressure(FLOW, 0.0095, WATER)
    assert HoseTail(bore=0.0095, hose_bore=0.0159).pressure_drop(FLOW, WATER) == pytest.approx(expected, rel=0.005)


def test_tail_is_the_same_either_way_round() -> None:
    tail = HoseTail(bore=0.0095, hose_bore=0.0159)

    assert tail.pressure_drop(-FLOW, WATER) == -tail.pressure_drop(FLOW, WATER)


def test_tail_wider_than_its_hose_is_refused() -> None:
    assert list(HoseTail(bore=0.02, hose_bore=0.019).check()) == [
        "the tail's hole (20 mm) is larger than the hose it goes into (19 mm)"
    ]
