"""Strainers, held against the definition of Cv and handbook screens."""

from __future__ import annotations

import fluids
import pytest

from netsolve.components.strainer import Strainer
from netsolve.hydraulics import velocity_pressure
from netsolve.water import custom_water

WATER = custom_water(1025.0, 1.08e-3)
GPM = 3.785411784e-3 / 60
PSI = 6894.757293168


def test_cv_eight_passes_eight_gallons_a_minute_at_one_psi() -> None:
    # Source: definition of Cv: US gpm of water of specific gravity 1 at 1 psi.
    assert Strainer(cv=8.0).pressure_drop(8 * GPM, custom_water(999.0, 1e-3)) == pytest.approx(PSI, rel=1e-9)


def test_cv_is_the_k_of_the_handbooks() -> None:
    expected = fluids.Cv_to_K(8.0, 0.019) * velocity_pressure(4 * GPM, 0.019, WATER)

    # Source: K = 1.6e9 D^4/Kv^2 as in the fluids library.
    assert Strainer(cv=8.0).pressure_drop(4 * GPM, WATER) == pytest.approx(expected, rel=2e-3)


MESHES = [(20, 1.0), (40, 1.2), (50, 1.3), (60, 1.4), (80, 1.6), (100, 1.7)]


@pytest.mark.parametrize(("mesh", "factor"), MESHES)
def test_mesh_lining_multiplies_the_drop(mesh: float, factor: float) -> None:
    bare = Strainer(cv=8.0).pressure_drop(4 * GPM, WATER)

    # Source: a pipeline strainer maker's factors at 40 to 100 mesh; 20 mesh and between: assumed.
    assert Strainer(cv=8.0, mesh=mesh).pressure_drop(4 * GPM, WATER) == pytest.approx(factor * bare, rel=1e-9)


def test_three_quarters_blinded_has_a_quarter_of_the_cv() -> None:
    # Source: a screen's Cv goes with its open area; common practice, no source.
    assert Strainer(cv=8.0, blinded=0.75).pressure_drop(3 * GPM, WATER) == pytest.approx(
        Strainer(cv=2.0).pressure_drop(3 * GPM, WATER), rel=1e-9
    )


@pytest.mark.parametrize(("share", "k"), [(0.3, 17.0), (0.4, 7.7), (0.5, 3.8)])
def test_perforated_plate_lies_near_blevins(share: float, k: float) -> None:
    plate = Strainer(open_area_ratio=share, bore=0.019)

    # Source: Blevins (1984), square-edged perforated screens, to the 15 % by which handbooks differ.
    found = plate.pressure_drop(1e-3, WATER) / velocity_pressure(1e-3, 0.019, WATER)
    assert found == pytest.approx(k, rel=0.15)


def test_woven_wire_lies_near_blevins() -> None:
    bore, share, mesh = 0.025, 0.36, 40.0
    wire = (1 - share**0.5) * 0.0254 / mesh
    speed = 100 * 1.08e-3 / 1025.0 / wire
    flow = speed * 3.141592653589793 / 4 * bore**2
    screen = Strainer(open_area_ratio=share, bore=bore, mesh=mesh)

    # Source: Blevins (1984), round wire at Re = 100: 0.70 (1 - f^2)/f^2 = 4.7; Brundrett's is 10 % below it.
    k = screen.pressure_drop(flow, WATER) / velocity_pressure(flow, bore, WATER)
    assert k == pytest.approx(4.7, rel=0.15)


@pytest.mark.parametrize(
    ("given", "sentence"),
    [
        (
            {"cv": 8.0, "open_area_ratio": 0.4, "bore": 0.019},
            "a strainer takes cv or open_area_ratio, not both",
        ),
        ({}, "a strainer needs its cv (from the data sheet) or its open_area_ratio with its bore"),
        ({"open_area_ratio": 0.4}, "a strainer with an open_area_ratio needs its bore too"),
        (
            {"cv": 8.0, "mesh": 40.0, "opening": 0.003},
            "a strainer has a mesh or perforations: give mesh or opening, not both",
        ),
    ],
)
def test_contradictions_are_said(given: dict[str, float], sentence: str) -> None:
    assert list(Strainer.model_validate(given).check()) == [sentence]
