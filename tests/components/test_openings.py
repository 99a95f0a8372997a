"""Openings: sea, air and gas; what the pressure is at the end of a run, and when water can only leave."""

import numpy as np
import pytest

from netsolve.component import Opening
from netsolve.components.discharge import Discharge
from netsolve.components.exhaust_injection import ExhaustInjection
from netsolve.components.sea_inlet import SeaInlet
from netsolve.components.tank import Tank
from netsolve.plugin import Water

WATER = Water(density=1025.0, viscosity=1.2e-3, heat_capacity=4000.0, conductivity=0.6, vapour_pressure=1700.0)

DEPTH_HEAD = 5025.9
"""Pa half a metre down: 1025 x 9.80665 x 0.5."""

FLOW = 5e-4
VELOCITY_PRESSURE = 531.7
"""Pa at 30 L/min in 25 mm: 4 q/(pi d^2) = 1.0186 m/s, and 1025/2 x 1.0186^2."""

OPENINGS = [
    SeaInlet(height=-0.5, bore=0.025),
    SeaInlet(height=-0.5, bore=0.025, style="scoop_forward", boat_speed=5.0, grate=0.5),
    SeaInlet(height=0.1, bore=0.025),
    Discharge(height=0.2, bore=0.025),
    Discharge(height=-0.5, bore=0.025),
    ExhaustInjection(height=0.3, bore=0.025, back_pressure=5e3),
]


@pytest.mark.parametrize("opening", OPENINGS)
def test_pressure_falls_strictly_with_flow_into_the_circuit(opening: Opening) -> None:
    flow = np.concatenate([-np.geomspace(1e-2, 1e-9, 60), [0.0], np.geomspace(1e-9, 1e-2, 60)])
    assert np.diff(opening.end_loss(flow, WATER)).min() > 0.0


@pytest.mark.parametrize("opening", OPENINGS)
def test_pressure_is_constant_without_losses(opening: Opening) -> None:
    still = opening.pressure(np.zeros(3), WATER)
    lossless = opening.model_copy(update={"losses": "none", "bore": None})
    np.testing.assert_array_equal(lossless.pressure(np.array([-1e-3, 0.0, 1e-3]), WATER), still)


@pytest.mark.parametrize(
    ("style", "k"),
    # Crane TP-410, A-30 (from memory) for sharp and projecting; Idelchik, diagram 3-3, r/d 0.06 for rounded.
    [("flush", 0.5), ("projecting", 0.78), ("rounded", 0.2)],
)
def test_inlet_has_the_head_of_the_sea_less_its_entrance(style: str, k: float) -> None:
    inlet = SeaInlet(height=-0.5, bore=0.025, style=style)
    assert inlet.pressure(0.0, WATER) == pytest.approx(DEPTH_HEAD, rel=1e-4)
    assert inlet.end_loss(FLOW, WATER) == pytest.approx(k * VELOCITY_PRESSURE, rel=1e-3)


def test_water_that_leaves_through_the_inlet_loses_its_velocity_head() -> None:
    inlet = SeaInlet(height=-0.5, bore=0.025)
    assert inlet.pressure(-FLOW, WATER) == pytest.approx(DEPTH_HEAD + VELOCITY_PRESSURE, rel=1e-4)


def test_own_k_overrides_the_style() -> None:
    inlet = SeaInlet(height=-0.5, bore=0.025, style="projecting", k=2.0)
    assert inlet.end_loss(FLOW, WATER) == pytest.approx(2.0 * VELOCITY_PRESSURE, rel=1e-3)


@pytest.mark.parametrize(
    ("open_share", "style", "k"),
    # Idelchik, diagram 3-12 (from memory): (1.707/0.5 - 1)^2 = 5.83, and 0.5 at a share of one.
    [(0.5, "flush", 5.827), (1.0, "flush", 0.5), (1.4, "flush", 0.5), (1.0, "projecting", 0.78)],
)
def test_grate_takes_the_place_of_the_entrance_and_never_betters_it(open_share: float, style: str, k: float) -> None:
    inlet = SeaInlet(height=-0.5, bore=0.025, style=style, grate=open_share)
    assert inlet.end_loss(FLOW, WATER) == pytest.approx(k * VELOCITY_PRESSURE, rel=1e-3)


@pytest.mark.parametrize(
    ("style", "share"),
    # Common practice, no source: flush 0, forward 0.3 to 0.7, aft -0.1 to -0.3.
    [("flush", 0.0), ("scoop_forward", 0.5), ("scoop_aft", -0.2)],
)
def test_scoop_recovers_a_share_of_the_boat_speed(style: str, share: float) -> None:
    ten_knots = 10 * 1852 / 3600
    inlet = SeaInlet(height=-0.5, bore=0.025, style=style, boat_speed=ten_knots)
    # 1025/2 x 5.144^2 = 13.56 kPa
    assert inlet.pressure(0.0, WATER) == pytest.approx(DEPTH_HEAD + share * 13563.0, abs=2.0)


def test_own_recovery_overrides_the_style() -> None:
    inlet = SeaInlet(height=-0.5, bore=0.025, boat_speed=10 * 1852 / 3600, recovery=-0.1)
    assert inlet.pressure(0.0, WATER) == pytest.approx(DEPTH_HEAD - 1356.3, abs=1.0)


def test_inlet_above_the_waterline_has_no_head_and_says_so() -> None:
    inlet = SeaInlet(height=0.1, bore=0.025, style="scoop_forward", boat_speed=5.0)
    assert inlet.pressure(0.0, WATER) == 0.0
    assert inlet.one_way()
    assert any("not below the waterline" in sentence for sentence in inlet.check())
    assert not SeaInlet(height=-0.1, bore=0.025).one_way()


def test_k_and_grate_together_are_refused() -> None:
    sentences = list(SeaInlet(height=-0.5, k=1.0, grate=0.5).check())
    assert len(sentences) == 1
    assert "give one" in sentences[0]


def test_discharge_goes_into_air_or_sea_by_its_height() -> None:
    above, below = Discharge(height=0.2, bore=0.025), Discharge(height=-0.5, bore=0.025)
    assert above.one_way()
    assert not below.one_way()
    assert above.pressure(-FLOW, WATER) == pytest.approx(VELOCITY_PRESSURE, rel=1e-3)
    assert below.pressure(-FLOW, WATER) == pytest.approx(DEPTH_HEAD + VELOCITY_PRESSURE, rel=1e-4)


def test_discharge_below_the_waterline_may_go_into_air() -> None:
    into_bilge = Discharge(height=-0.5, bore=0.025, into="air")
    assert into_bilge.one_way()
    assert into_bilge.pressure(0.0, WATER) == 0.0
    assert list(into_bilge.check()) == []


def test_discharge_above_the_waterline_cannot_go_into_the_sea() -> None:
    sentences = list(Discharge(height=0.2, into="sea").check())
    assert len(sentences) == 1
    assert "above the waterline" in sentences[0]


def test_back_pressure_follows_the_square_of_the_speed() -> None:
    half_speed = ExhaustInjection(height=0.3, back_pressure_at_rated=8e3, speed=20.0, rated_speed=40.0)
    assert half_speed.pressure(0.0, WATER) == pytest.approx(2e3)
    assert list(half_speed.check()) == []


def test_given_back_pressure_stands_whatever_the_speed() -> None:
    injection = ExhaustInjection(height=0.3, bore=0.025, back_pressure=3e3, speed=10.0, rated_speed=40.0)
    assert injection.one_way() is True
    assert injection.pressure(-FLOW, WATER) == pytest.approx(3e3 + VELOCITY_PRESSURE, rel=1e-3)


def test_two_back_pressures_or_one_without_an_engine_are_refused() -> None:
    both = ExhaustInjection(height=0.3, back_pressure=1e3, back_pressure_at_rated=8e3, speed=20.0, rated_speed=40.0)
    lonely = ExhaustInjection(height=0.3, back_pressure_at_rated=8e3)
    assert ["give one" in sentence for sentence in both.check()] == [True]
    assert ["give the engine" in sentence for sentence in lonely.check()] == [True]


def test_stack_of_openings_has_the_pressure_of_each() -> None:
    heights = np.array([-0.5, 0.2, -0.1])
    bores = np.array([0.025, 0.032, 0.02])
    flow = np.random.default_rng(5).normal(scale=1e-3, size=(20, 3))
    for kind in (SeaInlet, Discharge):
        stack = kind.model_construct(height=heights, bore=bores)
        together, leaves = np.asarray(stack.pressure(flow, WATER)), np.asarray(stack.one_way())
        for part in range(3):
            one = kind(height=float(heights[part]), bore=float(bores[part]))
            np.testing.assert_allclose(together[:, part], one.pressure(flow[:, part], WATER), rtol=1e-12)
            assert leaves[part] == one.one_way()


@pytest.mark.parametrize(
    "joint",
    [
        SeaInlet(height=-0.5, bore=0.038),
        SeaInlet(height=-0.5, bore=0.038, style="projecting", grate=0.6),
        SeaInlet(height=-0.5, losses="none"),
        Discharge(height=0.2, bore=0.016),
        Discharge(height=-0.2, bore=0.016),
        ExhaustInjection(height=0.3, bore=0.032),
        Tank(level=1.0, bore=0.02),
    ],
    ids=repr,
)
def test_the_sum_of_powers_at_an_end_is_its_loss(joint):
    flows = np.linspace(-2e-3, 2e-3, 41)
    law = joint.end_quadratic(WATER)
    linear, square, linear_back, square_back = law.sides()
    told = flows * np.where(flows > 0, linear + square * np.abs(flows), linear_back + square_back * np.abs(flows))
    assert told == pytest.approx(joint.end_loss(flows, WATER), rel=1e-9, abs=1e-9)
