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

from netsolve.arrays.stack import Floats, Ints, every, some_columns, some_rows
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
    these pressures, or otherwise; `drive` is the pressure (Pa) that drives each edge so.
    """

    law: Law
    covered: tuple[Floats, Floats]
    flow: Floats
    pressure: Floats
    drop: Floats
    slope: Floats
    drive: Floats

    @classmethod
    def at(cls, law: Law, flow: Floats, pressure: Floats) -> Point:
        """The point of these flows and pressures."""
        covered = law.covered(pressure)
        drop, slope = law.curves(flow)
        return cls(law, covered, flow, pressure, drop, slope, law.drive(pressure, covered))

    @cached_property
    def energy(self) -> Floats:
        """What is left over along each edge, Pa."""
        return self.law.carried(self.drop - self.drive)

    @cached_property
    def mass(self) -> Floats:
        """What is left over at each node, m3/s."""
        return self.law.mass(self.flow)

    @cached_property
    def conductance(self) -> Conductance:
        """How the flows answer to pressures here."""
        return self.law.conductance(self.flow, self.slope, self.covered)

    @cached_property
    def asked(self) -> Floats:
        """The change of flow that the energies left over ask for, m3/s."""
        return self.law.asked(self.conductance, self.energy)

    def covering(self, covered: tuple[Floats, Floats]) -> Point:
        """The point with the crests taken otherwise."""
        return replace(self, drive=self.law.drive(self.pressure, covered), covered=covered)

    def moved(self, edges: Ints, to: Standing) -> Point:
        """The point with some edges elsewhere on their curves; none of them is a crest or of a joint."""
        flow, drop, slope = (each.copy(order="K") for each in (self.flow, self.drop, self.slope))
        flow[:, edges], drop[:, edges], slope[:, edges] = to.flow, to.drop, to.slope
        moved = Point(self.law, self.covered, flow, self.pressure, drop, slope, self.drive)
        moved.__dict__["conductance"] = self.law.steepened(self.conductance, edges, to.slope)
        return moved

    def take(self, law: Law, rows: Ints) -> Point:
        """The point of some of the rows, under their law."""
        if law is self.law:
            return self
        arrays = (self.flow, self.pressure, self.drop, self.slope, self.drive)
        source, target = (some_rows(each, rows) for each in self.covered)
        return Point(law, (source, target), *(some_rows(each, rows) for each in arrays))


def stepped(schur: Schur, pins: np.ndarray, point: Point, *, balanced: bool, mend: bool) -> Point:
    """The point after one step; only where the flows are `balanced` is the step's length known.

    A step is mended, at the cost of solving for it a second time, only where asked for.
    """
    law, step = point.law, _stretched(point, *_tangent(schur, pins, point))
    if mend:
        misled = _misled(point, step)
        rows = np.flatnonzero(misled.any(axis=1))
        if len(rows):
            some, tangent = point.take(law.take(rows), rows), step.take(rows)
            mended = _mended(schur, _some(pins, rows), some, tangent, _some(misled, rows), balanced)
            step = step.put(rows, mended)
    curves = law.joined(step.flow, step.end), step.slope
    flow, drop, slope = _damped(point, step, curves) if balanced else (step.flow, *curves)
    return Point(law, step.covered, flow, step.pressure, drop, slope, step.drive)


@dataclass(frozen=True)
class _Step:
    """A step, and where it ends: flow and pressure, what drives the edges, the drops and slopes of edges by themselves.

    `covered` is that of the pressures at its end.
    """

    covered: tuple[Floats, Floats]
    step: Floats
    flow: Floats
    pressure: Floats
    drive: Floats
    end: Floats
    slope: Floats

    def _arrays(self) -> tuple[Floats, ...]:
        return (*self.covered, self.step, self.flow, self.pressure, self.drive, self.end, self.slope)

    def take(self, rows: Ints) -> _Step:
        """That of some of the rows."""
        if len(rows) == len(self.step):
            return self
        source, target, *some = (some_rows(each, rows) for each in self._arrays())
        return _Step((source, target), *some)

    def put(self, rows: Ints, some: _Step) -> _Step:
        """This with some of the rows as given; it is used up."""
        if len(rows) == len(self.step):
            return some
        for mine, new in zip(self._arrays(), some._arrays(), strict=True):
            mine[rows] = new
        return self


def _stretched(point: Point, step: Floats, pressure: Floats) -> _Step:
    law, flow, covered = point.law, point.flow + step, point.law.covered(pressure)
    return _Step(covered, step, flow, pressure, law.drive(pressure, covered), *law.own.at(flow))


def _some(whole: Floats, rows: Ints) -> Floats:
    """Some rows, or the whole where these are all."""
    return whole if len(rows) == len(whole) else some_rows(whole, rows)


def _tangent(schur: Schur, pins: np.ndarray, point: Point) -> tuple[Floats, Floats]:
    """The change of flow, and the pressure, that would leave nothing over if the curves were straight.

    Crests are straight on either side: the step is taken anew until it covers the crests that it was taken for.
    """
    law = point.law
    for _ in range(MOST_COVERINGS):
        rise = schur.rise(law.network, point.conductance, pins, point.asked, point.mass)
        pressure = point.pressure + rise
        covered = law.covered(pressure)
        if not len(law.network.crests) or all(map(np.array_equal, covered, point.covered)):
            break
        point = point.covering(covered)
    return law.answer(point.conductance, rise) - point.asked, pressure


def _misled(point: Point, tangent: _Step) -> np.ndarray:
    """The edges whose tangent misleads, of those that matter to the content."""
    after = np.abs(tangent.end - tangent.drive)
    worth = np.abs(tangent.step) * after
    matters = worth > 1e-3 * worth.max(axis=1, initial=0.0)[:, None]
    still = after > np.maximum(MISLED * np.abs(point.drop - tangent.drive), 1e-3)
    misled: np.ndarray = point.law.lone & matters & still
    return misled


def _mended(schur: Schur, pins: np.ndarray, point: Point, tangent: _Step, misled: np.ndarray, balanced: bool) -> _Step:
    """The step from a base in which misled edges stand on their curves; the tangent's where that leads nowhere."""
    base = _on_curves(point, tangent, misled)
    step, pressure = _tangent(schur, pins, base)
    mended = base.flow + step - point.flow
    if balanced:
        plain = _content_slope(point.law, tangent.step, point.drop, tangent.drive)
        better = _content_slope(point.law, mended, point.drop, point.law.drive(pressure)) < 1e-6 * plain
        if not every(better):
            mended = np.where(better[:, None], mended, tangent.step)
            pressure = np.where(better[:, None], pressure, tangent.pressure)
    return _stretched(point, mended, pressure)


def _on_curves(point: Point, tangent: _Step, misled: np.ndarray) -> Point:
    """The point with misled edges at the flow at which their curve gives the pressure asked for, nearly."""
    edges, curves = point.law.lone_curves(misled)
    flow, asked, step = (some_columns(each, edges) for each in (point.flow, tangent.drive, tangent.step))
    left = some_columns(point.drop, edges) - asked, some_columns(tangent.end, edges) - asked
    step = np.where(some_columns(misled, edges), step, 0.0)
    return point.moved(edges, on_curve(curves, flow, step, asked, left))


def _content_slope(law: Law, step: Floats, drop: Floats, asked: Floats) -> Floats:
    """Σ step (drop - asked) of each row, `asked` the pressure along each edge: the content's slope along the step."""
    terms: Floats = (step * law.carried(drop - asked)).sum(axis=1)
    return terms


def _damped(point: Point, step: _Step, curves: tuple[Floats, Floats]) -> tuple[Floats, Floats, Floats]:
    """Flow, drop and slope as far along the step as it is good for; `curves` are those at its end, and used up."""
    law, flow, asked, (end, slope) = point.law, step.flow, step.drive, curves
    start = _content_slope(law, step.step, point.drop, asked)
    value = _content_slope(law, step.step, end, asked)
    noise = 1e-13 * (np.abs(step.step) * (np.abs(asked) + np.abs(point.drop))).sum(axis=1)
    far, short = np.maximum(-TOO_FAR * start, noise), np.minimum(TOO_SHORT * start, -noise)
    rows = np.flatnonzero((start < -noise) & ((value > far) | (value < short)))
    if len(rows):
        some, along = point.take(law.take(rows), rows), some_rows(step.step, rows)
        length = _length(some, along, some_rows(asked, rows), start[rows], value[rows], far[rows], short[rows])
        flow[rows] = some.flow + length[:, None] * along
        end[rows], slope[rows] = some.law.curves(some_rows(flow, rows))
    return flow, end, slope


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
