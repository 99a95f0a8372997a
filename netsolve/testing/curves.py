"""What an inline component's curve promises: it rises, has no jumps, and its slope is its derivative."""

from __future__ import annotations

from collections.abc import Callable, Iterator
from typing import Any

import numpy as np
import numpy.typing as npt

from netsolve.component import Component
from netsolve.contract.declare import Quantity, declared
from netsolve.discovery.trial import ROUNDING, misshapen
from netsolve.water import Water

Floats = npt.NDArray[np.float64]
_FASTEST = 4.0  # m/s in the bore, up to which the flows of the sweep go
_LARGEST = 2e-3  # m3/s, where there is no bore
NEAR_NOTHING = 1e-8  # m3/s, below which differences look across the kink or the flat place at no flow


def sweep(part: Any, bore: str, count: int) -> Floats:
    """Flows in both directions: evenly to the largest, and by decades down to a billionth of it, and none."""
    width = getattr(part, bore, None) if bore else None
    largest = _LARGEST if width is None else _FASTEST * np.pi / 4 * width**2
    for name, spec in declared(type(part)).items():
        value = getattr(part, name)
        if isinstance(spec, Quantity) and spec.kind == "flow" and value is not None:
            largest = max(largest, 1.5 * value)
    even = np.linspace(-largest, largest, count)
    decades = largest * np.logspace(-9, 0, 181)
    return np.unique(np.concatenate([even, decades, -decades, [0.0]]))


def _laws(part: Component, flows: Floats, values: Floats, water: Water) -> Iterator[str]:
    """Whether the powers and the friction that the part says it is give what its curve gives."""
    laws = part.laws(water)
    if not laws:
        return
    told = sum((np.asarray(law.drop(flows)) for law in laws), np.zeros_like(flows))
    if not np.allclose(told, values, rtol=1e-9, atol=1e-9 * float(np.abs(values).max())):
        yield "quadratic and friction are not what pressure_drop gives: mend one of them, or leave those out"


def curve(part: Component, flows: Floats, water: Water) -> Iterator[str]:
    """What the curve of one part breaks, at these flows (m3/s)."""
    yield from _said(part, water)
    given = flows.copy()
    values, slopes = part.pressure_drop(given, water), part.slope(given, water)
    for name, result in (("pressure_drop", values), ("slope", slopes)):
        if sentence := misshapen(name, result, flows):
            yield sentence
            return
    if not np.array_equal(given, flows):
        yield "pressure_drop changes the flows that it is given: make a new array instead of writing into `flow`"
    drops, steepness = np.asarray(values), np.asarray(slopes)
    if not np.array_equal(np.asarray(part.pressure_drop(flows, water)), drops):
        yield "pressure_drop gives another answer when it is asked again: it may depend on its arguments alone"
    yield from _laws(part, flows, drops, water)
    yield from _pushes(part, flows, drops)
    yield from _rises(flows, drops, steepness)

    def law(flow: Floats) -> Floats:
        return np.asarray(part.pressure_drop(flow, water))

    for at, jump in jumps(law, flows, drops):
        yield f"the drop jumps by {jump:.3g} Pa at {at:.6g} m3/s: join the two laws where they change over"
    if type(part).slope is Component.slope and not part.laws(water):
        away = np.abs(flows) >= NEAR_NOTHING
        for sentence in steep("slope()", "pressure_drop", law, flows[away], steepness[away]):
            told = sentence.partition(": ")[0]
            yield f"{told}: differences stand in for slope(), and miss the curve there; define slope(self, flow, water)"
    else:
        yield from steep("slope()", "pressure_drop", law, flows, steepness)


def _said(part: Component, water: Water) -> Iterator[str]:
    for sentence in part.check():
        yield f"check() objects to it: {sentence}; give the test parts that are right"
    for flow, drop in ((0.0, 0.0), (1e-4, 1e3), (-1e-4, -1e3)):
        if not isinstance(part.status(flow, drop), str | None):
            yield "status() gives no word: return a str or None"
            break
    least = part.least_speed(water)
    if least is not None and not 0 < float(least) < np.inf:
        yield "least_speed() gives no speed: return m/s above zero, or None"
    if np.asarray(part.closed()).dtype != np.bool_:
        yield "closed() gives no yes or no: return a comparison"


def _pushes(part: Component, flows: Floats, drops: Floats) -> Iterator[str]:
    """Only a pump gives pressure to water that runs through it."""
    gives = drops * flows < 0
    at_rest = abs(float(drops[flows == 0][0])) > 0 if (flows == 0).any() else False
    if (gives.any() or at_rest) and "pump" not in part.roles:
        at = 0.0 if at_rest else flows[gives][0]
        yield f"it gives pressure at {at:.3g} m3/s and is no pump: mend its signs, or give it roles = ('pump',)"


def _rises(flows: Floats, drops: Floats, slopes: Floats) -> Iterator[str]:
    change = np.diff(drops)
    rounding = ROUNDING * np.maximum(np.abs(drops[1:]), np.abs(drops[:-1]))
    fine = np.diff(flows) < 1e-5 * (flows[-1] - flows[0])
    falls = (change < -rounding) | (~fine & (change <= 0))
    if falls.any():
        at = flows[:-1][falls][0]
        yield (
            f"the drop does not rise from {at:.3g} m3/s on: it must rise strictly with flow in both directions; "
            "use v|v|, and a linear term where the law is flat"
        )
    flat = (slopes <= 0) & (flows != 0)
    if flat.any() or (slopes < 0).any():
        yield (f"slope() is not above zero at {flows[flat | (slopes < 0)][0]:.3g} m3/s: it may be zero only at no flow")


def jumps(law: Callable[[Floats], Floats], flows: Floats, values: Floats) -> Iterator[tuple[float, float]]:
    """Halve every interval towards its larger change: what does not fade away is a jump. The place and size of one."""
    low, high, below, above = flows[:-1], flows[1:], values[:-1], values[1:]
    first = np.abs(above - below)
    for _ in range(48):
        middle = 0.5 * (low + high)
        value = law(middle)
        left = np.abs(value - below) > np.abs(above - value)
        low, high = np.where(left, low, middle), np.where(left, middle, high)
        below, above = np.where(left, below, value), np.where(left, value, above)
    rounding = 8 * ROUNDING * np.maximum(np.abs(above), np.abs(below))
    left_over = np.abs(above - below)
    jump = (left_over > 0.01 * first) & (left_over > 1e-3 + rounding)
    if jump.any():
        yield float(low[jump][0]), float(left_over[jump][0])


def steep(
    name: str, of: str, law: Callable[[Floats], Floats], flows: Floats, slopes: Floats, sense: float = 1.0
) -> Iterator[str]:
    """The slope lies between the chords to both sides, which differ only where the law has a kink.

    Short chords, or such as the differences have that stand in for a slope: those look across a kink nearby.
    """
    step = 1e-5 * np.maximum(np.abs(flows), 1e-7 * flows[-1])
    left, right, slack = _chords(law, flows, step, sense)
    wrong = (slopes < np.minimum(left, right) - slack) | (slopes > np.maximum(left, right) + slack)
    wide_left, wide_right, slack = _chords(law, flows, np.maximum(step, 2e-12), sense)
    wrong &= (slopes < np.minimum(wide_left, wide_right) - slack) | (slopes > np.maximum(wide_left, wide_right) + slack)
    if wrong.any():
        at = np.flatnonzero(wrong)[0]
        yield (
            f"{name} is {slopes[at]:.6g} Pa s/m3 at {flows[at]:.3g} m3/s, the curve's is "
            f"{0.5 * (left[at] + right[at]):.6g}: differentiate {of}, or leave {name} out"
        )


def _chords(
    law: Callable[[Floats], Floats], flows: Floats, step: Floats, sense: float
) -> tuple[Floats, Floats, Floats]:
    """The slopes of the chords to the left and to the right, and how far rounding may put a slope beyond them."""
    middle, before, after = (sense * law(at) for at in (flows, flows - step, flows + step))
    left, right = (middle - before) / step, (after - middle) / step
    size = np.maximum(np.abs(before), np.abs(after))
    return left, right, 2e-5 * np.maximum(np.abs(left), np.abs(right)) + ROUNDING * size / step
