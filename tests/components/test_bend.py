"""Bends, held against Crane, Rennels and Hooper."""

from __future__ import annotations

import fluids
import numpy as np
import pytest

from netsolve.components.bend import Bend
from netsolve.hydraulics import area, velocity_pressure
from netsolve.water import custom_water

WATER = custom_water(1000.0, 1e-3)


def coefficient(bend: Bend, reynolds: float) -> float:
    flow = reynolds * 1e-3 / 1000.0 / bend.bore * area(bend.bore)
    return float(bend.pressure_drop(flow, WATER) / velocity_pressure(flow, bend.bore, WATER))


@pytest.mark.parametrize(("style", "multiple"), [("sweep", 14.0), ("standard", 30.0), ("street", 50.0), ("45", 16.0)])
def test_style_has_cranes_multiple_of_ft(style: str, multiple: float) -> None:
    # Source: Crane TP-410, A-27 (3/4 in: fT 0.0237, editions from 2009), A-29 and A-30.
    assert coefficient(Bend(bore=0.02096, style=style), 1e7) == pytest.approx(multiple * 0.0237, rel=0.01)


@pytest.mark.parametrize("degrees", [30.0, 45.0, 120.0])
def test_sweep_of_another_angle_is_cranes(degrees: float) -> None:
    expected = fluids.fittings.bend_rounded_Crane(Di=0.0254, angle=degrees, bend_diameters=1.5)

    # Source: Crane TP-410, A-30, as in the fluids library.
    sweep = Bend(bore=0.0254, style="sweep", angle=np.radians(degrees))
    assert coefficient(sweep, 1e8) == pytest.approx(expected, rel=0.005)


@pytest.mark.parametrize(("degrees", "expected"), [(45.0, 0.304), (90.0, 1.202)])
def test_mitre_is_rennels(degrees: float, expected: float) -> None:
    # Source: Rennels & Hudson (2012), 0.42 sin(a/2) + 2.56 sin^3(a/2): 0.304 at 45 and 1.202 at 90 degrees.
    mitre = Bend(bore=0.0254, style="mitre", angle=np.radians(degrees))
    assert coefficient(mitre, 1e8) == pytest.approx(expected, rel=0.002)


def test_slow_flow_adds_hoopers_k1() -> None:
    standard = Bend(bore=0.0254, style="standard")

    # Source: Hooper (1981): K1 = 800 for a 90 degree elbow, so 0.8 is added at Re = 1000.
    assert coefficient(standard, 1000.0) - coefficient(standard, 1e8) == pytest.approx(0.8, rel=1e-4)


def test_style_45_of_another_angle_is_refused() -> None:
    assert list(Bend(bore=0.02, style="45", angle=np.pi / 2).check()) == [
        "a bend of style 45 does not turn 90 degrees; leave the angle out or change the style"
    ]
