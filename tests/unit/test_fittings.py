"""Loss coefficients: limits, order, and agreement with a formula library."""

from __future__ import annotations

import fluids
import numpy as np
import pytest

from netsolve.hydraulics import area, velocity_pressure
from netsolve.laws import fittings
from netsolve.water import custom_water

BETAS = np.linspace(0.1, 1.0, 91)
RIGHT_ANGLE = np.pi / 2.0


def test_turbulent_factor_is_that_of_a_formula_library() -> None:
    bores = np.linspace(0.01, 0.3, 30)
    expected = [fluids.ft_Crane(bore) for bore in bores]
    assert expected == pytest.approx(fittings.ft(bores), rel=1e-5)


def test_changes_of_section_are_cranes_in_a_formula_library() -> None:
    for beta in (0.3, 0.6, 0.9):
        sharp = fluids.contraction_sharp(Di1=1.0, Di2=beta, method="Crane")
        assert sharp == pytest.approx(fittings.contraction(beta), rel=1e-12)
        wide = fluids.diffuser_sharp(Di1=beta, Di2=1.0)
        assert wide == pytest.approx(fittings.enlargement(beta), rel=1e-12)
        for degrees in (10.0, 30.0, 60.0, 120.0):
            narrowing = fluids.contraction_conical_Crane(Di1=1.0, Di2=beta, angle=degrees)
            assert narrowing == pytest.approx(fittings.taper_contraction(beta, np.radians(degrees)), rel=1e-12)
            widening = fluids.diffuser_conical(Di1=beta, Di2=1.0, angle=degrees, method="Crane")
            assert widening == pytest.approx(fittings.taper_enlargement(beta, np.radians(degrees)), rel=1e-12)


def test_rounded_entrance_and_mitre_are_those_of_a_formula_library() -> None:
    for ratio in (0.0, 0.02, 0.04, 0.06, 0.1, 0.15, 0.3):
        expected = fluids.entrance_rounded(Di=1.0, rc=ratio, method="Crane")
        assert expected == pytest.approx(fittings.entrance_rounded(ratio), rel=1e-12)
    for degrees in (22.5, 45.0, 90.0):
        expected = fluids.bend_miter(angle=degrees, Di=0.05, method="Rennels")
        assert expected == pytest.approx(fittings.mitre(np.radians(degrees)), rel=1e-12)


@pytest.mark.parametrize("cd", [0.6, 0.62, 0.8, 1.0])
def test_orifice_loses_nothing_as_the_bore_and_more_as_it_shrinks(cd: float) -> None:
    losses = np.asarray(fittings.orifice_recovered(BETAS, cd))
    assert 0.0 == fittings.orifice_recovered(1.0, cd)
    assert np.all(np.diff(losses) < 0.0)


def test_orifice_is_the_permanent_loss_of_iso_5167() -> None:
    # Its share of the differential pressure, times (1 - beta^4)/(C beta^2)^2, the differential as a K.
    beta, cd = np.array([0.3, 0.5, 0.7]), 0.61
    root = np.sqrt(1.0 - beta**4 * (1.0 - cd**2))
    share = (root - cd * beta**2) / (root + cd * beta**2)
    expected = share * (1.0 - beta**4) / (cd * beta**2) ** 2
    assert expected == pytest.approx(fittings.orifice_recovered(beta, cd), rel=1e-12)


def test_orifice_is_the_loss_of_a_formula_library() -> None:
    differential = 10e3
    flow = 0.61 * area(0.05) * np.sqrt(2.0 * differential / 1000.0) / np.sqrt(1.0 - 0.5**4)
    lost = fluids.dP_orifice(D=0.1, Do=0.05, P1=2e5, P2=2e5 - differential, C=0.61)
    head = velocity_pressure(flow, 0.1, custom_water(1000.0, 1e-3))
    assert lost / head == pytest.approx(fittings.orifice_recovered(0.5, 0.61), rel=1e-9)


def test_nothing_is_lost_where_nothing_is_in_the_way() -> None:
    losses = (fittings.contraction, fittings.enlargement, fittings.perforated_plate)
    assert [0.0, 0.0, 0.0] == [loss(1.0) for loss in losses]
    assert 0.0 == fittings.screen(1.0, 100.0)
    assert 0.0 == fittings.taper_enlargement(1.0, 0.3) == fittings.taper_contraction(1.0, 0.3)
    assert 0.0 == fittings.mitre(0.0)
    assert fittings.ENTRANCE_SHARP == pytest.approx(fittings.grate(1.0), rel=1e-3)


def test_grate_is_near_the_worked_point() -> None:
    assert 5.83 == pytest.approx(fittings.grate(0.5), rel=1e-3)  # (1.707/0.5 - 1)^2 worked by hand


def test_right_angles_lose_what_the_formulas_say() -> None:
    assert 1.20 == pytest.approx(fittings.mitre(RIGHT_ANGLE), rel=0.005)  # 0.42 sin 45 + 2.56 sin^3 45
    assert 14.0 * fittings.ft(0.0254) == pytest.approx(fittings.bend_90(1.5, 0.0254), rel=1e-12)


def test_screen_resists_more_the_faster_the_flow() -> None:
    re = np.geomspace(1e-7, 1e5, 2000)
    for share in (0.3, 0.5, 0.8):
        assert np.all(np.diff(fittings.screen(share, re) * re**2) > 0.0)
    assert np.isfinite(fittings.screen(0.5, 0.0))


def test_screen_stays_near_another_authors_table() -> None:
    # Blevins (1984) for round wires; the two differ by up to 20 %.
    for re in (20.0, 60.0, 100.0, 400.0):
        expected = fluids.round_edge_screen(alpha=0.5, Re=re)
        assert expected == pytest.approx(fittings.screen(0.5, re), rel=0.20)


def test_a_valve_loses_its_rating_at_its_coefficient() -> None:
    water = custom_water(999.0, 1.138e-3)
    assert 1e5 == pytest.approx(fittings.kv_coefficient(12.0, water) * (12.0 / 3600.0) ** 2, rel=1e-12)
    gallons_a_minute = 10.0 * 231 * 0.0254**3 / 60.0
    assert 6894.757 == pytest.approx(fittings.cv_coefficient(10.0, water) * gallons_a_minute**2, rel=1e-6)


def test_a_denser_liquid_loses_more_in_a_valve() -> None:
    sea, reference = custom_water(1026.0, 1.2e-3), custom_water(999.0, 1.138e-3)
    ratio = fittings.cv_coefficient(10.0, sea) / fittings.cv_coefficient(10.0, reference)
    assert 1026.0 / 999.0 == pytest.approx(ratio, rel=1e-12)
