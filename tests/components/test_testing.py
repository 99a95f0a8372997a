"""`check_component` finds the faults that it promises to find."""

from __future__ import annotations

from typing import ClassVar

import numpy as np
import pytest

from netsolve.plugin import Array, Component, Water, quantity, velocity_pressure
from netsolve.testing import check_component


class _Good(Component):
    """A loss that keeps every promise but one, in those that follow."""

    sources: ClassVar[tuple[str, ...]] = ("made up for the test",)

    bore: float = quantity("length", "bore", above=0)

    def pressure_drop(self, flow: Array, water: Water) -> Array:
        return velocity_pressure(flow, self.bore, water) + 1e5 * flow


class _Falling(_Good):
    """It falls above 1e-4 m3/s."""

    def pressure_drop(self, flow: Array, water: Water) -> Array:
        return flow * (2e-4 - np.abs(flow))


class _Stepping(_Good):
    """It steps up at 1e-4 m3/s."""

    def pressure_drop(self, flow: Array, water: Water) -> Array:
        return super().pressure_drop(flow, water) + np.where(flow > 1.00001e-4, 50.0, 0.0)


class _Steep(_Good):
    """Its slope is 1 % too large."""

    def slope(self, flow: Array, water: Water) -> Array:
        return 1.01 * super().slope(flow, water)


class _Choosing(_Good):
    """It asks whether an array is positive."""

    def pressure_drop(self, flow: Array, water: Water) -> Array:
        return super().pressure_drop(flow, water) * (1.0 if np.sum(flow) >= 0 else 2.0)


class _Endless(_Good):
    """It divides by the flow."""

    def pressure_drop(self, flow: Array, water: Water) -> Array:
        with np.errstate(divide="ignore", invalid="ignore"):
            return super().pressure_drop(flow, water) * flow / flow

    def slope(self, flow: Array, water: Water) -> Array:
        return 0.0 * flow + 1.0


class _Sourceless(_Good):
    """It names no source."""

    sources = ()


class _Jolly(_Good):
    """It has a role that no rule knows."""

    roles = ("jolly",)


def test_component_that_keeps_its_promises_passes() -> None:
    check_component(_Good(bore=0.01), _Good(bore=0.02))


@pytest.mark.parametrize(
    ("kind", "said"),
    [
        (_Falling, "the drop does not rise"),
        (_Stepping, "the drop jumps by 50 Pa"),
        (_Steep, "differentiate pressure_drop, or leave slope"),
        (_Choosing, "differs from the same parts one by one"),
        (_Endless, "pressure_drop is not finite at 0 m3/s"),
        (_Sourceless, "names no sources"),
        (_Jolly, "has the role 'jolly'"),
    ],
)
def test_broken_promise_is_named(kind: type[_Good], said: str) -> None:
    with pytest.raises(AssertionError, match=said):
        check_component(kind(bore=0.01), kind(bore=0.02))


def test_nothing_to_check_is_said() -> None:
    with pytest.raises(AssertionError, match="at least one part"):
        check_component()
