"""Joints where any number of runs meet: tank, manifold, fixed flow."""

import numpy as np
import pytest
from pydantic import ValidationError

from netsolve.components.fixed_flow import FixedFlow
from netsolve.components.manifold import Manifold
from netsolve.components.tank import Tank
from netsolve.plugin import Water

WATER = Water(density=1025.0, viscosity=1.2e-3, heat_capacity=4000.0, conductivity=0.6, vapour_pressure=1700.0)

FLOW = 5e-4
VELOCITY_PRESSURE = 531.7
"""Pa at 30 L/min in 25 mm: 4 q/(pi d^2) = 1.0186 m/s, and 1025/2 x 1.0186^2."""


def test_tank_has_the_pressure_above_its_surface() -> None:
    assert Tank(level=0.4, pressure=2e4).pressure(0.0, WATER) == 2e4


def test_each_run_loses_an_entrance_out_of_the_tank_and_its_velocity_head_into_it() -> None:
    # Crane TP-410, A-30 (from memory): sharp entrance 0.5, exit 1.0.
    tank = Tank(level=0.4, pressure=2e4, bore=0.025)
    assert tank.pressure(FLOW, WATER) == pytest.approx(2e4 - 0.5 * VELOCITY_PRESSURE, abs=0.5)
    assert tank.pressure(-FLOW, WATER) == pytest.approx(2e4 + VELOCITY_PRESSURE, abs=0.5)


def test_tank_without_losses_has_one_pressure() -> None:
    tank = Tank(level=0.4, losses="none", bore=0.025)
    np.testing.assert_array_equal(tank.end_loss(np.array([-FLOW, FLOW]), WATER), [0.0, 0.0])


def test_pressure_of_a_tank_is_written_as_pressure_and_only_so() -> None:
    assert Tank.model_validate({"level": "0.4 m", "pressure": "20 kPa"}).surface_pressure == pytest.approx(2e4)
    assert "pressure" in Tank.model_json_schema()["properties"]
    assert "surface_pressure" not in Tank.model_json_schema()["properties"]
    with pytest.raises(ValidationError, match="surface_pressure"):
        Tank.model_validate({"level": "0.4 m", "surface_pressure": "20 kPa"})


def test_wrong_pressure_of_a_tank_is_reported_at_the_key_that_was_written() -> None:
    with pytest.raises(ValidationError) as caught:
        Tank.model_validate({"level": "0.4 m", "pressure": "20 mm"})
    assert [error["loc"] for error in caught.value.errors()] == [("pressure",)]


def test_tank_is_placed_by_its_level_alone() -> None:
    assert ["level" in sentence for sentence in Tank(level=0.4, height=0.4).check()] == [True]
    assert list(Tank(level=0.4).check()) == []


def test_stack_of_tanks_has_the_pressure_of_each() -> None:
    pressures, bores = np.array([0.0, 2e4]), np.array([0.025, 0.016])
    stack = Tank.model_construct(level=np.zeros(2), surface_pressure=pressures, bore=bores)
    flow = np.array([[FLOW, -FLOW], [-FLOW, 2 * FLOW]])
    together = np.asarray(stack.pressure(flow, WATER))
    for part in range(2):
        one = Tank(level=0.0, pressure=float(pressures[part]), bore=float(bores[part]))
        np.testing.assert_allclose(together[:, part], one.pressure(flow[:, part], WATER), rtol=1e-12)


def test_manifold_joins_without_loss_unless_told() -> None:
    assert Manifold(bore=0.025).end_loss(FLOW, WATER) == 0.0


def test_manifold_with_entrances_loses_half_a_head_into_a_run_and_one_out_of_it() -> None:
    # Crane TP-410, A-30 (from memory): sharp entrance 0.5, exit 1.0.
    chest = Manifold(losses="entrance", bore=0.025)
    assert chest.end_loss(FLOW, WATER) == pytest.approx(0.5 * VELOCITY_PRESSURE, rel=1e-3)
    assert chest.end_loss(-FLOW, WATER) == pytest.approx(-VELOCITY_PRESSURE, rel=1e-3)
    flow = np.concatenate([-np.geomspace(1e-2, 1e-9, 60), [0.0], np.geomspace(1e-9, 1e-2, 60)])
    assert np.diff(chest.end_loss(flow, WATER)).min() > 0.0


@pytest.mark.parametrize(("text", "flow"), [("30 L/min", 5e-4), ("-30 L/min", -5e-4)])
def test_fixed_flow_feeds_or_draws_what_it_is_given(text: str, flow: float) -> None:
    assert FixedFlow.model_validate({"flow": text}).inflow() == pytest.approx(flow)
