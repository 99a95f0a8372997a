"""Speeds, friction and laws of loss: limits, signs, slopes, and agreement with a formula library."""

from __future__ import annotations

from collections.abc import Callable

import fluids
import numpy as np
import pytest

from netsolve import hydraulics
from netsolve.water import Array, custom_water, sea_water

WATER = sea_water(288.15, 35.0)
BORE = 0.019
FLOWS = np.concatenate([-np.geomspace(3e-2, 1e-9, 120), [0.0], np.geomspace(1e-9, 3e-2, 120)])

Law = Callable[[Array], Array]

LAWS: dict[str, tuple[Law, Law]] = {
    "smooth pipe": (
        lambda q: hydraulics.friction_drop(q, BORE, 2.0, 0.0, WATER),
        lambda q: hydraulics.friction_slope(q, BORE, 2.0, 0.0, WATER),
    ),
    "rough pipe": (
        lambda q: hydraulics.friction_drop(q, BORE, 2.0, 9e-4, WATER),
        lambda q: hydraulics.friction_slope(q, BORE, 2.0, 9e-4, WATER),
    ),
    "coil": (
        lambda q: hydraulics.coil_drop(q, BORE, 2.0, 0.15, 1e-5, WATER),
        lambda q: hydraulics.coil_slope(q, BORE, 2.0, 0.15, 1e-5, WATER),
    ),
    "tight rough coil": (
        lambda q: hydraulics.coil_drop(q, BORE, 2.0, 0.06, 5e-4, WATER),
        lambda q: hydraulics.coil_slope(q, BORE, 2.0, 0.06, 5e-4, WATER),
    ),
    "fitting": (
        lambda q: hydraulics.k_drop(q, BORE, 1.3, WATER),
        lambda q: hydraulics.k_slope(q, BORE, 1.3, WATER),
    ),
    "fitting after Hooper": (
        lambda q: hydraulics.k_drop(q, BORE, 1.3, WATER, 2000.0),
        lambda q: hydraulics.k_slope(q, BORE, 1.3, WATER, 2000.0),
    ),
    "rated": (
        lambda q: hydraulics.rated(q, 20e3, 1e-3, 1.8),
        lambda q: hydraulics.rated_slope(q, 20e3, 1e-3, 1.8),
    ),
}


@pytest.mark.parametrize("name", LAWS)
def test_drop_rises_strictly_and_is_the_same_both_ways(name: str) -> None:
    drop, slope = LAWS[name]
    values = np.asarray(drop(FLOWS))
    assert np.all(np.diff(values) > 0.0)
    assert np.all(np.asarray(slope(FLOWS)) > 0.0)
    assert -values[::-1] == pytest.approx(values, rel=1e-13, abs=0.0)
    assert 0.0 == drop(0.0)


@pytest.mark.parametrize("name", LAWS)
def test_slope_is_the_derivative_of_the_drop(name: str) -> None:
    drop, slope = LAWS[name]
    flows = FLOWS[FLOWS != 0.0]
    step = 1e-5 * np.abs(flows)
    numerical = (np.asarray(drop(flows + step)) - np.asarray(drop(flows - step))) / (2.0 * step)
    assert numerical == pytest.approx(slope(flows), rel=1e-6)


@pytest.mark.parametrize("name", LAWS)
def test_slope_at_no_flow_is_the_limit_of_the_drop_over_flow(name: str) -> None:
    drop, slope = LAWS[name]
    assert drop(1e-13) / 1e-13 == pytest.approx(slope(0.0), rel=1e-6)


@pytest.mark.parametrize("name", LAWS)
def test_one_flow_and_many_give_the_same(name: str) -> None:
    for law in LAWS[name]:
        one_by_one = [law(float(flow)) for flow in FLOWS]
        assert one_by_one == pytest.approx(np.asarray(law(FLOWS)), rel=1e-13)


@pytest.mark.parametrize("name", LAWS)
def test_enormous_flows_give_numbers(name: str) -> None:
    for law in LAWS[name]:
        assert np.all(np.isfinite(np.asarray(law(np.array([-1e30, 1e15, 1e30])))))


def test_velocity_pressure_has_the_sign_and_slope_of_the_flow() -> None:
    flow = np.array([-2e-3, -1e-3, 1e-3, 2e-3])
    speed = flow / (np.pi * BORE**2 / 4.0)
    assert 0.5 * WATER.density * speed * np.abs(speed) == pytest.approx(
        hydraulics.velocity_pressure(flow, BORE, WATER), rel=1e-14
    )
    numerical = (
        np.asarray(hydraulics.velocity_pressure(flow + 1e-8, BORE, WATER))
        - np.asarray(hydraulics.velocity_pressure(flow - 1e-8, BORE, WATER))
    ) / 2e-8
    assert numerical == pytest.approx(hydraulics.velocity_pressure_slope(flow, BORE, WATER), rel=1e-9)


def test_reynolds_number_is_never_negative() -> None:
    water = custom_water(1000.0, 1e-3)
    flow = hydraulics.area(0.02) * np.array([-1.0, 0.0, 1.0])
    assert np.array([20000.0, 0.0, 20000.0]) == pytest.approx(hydraulics.reynolds(flow, 0.02, water), rel=1e-14)


def test_friction_factor_is_that_of_a_formula_library() -> None:
    for roughness in (0.0, 1e-4, 1e-2, 0.05):
        re = np.concatenate([np.geomspace(0.1, 1e9, 60), [7.0]])
        expected = [fluids.friction.Churchill_1977(Re=r, eD=roughness) for r in re]
        assert expected == pytest.approx(hydraulics.friction_factor(re, roughness), rel=1e-6)


def test_colebrook_is_that_of_a_formula_library() -> None:
    for roughness in (0.0, 1e-4, 1e-2, 0.05):
        re = np.geomspace(4e3, 1e8, 30)
        expected = [fluids.friction.Colebrook(Re=float(r), eD=roughness) for r in re]
        assert expected == pytest.approx(hydraulics.colebrook(re, roughness), rel=1e-9)


def test_friction_near_no_flow_is_hagen_poiseuille() -> None:
    resistance = 128.0 * WATER.viscosity * 3.0 / (np.pi * BORE**4)
    assert resistance == pytest.approx(hydraulics.friction_slope(0.0, BORE, 3.0, 1e-5, WATER), rel=1e-14)
    assert resistance * 1e-8 == pytest.approx(hydraulics.friction_drop(1e-8, BORE, 3.0, 1e-5, WATER), rel=1e-12)


def test_friction_drop_is_darcy_weisbach() -> None:
    flow = np.array([-1e-3, -1e-5, 1e-5, 1e-3])
    factor = hydraulics.friction_factor(hydraulics.reynolds(flow, BORE, WATER), 1e-5 / BORE)
    expected = factor * 2.0 / BORE * hydraulics.velocity_pressure(flow, BORE, WATER)
    assert expected == pytest.approx(hydraulics.friction_drop(flow, BORE, 2.0, 1e-5, WATER), rel=1e-12)


def test_coil_of_endless_diameter_is_a_straight_pipe() -> None:
    assert hydraulics.friction_drop(FLOWS, BORE, 2.0, 1e-5, WATER) == pytest.approx(
        hydraulics.coil_drop(FLOWS, BORE, 2.0, np.inf, 1e-5, WATER), rel=1e-13
    )


def test_coil_never_loses_less_than_a_straight_pipe_once_turbulent() -> None:
    # Not so in between: a coil stays laminar to a higher Re than a pipe, yet loses no less than laminar flow.
    re = np.geomspace(2e4, 1e7, 50)
    straight = np.asarray(hydraulics.friction_factor(re, 1e-4))
    for curvature in (0.01, 0.05, 0.1, 0.2):
        assert np.all(np.asarray(hydraulics.coil_friction_factor(re, 1e-4, curvature)) > straight)


def test_laminar_coil_stays_near_two_other_authors() -> None:
    # White (1929) and Mori & Nakayama (1965), who differ from ours by up to 8 and 15 %.
    for re, curvature in ((1000.0, 0.1), (3000.0, 0.1), (2000.0, 0.05)):
        ours = hydraulics.coil_friction_factor(re, 0.0, curvature)
        white = fluids.friction.helical_laminar_fd_White(Re=re, Di=curvature, Dc=1.0)
        mori = fluids.friction.helical_laminar_fd_Mori_Nakayama(Re=re, Di=curvature, Dc=1.0)
        assert white == pytest.approx(ours, rel=0.08)
        assert mori == pytest.approx(ours, rel=0.15)


def test_turbulent_coil_stays_near_another_author() -> None:
    # Schmidt (1967); authors differ by 20 %.
    for re in (2.2e4, 5e4, 1e5):
        other = fluids.friction.helical_turbulent_fd_Schmidt(Re=re, Di=0.1, Dc=1.0, roughness=0.0)
        assert other == pytest.approx(hydraulics.coil_friction_factor(re, 0.0, 0.1), rel=0.20)


def test_fitting_loses_its_k_at_high_flow_and_hoopers_share_more_at_low() -> None:
    flow = 1e-3
    plain = 1.3 * hydraulics.velocity_pressure(flow, BORE, WATER)
    re = hydraulics.reynolds(flow, BORE, WATER)
    assert plain * (1.0 + 800.0 / re) == pytest.approx(hydraulics.k_drop(flow, BORE, 1.3, WATER, 800.0), rel=1e-13)
    assert plain == pytest.approx(hydraulics.k_drop(flow, BORE, 1.3, WATER), rel=2e-4)


def test_rated_law_passes_its_rating_and_is_straight_below_two_per_cent() -> None:
    at = np.array([1e-3, 2e-3])
    assert np.array([20e3, 20e3]) == pytest.approx(hydraulics.rated(at, 20e3, at, 1.75), rel=1e-15)
    assert 20e3 * 0.5**1.75 == pytest.approx(hydraulics.rated(0.5e-3, 20e3, 1e-3, 1.75), rel=1e-14)
    knee = hydraulics.rated(2e-5, 20e3, 1e-3, 1.75)
    assert 20e3 * 0.02**1.75 == pytest.approx(knee, rel=1e-13)
    assert 0.5 * knee == pytest.approx(hydraulics.rated(1e-5, 20e3, 1e-3, 1.75), rel=1e-13)


def test_a_stack_of_parts_over_rows_is_each_part_over_each_row() -> None:
    bores, flows = np.array([0.013, 0.019, 0.025]), np.array([[1e-4, 2e-4, 3e-4], [-1e-3, 0.0, 1e-3]])
    stack = np.asarray(hydraulics.friction_drop(flows, bores, 2.0, 1e-5, WATER))
    for row, part in np.ndindex(flows.shape):
        one = hydraulics.friction_drop(flows[row, part], bores[part], 2.0, 1e-5, WATER)
        assert one == pytest.approx(stack[row, part], rel=1e-13)
