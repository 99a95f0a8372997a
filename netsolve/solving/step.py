"""One step of Newton's method: the tangent's, mended where a tangent misleads, and no longer than it is good for.

A check valve about to shut, or a curve that is nearly flat where it stands, has a tangent that says nothing of where
the flow will be. Such edges are put on their own curve at the pressure that the step would leave them, and the step is
taken anew from there: the flows of the others still come from their tangents.

The length of the step comes from the slope of the content (Cherry 1951, Phil. Mag. 42, 1161; Millar 1951,
Phil. Mag. 42, 1150), Σ step (h(flow + t step) - Δp), which rises with t because every curve rises.
"""

from __future__ import annotations

from dataclasses import dataclass, replace
from functools import cached_property

import numpy as np

from netsolve.arrays.stack import Floats, Ints, some_rows
from netsolve.solving.curve_search import LONGEST, Standing, on_curve
from netsolve.solving.law import Conductance, Law
from netsolve.solving.schur import Schur

MISLED = 0.01
"""A tangent misleads where more than this share of its edge's imbalance is still there at the end of the step."""

TOO_FAR, TOO_SHORT = 1 / 3, 0.1
"""A length is good where the content's slope is below this share of what it was, or above minus this share."""

MOST_TRIALS = 40
MOST_COVERINGS = 8


@dataclass(frozen=True)
class Point:
    """Flows (rows, edges) in m3/s and pressures (rows, nodes) in Pa under a law.

    `drop` (Pa) and `slope` are those of the curves there. `covered` says how the crests are taken: as `Law.covered` of
    these pressures, or otherwise.
    """

    law: Law
    flow: Floats
    pressure: Floats
    drop: Floats
    slope: Floats
    covered: tuple[Floats, Floats]

    @classmethod
    def at(cls, law: Law, flow: Floats, pressure: Floats, curves: tuple[Floats, Floats] | None = None) -> Point:
        """The point of these flows and pressures; `curves` as `Law.curves` gives them, where they are known already."""
        return cls(law, flow, pressure, *(curves or law.curves(flow)), law.covered(pressure))

    @cached_property
    def energy(self) -> Floats:
        """What is left over along each edge, Pa."""
        return self.law.carried(self.drop - self.law.drive(self.pressure, self.covered))

    @cached_property
    def mass(self) -> Floats:
        """What is left over at each node, m3/s."""
        return self.law.mass(self.flow)

    @cached_property
    def conductance(self) -> Conductance:
        """How the flows answer to pressures here."""
        return self.law.conductance(self.flow, self.slope, self.covered)

    def moved(self, edges: Ints, to: Standing) -> Point:
        """The point with some edges elsewhere on their curves; none of them is a crest or of a joint."""
        there = {}
        for name in ("flow", "drop", "slope"):
            there[name] = getattr(self, name).copy(order="K")
            there[name][:, edges] = getattr(to, name)
        moved = replace(self, **there)
        moved.__dict__["conductance"] = self.law.steepened(self.conductance, edges, to.slope)
        return moved

    def take(self, law: Law, rows: Ints) -> Point:
        """The point of some of the rows, under their law."""
        if law is self.law:
            return self
        return Point(
            law,
            some_rows(self.flow, rows),
            some_rows(self.pressure, rows),
            some_rows(self.drop, rows),
            some_rows(self.slope, rows),
            (some_rows(self.covered[0], rows), some_rows(self.covered[1], rows)),
        )


def stepped(schur: Schur, pins: np.ndarray, point: Point, *, balanced: bool, mend: bool) -> Point:
    """The point after one step; only where the flows are `balanced` is the step's length known.

    A step is mended, at the cost of solving for it a second time, only where asked for.
    """
    law, tangent = point.law, _stretched(point, *_tangent(schur, pins, point))
    step, rise, end, slope = tangent.step, tangent.rise, tangent.end, tangent.slope
    misled = _misled(point, tangent) if mend else np.zeros(step.shape, dtype=bool)
    rows = np.flatnonzero(misled.any(axis=1))
    if len(rows) < len(step):
        end = law.joined(point.flow + step, end)
    if len(rows):
        some = point.take(law.take(rows), rows)
        mended, raised = _mended(schur, _some(pins, rows), some, tangent.take(rows), _some(misled, rows), balanced)
        step, rise = _put(step, rows, mended), _put(rise, rows, raised)
        curves = some.law.curves(some.flow + mended)
        end, slope = _put(end, rows, curves[0]), _put(slope, rows, curves[1])
    pressure = point.pressure + rise
    if not balanced:
        return Point.at(law, point.flow + step, pressure, (end, slope))
    return _damped(point, step, pressure, (end, slope))


@dataclass(frozen=True)
class _Stretched:
    """A step and its end: the pressure `asked` of each edge there, and the drops and slopes of edges by themselves."""

    step: Floats
    rise: Floats
    asked: Floats
    end: Floats
    slope: Floats

    def take(self, rows: Ints) -> _Stretched:
        """That of some of the rows."""
        return _Stretched(*(_some(each, rows) for each in (self.step, self.rise, self.asked, self.end, self.slope)))


def _stretched(point: Point, step: Floats, rise: Floats) -> _Stretched:
    law = point.law
    return _Stretched(step, rise, law.drive(point.pressure + rise), *law.own.at(point.flow + step))


def _some(whole: Floats, rows: Ints) -> Floats:
    """Some rows, or the whole where these are all."""
    return whole if len(rows) == len(whole) else some_rows(whole, rows)


def _put(whole: Floats, rows: Ints, some: Floats) -> Floats:
    """The whole with these rows of it as given; `whole` is used up."""
    if len(rows) == len(whole):
        return some
    whole[rows] = some
    return whole


def _tangent(schur: Schur, pins: np.ndarray, point: Point) -> tuple[Floats, Floats]:
    """The changes of flow and pressure that would leave nothing over if the curves were straight.

    Crests are straight on either side: the step is taken anew until it covers the crests that it was taken for.
    """
    law = point.law
    for _ in range(MOST_COVERINGS):
        asked = law.asked(point.conductance, point.energy)
        rise = schur.rise(law.network, point.conductance, pins, asked, point.mass)
        covered = law.covered(point.pressure + rise)
        if all((now == then).all() for now, then in zip(covered, point.covered, strict=True)):
            break
        point = replace(point, covered=covered)
        asked = law.asked(point.conductance, point.energy)
    return law.answer(point.conductance, rise) - asked, rise


def _misled(point: Point, tangent: _Stretched) -> np.ndarray:
    """The edges whose tangent misleads, of those that matter to the content."""
    after = np.abs(tangent.end - tangent.asked)
    worth = np.abs(tangent.step) * after
    matters = worth > 1e-3 * worth.max(axis=1, initial=0.0)[:, None]
    still = after > MISLED * np.abs(point.drop - tangent.asked)
    misled: np.ndarray = point.law.carries & point.law.alone & matters & still & (after > 1e-3)
    return misled


def _mended(
    schur: Schur, pins: np.ndarray, point: Point, tangent: _Stretched, misled: np.ndarray, balanced: bool
) -> tuple[Floats, Floats]:
    """The step from a base in which misled edges stand on their curves; the tangent's where that leads nowhere."""
    law, base = point.law, _on_curves(point, tangent, misled)
    step, rise = _tangent(schur, pins, base)
    step = base.flow + step - point.flow
    if not balanced:
        return step, rise
    plain = _content_slope(law, tangent.step, point.drop, tangent.asked)
    mended = _content_slope(law, step, point.drop, law.drive(point.pressure + rise))
    better = (mended < 1e-6 * plain)[:, None]
    return np.where(better, step, tangent.step), np.where(better, rise, tangent.rise)


def _on_curves(point: Point, tangent: _Stretched, misled: np.ndarray) -> Point:
    """The point with misled edges at the flow at which their curve gives the pressure asked for, nearly."""
    edges = np.flatnonzero(misled.any(axis=0))
    curves = point.law.own.among(edges, misled.shape[1])
    flow, asked, step = (each[:, edges] for each in (point.flow, tangent.asked, tangent.step))
    left = point.drop[:, edges] - asked, tangent.end[:, edges] - asked
    return point.moved(edges, on_curve(curves, flow, np.where(misled[:, edges], step, 0.0), asked, left))


def _content_slope(law: Law, step: Floats, drop: Floats, asked: Floats) -> Floats:
    """Σ step (drop - asked) of each row, `asked` the pressure along each edge: the content's slope along the step."""
    terms: Floats = (step * law.carried(drop - asked)).sum(axis=1)
    return terms


def _damped(point: Point, step: Floats, pressure: Floats, curves: tuple[Floats, Floats]) -> Point:
    """The point as far along the step as it is good for; `curves` are those at its end."""
    law, (end, slope), asked = point.law, curves, point.law.drive(pressure)
    start = _content_slope(law, step, point.drop, asked)
    value = _content_slope(law, step, end, asked)
    noise = 1e-13 * (np.abs(step) * (np.abs(asked) + np.abs(point.drop))).sum(axis=1)
    far, short = np.maximum(-TOO_FAR * start, noise), np.minimum(TOO_SHORT * start, -noise)
    flow = point.flow + step
    rows = np.flatnonzero((start < -noise) & ((value > far) | (value < short)))
    if len(rows):
        some = point.take(law.take(rows), rows)
        length = _length(
            some, some_rows(step, rows), some_rows(asked, rows), start[rows], value[rows], far[rows], short[rows]
        )
        flow[rows] = some.flow + length[:, None] * some_rows(step, rows)
        end[rows], slope[rows] = some.law.curves(some_rows(flow, rows))
    return Point.at(law, flow, pressure, (end, slope))


def _length(
    point: Point, step: Floats, asked: Floats, start: Floats, value: Floats, far: Floats, short: Floats
) -> Floats:
    """How far to go along the step, to where the content's slope has nearly gone: between `short` and `far`.

    It is bracketed, then found by secant steps, never fewer than a bisection every third.
    """
    length = np.ones(len(step))
    low, at_low, high, at_high = np.zeros(len(step)), start, np.full(len(step), np.inf), np.ones(len(step))
    searching = np.ones(len(step), dtype=bool)
    for turn in range(MOST_TRIALS):
        below, above = searching & (value < 0), searching & (value >= 0)
        low, at_low = np.where(below, length, low), np.where(below, value, at_low)
        high, at_high = np.where(above, length, high), np.where(above, value, at_high)
        length = np.where(searching, _trial(low, at_low, high, at_high, bisect=turn % 3 == 2), length)
        value = _content_slope(point.law, step, point.law.drops(point.flow + length[:, None] * step), asked)
        searching &= (value > far) | ((value < short) & (length < LONGEST))
        if not searching.any():
            break
    return length


def _trial(low: Floats, at_low: Floats, high: Floats, at_high: Floats, *, bisect: bool) -> Floats:
    """The next length: inside the bracket where there is one, else further along the step."""
    bracketed = np.isfinite(high)
    top = np.where(bracketed, high, 2.0 * low)
    secant = np.clip(at_low / np.minimum(at_low - at_high, -1e-300), 0.01, 0.99)
    inside = low + (top - low) * (0.5 if bisect else secant)
    return np.where(bracketed, inside, np.minimum(2.0 * low, LONGEST))
