"""`check_component`: the promises that every inline component keeps, for the tests of whoever writes one.

    check_component(Hose(bore=0.016, length=3.0), Hose(bore=0.019, length=1.0, bends=2.0))

Give several parts of the class, with all its words and with every optional field given and left out: those
that may stack are stacked and compared with themselves one by one.
"""

from __future__ import annotations

from collections.abc import Iterator
from typing import Any

import numpy as np
import numpy.typing as npt

from netsolve.component import Component
from netsolve.declare import Quantity, declared, values_of
from netsolve.water import Array, Water, sea_water

ROLES = (
    "shut_off", "multi_turn", "strainer", "cooler", "pump", "centrifugal", "one_way", "vent", "restrictor", "hose",
    "exhaust", "flow_alarm",
)  # fmt: skip
"""What a component may be to the rules."""

_Floats = npt.NDArray[np.float64]
_ROUNDING = 32 * np.finfo(float).eps
_FASTEST = 4.0  # m/s in the bore, up to which the flows of the sweep go
_LARGEST = 2e-3  # m3/s, where there is no bore


def check_component(*parts: Component, water: Water | None = None, flows: _Floats | None = None) -> None:
    """Raise AssertionError with a sentence for every promise that the parts break, and how to mend it.

    `flows` (m3/s) are swept instead of some 10,000 up to about 4 m/s in both directions; `water` is cold sea
    water unless given.
    """
    if not parts:
        raise AssertionError("give check_component at least one part to try")
    used = sea_water(288.15, 35.0) if water is None else water
    broken = list(_described(type(parts[0])))
    for part in parts:
        sweep = _sweep(part) if flows is None else np.unique(flows)
        broken += [f"{part!r}: {sentence}" for sentence in _curve(part, sweep, used)]
    for group in _stackable(parts):
        broken += [f"{type(group[0]).__name__}: {sentence}" for sentence in _stacked(group, used)]
    if broken:
        raise AssertionError("\n".join(dict.fromkeys(broken)))


def _described(kind: type[Component]) -> Iterator[str]:
    name = kind.__name__
    if not (kind.__doc__ or "").strip() or kind.__doc__ == Component.__doc__:
        yield f"{name} has no docstring: its first line is what the catalogue says of it"
    if not kind.sources or not all(source.strip() for source in kind.sources):
        yield (
            f"{name} names no sources: say which handbook and table its law is from, or 'common practice, no source'"
        )
    if kind.ports != Component.ports or kind.paths != Component.paths:
        yield f"{name} changes its ports: an inline part has in and out and one path; make it a Joint"
    for role in set(kind.roles) - set(ROLES):
        yield f"{name} has the role '{role}', which no rule knows: take some of {', '.join(ROLES)}"
    fields = declared(kind)
    for field in set(kind.model_fields) - set(fields):
        yield f"{name}.{field} is not declared: write it as quantity(), word(), flag() or table()"
    for field, spec in fields.items():
        if not spec.doc.strip():
            yield f"{name}.{field} has no doc: say what to read off the part, and the usual range"
    bore = fields.get(kind.velocity_bore)
    if kind.velocity_bore and not (isinstance(bore, Quantity) and bore.kind == "length"):
        yield (f"{name}.velocity_bore names no length: name the field whose bore the speed is reported in, or ''")


def _sweep(part: Component) -> _Floats:
    """Flows in both directions: evenly to the largest, and by decades down to a billionth of it, and none."""
    bore = getattr(part, part.velocity_bore, None) if part.velocity_bore else None
    largest = _LARGEST if bore is None else _FASTEST * np.pi / 4 * bore**2
    for name, spec in declared(type(part)).items():
        value = getattr(part, name)
        if isinstance(spec, Quantity) and spec.kind == "flow" and value is not None:
            largest = max(largest, 1.5 * value)
    even = np.linspace(-largest, largest, 10001)
    decades = largest * np.logspace(-9, 0, 181)
    return np.unique(np.concatenate([even, decades, -decades, [0.0]]))


def _laws(part: Component, flows: _Floats, values: _Floats, water: Water) -> Iterator[str]:
    """Whether the powers and the friction that the part says it is give what its curve gives."""
    laws = part.laws(water)
    if not laws:
        return
    told = sum((np.asarray(law.drop(flows)) for law in laws), np.zeros_like(flows))
    if not np.allclose(told, values, rtol=1e-9, atol=1e-9 * float(np.abs(values).max())):
        yield "quadratic and friction are not what pressure_drop gives: mend one of them, or leave those out"


def _curve(part: Component, flows: _Floats, water: Water) -> Iterator[str]:
    yield from _said(part, water)
    values = part.pressure_drop(flows, water)
    slopes = part.slope(flows, water)
    yield from _laws(part, flows, np.asarray(values), water)
    for name, result in (("pressure_drop", values), ("slope", slopes)):
        shaped = np.asarray(result)
        if shaped.shape != flows.shape or shaped.dtype != np.float64:
            yield (
                f"{name} gives {shaped.dtype} of shape {shaped.shape} for floats of shape {flows.shape}: "
                "compute it from `flow`, and write np.where for if"
            )
            return
        if not np.isfinite(shaped).all():
            at = flows[~np.isfinite(shaped)][0]
            yield f"{name} is not finite at {at:.3g} m3/s: keep 0/0, logarithms and roots away from there"
            return
    drops, steepness = np.asarray(values), np.asarray(slopes)
    yield from _rises(flows, drops, steepness)
    yield from _jumps(part, flows, drops, water)
    yield from _steepness(part, flows, drops, steepness, water)


def _said(part: Component, water: Water) -> Iterator[str]:
    for sentence in part.check():
        yield f"check() objects to it: {sentence}; give the test parts that are right"
    if part.status(0.0, 0.0) is not None and not isinstance(part.status(0.0, 0.0), str):
        yield "status() gives no word: return a str or None"
    least = part.least_speed(water)
    if least is not None and not 0 < float(least) < np.inf:
        yield "least_speed() gives no speed: return m/s above zero, or None"
    if np.asarray(part.closed()).dtype != np.bool_:
        yield "closed() gives no yes or no: return a comparison"


def _rises(flows: _Floats, drops: _Floats, slopes: _Floats) -> Iterator[str]:
    change = np.diff(drops)
    rounding = _ROUNDING * np.maximum(np.abs(drops[1:]), np.abs(drops[:-1]))
    fine = np.diff(flows) < 1e-5 * (flows[-1] - flows[0])
    falls = (change < -rounding) | (~fine & (change <= 0))
    if falls.any():
        at = flows[:-1][falls][0]
        yield (
            f"the drop does not rise from {at:.3g} m3/s on: it must rise strictly with flow in "
            "both directions; "
            "use v|v|, and a linear term where the law is flat"
        )
    flat = (slopes <= 0) & (flows != 0)
    if flat.any() or (slopes < 0).any():
        yield (f"slope() is not above zero at {flows[flat | (slopes < 0)][0]:.3g} m3/s: it may be zero only at no flow")


def _jumps(part: Component, flows: _Floats, drops: _Floats, water: Water) -> Iterator[str]:
    """Halve every interval towards its larger change: what does not fade away is a jump."""
    low, high, below, above = flows[:-1], flows[1:], drops[:-1], drops[1:]
    first = above - below
    for _ in range(48):
        middle = 0.5 * (low + high)
        value = np.asarray(part.pressure_drop(middle, water))
        left = value - below > above - value
        low, high = np.where(left, low, middle), np.where(left, middle, high)
        below, above = np.where(left, below, value), np.where(left, value, above)
    rounding = 8 * _ROUNDING * np.maximum(np.abs(above), np.abs(below))
    jump = (above - below > 0.01 * first) & (above - below > 1e-3 + rounding)
    if jump.any():
        yield (
            f"the drop jumps by {(above - below)[jump][0]:.3g} Pa at {low[jump][0]:.6g} m3/s: "
            "join the two laws where they change over"
        )


def _steepness(part: Component, flows: _Floats, drops: _Floats, slopes: _Floats, water: Water) -> Iterator[str]:
    """The slope lies between the chords to both sides, which differ only where the law has a kink."""
    step = 1e-5 * np.maximum(np.abs(flows), 1e-7 * flows[-1])
    before = np.asarray(part.pressure_drop(flows - step, water))
    after = np.asarray(part.pressure_drop(flows + step, water))
    left, right = (drops - before) / step, (after - drops) / step
    size = np.maximum(np.abs(before), np.abs(after))
    slack = 2e-5 * np.maximum(np.abs(left), np.abs(right)) + _ROUNDING * size / step
    wrong = (slopes < np.minimum(left, right) - slack) | (slopes > np.maximum(left, right) + slack)
    if wrong.any():
        at = np.flatnonzero(wrong)[0]
        yield (
            f"slope() is {slopes[at]:.6g} Pa s/m3 at {flows[at]:.3g} m3/s, the curve's is "
            f"{0.5 * (left[at] + right[at]):.6g}: differentiate pressure_drop, or leave slope() out"
        )


def _stackable(parts: tuple[Component, ...]) -> Iterator[list[Component]]:
    groups: dict[Any, list[Component]] = {}
    for part in parts:
        fixed = tuple(
            None if isinstance(value, float) else (value, value is None) for value in values_of(part).values()
        )
        groups.setdefault((type(part), fixed), []).append(part)
    yield from groups.values()


def _stacked(group: list[Component], water: Water) -> Iterator[str]:
    """A stack of parts, and rows of such stacks, give what each part gives alone."""
    group = group if len(group) > 1 else group * 2
    rows = 7
    flows = np.array([np.linspace(-1.0, 1.0, rows) * _sweep(part)[-1] for part in group]).T
    alone = np.array([[_one(part, float(flow), water) for part, flow in zip(group, row, strict=True)] for row in flows])
    slack = 1e-12 * float(np.nanmax(np.abs(alone)))
    stack = _stack(group, (len(group),))
    deep = _stack(group, flows.shape)
    by_row = Water(*(np.full((rows, 1), getattr(water, name)) for name in Water.__dataclass_fields__))
    tried = {
        "a stack (parts,)": np.array([_both(stack, row, water) for row in flows]),
        "rows of a stack (rows, parts)": np.moveaxis(_both(stack, flows, water), 0, 1),
        "rows with values of their own": np.moveaxis(_both(deep, flows, by_row), 0, 1),
    }
    for name, result in tried.items():
        if result.shape != (rows, 2, len(group)):
            yield f"{name} gives another shape than its flows: broadcast the fields with `flow`, parts last"
        elif not np.allclose(np.moveaxis(result, 1, 2), alone, rtol=1e-9, atol=slack, equal_nan=True):
            yield (f"{name} differs from the same parts one by one: write np.where for if, and no sums over an axis")


def _one(part: Component, flow: float, water: Water) -> tuple[float, float]:
    return float(part.pressure_drop(flow, water)), float(part.slope(flow, water))


def _both(stack: Component, flows: _Floats, water: Water) -> _Floats:
    drop, slope = stack.pressure_drop(flows, water), stack.slope(flows, water)
    return np.array([np.asarray(drop), np.asarray(slope)])


def _stack(group: list[Component], shape: tuple[int, ...]) -> Component:
    values: dict[str, Any] = {}
    for name, first in values_of(group[0]).items():
        column: Array = np.array([getattr(part, name) for part in group]) if isinstance(first, float) else first
        values[name] = np.broadcast_to(column, shape) if isinstance(first, float) else first
    return type(group[0]).model_construct(**values)
