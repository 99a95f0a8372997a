"""`check_component` finds the faults that it promises to find, in parts, openings and joints."""

from __future__ import annotations

from typing import Any, ClassVar

import numpy as np
import pytest

from netsolve.plugin import Array, Component, Joint, Opening, Quadratic, Water, quantity, velocity_pressure, word
from netsolve.registry import Registry
from netsolve.testing import check_component
from netsolve.testing.ranges import drawn

BUILT_IN = Registry.built_in()


class _Good(Component):
    """A loss that keeps every promise but one, in those that follow."""

    sources: ClassVar[tuple[str, ...]] = ("made up for the test",)

    bore: float = quantity("length", "bore", above=0, example="16 mm")

    def pressure_drop(self, flow: Array, water: Water) -> Array:
        return velocity_pressure(flow, self.bore, water) + 1e5 * flow


class _Falling(_Good):
    """It falls above 1e-4 m3/s."""

    roles = ("pump",)

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


class _Pushing(_Good):
    """It drives the water without saying that it is a pump."""

    def pressure_drop(self, flow: Array, water: Water) -> Array:
        return super().pressure_drop(flow, water) - 1e3


class _Writing(_Good):
    """It writes into the flows that it is given."""

    def pressure_drop(self, flow: Array, water: Water) -> Array:
        drop = super().pressure_drop(flow, water)
        if isinstance(flow, np.ndarray):
            flow *= 1.0 + 1e-6
        return drop


class _Other(_Good):
    """What it says of its powers is not what it gives."""

    def quadratic(self, water: Water) -> Quadratic:
        return Quadratic(linear=2e5)


class _Raising(_Good):
    """It raises for reversed flow."""

    def pressure_drop(self, flow: Array, water: Water) -> Array:
        if np.any(np.asarray(flow) < 0):
            raise ValueError("one way only")
        return super().pressure_drop(flow, water)


class _Wordless(_Good):
    """Its status is a number."""

    def status(self, flow: float, drop: float) -> Any:
        return 3


class _Closing(_Good):
    """Its closed is a number."""

    def closed(self) -> Any:
        return 0.0


class _Plain(_Good):
    """A plain K law, flat at no flow, without a slope of its own."""

    def pressure_drop(self, flow: Array, water: Water) -> Array:
        return 1.5 * velocity_pressure(flow, self.bore, water)


class _Sharp(_Good):
    """It bends sharply at 1e-5 m3/s, which differences cannot see."""

    def pressure_drop(self, flow: Array, water: Water) -> Array:
        return super().pressure_drop(flow, water) + np.clip(flow - 1e-5, 0.0, 5e-13) * 1e13


def test_a_plain_law_passes_and_a_sharp_bend_wants_a_slope_of_its_own() -> None:
    check_component(_Plain)
    with pytest.raises(
        AssertionError, match=r"stand in for slope\(\), and miss the curve there; define slope\(self, flow, water\)"
    ):
        check_component(_Sharp(bore=0.01), flows=np.array([-1e-5, 0.0, 1e-5 + 2.5e-13, 2e-5]))


def test_what_is_broken_all_over_is_said_once() -> None:
    with pytest.raises(AssertionError) as raised:
        check_component(_Steep)
    assert str(raised.value).count("leave slope() out") == 1
    assert "more like it)" in str(raised.value)


def test_component_that_keeps_its_promises_passes() -> None:
    check_component(_Good(bore=0.01), _Good(bore=0.02))
    check_component(_Good)


BROKEN = [
    (_Falling, "the drop does not rise"),
    (_Stepping, "the drop jumps by 50 Pa at 0.00010000[0-9]* m3/s: join the two laws"),
    (_Steep, "differentiate pressure_drop, or leave slope"),
    (_Choosing, "differs from the same parts one by one"),
    (_Endless, "pressure_drop is not finite at 0 m3/s"),
    (_Sourceless, "_Sourceless names no sources"),
    (_Jolly, "_Jolly has the role 'jolly'"),
    (_Pushing, r"it gives pressure at 0 m3/s and is no pump: mend its signs, or give it roles = \('pump',\)"),
    (_Writing, "pressure_drop changes the flows that it is given: make a new array"),
    (_Other, "quadratic and friction are not what pressure_drop gives"),
    (_Raising, r"it raises: .*test_testing.py, line \d+: ValueError: one way only"),
    (_Wordless, "status\\(\\) gives no word: return a str or None"),
    (_Closing, "closed\\(\\) gives no yes or no"),
]


@pytest.mark.parametrize(("kind", "said"), BROKEN)
def test_broken_promise_is_named(kind: type[_Good], said: str) -> None:
    with pytest.raises(AssertionError, match=said):
        check_component(kind(bore=0.01), kind(bore=0.02))
    with pytest.raises(AssertionError, match=said):
        check_component(kind)


def test_nothing_to_check_is_said() -> None:
    with pytest.raises(AssertionError, match="give check_component a class, or at least one part of it"):
        check_component()


class _Narrow(_Good):
    """It fails only near the end of one range, with one word, and a third parameter given."""

    style: str = word("what it is", "plain", "fancy", default="plain")
    share: float | None = quantity("ratio", "how much", at_least=0, at_most=1, default=None)

    def pressure_drop(self, flow: Array, water: Water) -> Array:
        fault = self.style == "fancy" and self.share is not None
        wrong = np.where(np.asarray(self.share) > 0.9, -1.0, 1.0) if fault else 1.0
        return wrong * super().pressure_drop(flow, water)


def test_a_fault_in_a_corner_of_the_ranges_is_found() -> None:
    check_component(_Narrow(bore=0.01), _Narrow(bore=0.01, share=0.95), _Narrow(bore=0.01, style="fancy", share=0.5))
    with pytest.raises(AssertionError, match=r"style='fancy', share=(1.0|0.9\d*)\): .*the drop does not rise"):
        check_component(_Narrow)


class _Impossible(_Good):
    """Nothing suits it."""

    def check(self) -> list[str]:
        return ["it is never right"]


def test_ranges_in_which_nothing_is_right_are_told() -> None:
    with pytest.raises(AssertionError, match=r"right together \(it is never right\): give its quantities example=…"):
        check_component(_Impossible)


def test_drawn_parts_reach_the_ends_of_their_ranges_and_are_the_same_each_time() -> None:
    parts = drawn(_Narrow)
    assert parts == drawn(_Narrow)
    shares = [part.share for part in parts if part.share is not None]
    assert {0.0, 1.0} <= set(shares)
    assert any(part.share is None for part in parts)
    assert {part.style for part in parts} == {"plain", "fancy"}
    assert all(0.005 / 1.01 <= part.bore <= 0.016 * 10**0.51 for part in parts)


@pytest.mark.parametrize("name", BUILT_IN.names())
def test_every_built_in_component_and_joint_keeps_its_promises_over_its_ranges(name: str) -> None:
    check_component(BUILT_IN.component(name))


class _Pond(Opening):
    """A pond whose pressure falls as it gives water."""

    bore: float = quantity("length", "bore", above=0, default=0.02)
    sources: ClassVar[tuple[str, ...]] = ("made up for the test",)

    def pressure(self, flow: Array, water: Water) -> Array:
        return 1e3 - velocity_pressure(flow, self.bore, water) - 1e5 * flow


class _Rising(_Pond):
    """It gains pressure as it gives water."""

    def pressure(self, flow: Array, water: Water) -> Array:
        return 1e3 + 1e5 * flow


class _Flapping(_Pond):
    """It steps as water turns about."""

    def pressure(self, flow: Array, water: Water) -> Array:
        return 1e3 - np.where(flow > 0, 200.0, 0.0) - 1e5 * flow


class _Doubtful(_Pond):
    """Its one_way is a word."""

    def one_way(self) -> Any:
        return "yes"


class _Gap(_Pond):
    """It has a pressure of whole numbers."""

    def pressure(self, flow: Array, water: Water) -> Any:
        return np.zeros(np.shape(flow), dtype=int)


class _Cross(Joint):
    """A cross of two lines, each with a loss of its own."""

    ports: ClassVar[tuple[str, ...]] = ("north", "south", "east", "west")
    paths: ClassVar[tuple[tuple[str, str], ...]] = (("north", "south"), ("east", "west"))
    sources: ClassVar[tuple[str, ...]] = ("made up for the test",)
    bore: float = quantity("length", "bore", above=0, example="20 mm")

    def pressure_drop(self, flow: Array, water: Water) -> Array:
        return velocity_pressure(flow, self.bore, water) + 1e5 * flow


class _Mixing(_Cross):
    """Its paths are coupled, and it does not say so."""

    def pressure_drop(self, flow: Array, water: Water) -> Array:
        return super().pressure_drop(flow, water) + 1e5 * flow[::-1]


class _Tearing(_Cross):
    """A path jumps where the other turns about."""

    coupled = True

    def pressure_drop(self, flow: Array, water: Water) -> Array:
        return super().pressure_drop(flow, water) + np.where(flow[::-1] > 0, 100.0, 0.0) * np.sign(flow)


class _Crooked(_Cross):
    """Its jacobian is not the derivative."""

    def jacobian(self, flow: Array, water: Water) -> Array:
        return 1.1 * super().jacobian(flow, water)


class _Summing(_Cross):
    """It gives one loss for both."""

    def pressure_drop(self, flow: Array, water: Water) -> Array:
        return 1e5 * flow.sum(axis=0)


class _Costly(_Cross):
    """It costs something at no flow."""

    def pressure_drop(self, flow: Array, water: Water) -> Array:
        return super().pressure_drop(flow, water) + 5.0


class _Portless(_Cross):
    """A path leads to a port that there is not."""

    paths = (("north", "south"), ("east", "nowhere"))


class _Chest(Joint):
    """A chest whose ends cost the wrong way about."""

    sources: ClassVar[tuple[str, ...]] = ("made up for the test",)

    def end_loss(self, flow: Array, water: Water) -> Array:
        return -1e5 * flow


def test_joints_that_keep_their_promises_pass() -> None:
    check_component(_Pond, _Cross)


@pytest.mark.parametrize(
    ("kind", "said"),
    [
        (_Rising, "pressure rises as more flows out of it into the run"),
        (_Flapping, "pressure jumps by 200 Pa at"),
        (_Doubtful, r"one_way\(\) gives no yes or no"),
        (_Gap, "pressure gives int64 instead of floats"),
        (_Mixing, "the loss of one path depends on another's flow: say coupled = True"),
        (_Tearing, r"the loss of path \('north', 'south'\) jumps by 100 Pa at .* m3/s: join the laws"),
        (_Crooked, r"jacobian\(\) is not the derivative of pressure_drop"),
        (_Summing, "one flow for each path stands on the first axis, in and out"),
        (_Costly, "a path loses 5 Pa at no flow: nothing may be lost there"),
        (_Portless, r"_Portless has the path \('east', 'nowhere'\): a path is a pair of two of its ports"),
        (_Chest, "end_loss falls as more flows into the run"),
    ],
)
def test_broken_promise_of_a_joint_is_named(kind: type[Joint], said: str) -> None:
    with pytest.raises(AssertionError, match=said):
        check_component(kind)
