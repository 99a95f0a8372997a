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
from netsolve.solving.law import Conductance, Law
from netsolve.solving.schur import Schur

MISLED = 0.01
"""A tangent misleads where more than this share of its edge's imbalance is still there at the end of the step."""

NEARLY = 5e-4
"""An edge is on its curve where no more than this share of its imbalance is left."""

TOO_FAR, TOO_SHORT = 1 / 3, 0.1
"""A length is good where the content's slope is below this share of what it was, or above minus this share."""

LONGEST = 4.0
MOST_TURNS = 6
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
        return np.where(self.law.carries, self.drop - self.law.drive(self.pressure, self.covered), 0.0)

    @cached_property
    def mass(self) -> Floats:
        """What is left over at each node, m3/s."""
        return self.law.mass(self.flow)

    @cached_property
    def conductance(self) -> Conductance:
        """How the flows answer to pressures here."""
        return self.law.conductance(self.flow, self.slope, self.covered)

    def take(self, law: Law, rows: Ints) -> Point:
        """The point of some of the rows, under their law."""
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
    law = point.law
    step, rise = _tangent(schur, pins, point)
    end, slope = law.curves(point.flow + step)
    asked = law.drive(point.pressure + rise)
    misled = _misled(point, step, asked, end) if mend else np.zeros(step.shape, dtype=bool)
    rows = np.flatnonzero(misled.any(axis=1))
    if len(rows):
        some = point.take(law.take(rows), rows)
        old = some_rows(step, rows), some_rows(rise, rows)
        wanted = some_rows(asked, rows), some_rows(misled, rows), some_rows(end, rows)
        step[rows], rise[rows] = _mended(schur, some_rows(pins, rows), some, old, wanted, balanced)
        end[rows], slope[rows] = some.law.curves(some.flow + some_rows(step, rows))
    pressure = point.pressure + rise
    if not balanced:
        return Point.at(law, point.flow + step, pressure, (end, slope))
    return _damped(point, step, pressure, (end, slope))


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


def _misled(point: Point, step: Floats, asked: Floats, end: Floats) -> np.ndarray:
    """The edges whose tangent misleads, of those that matter to the content; `end` are the drops after the step."""
    after = np.abs(end - asked)
    worth = np.abs(step) * after
    matters = worth > 1e-3 * worth.max(axis=1, initial=0.0)[:, None]
    still = after > MISLED * np.abs(point.drop - asked)
    misled: np.ndarray = point.law.carries & point.law.alone & matters & still & (after > 1e-3)
    return misled


def _mended(
    schur: Schur,
    pins: np.ndarray,
    point: Point,
    tangent: tuple[Floats, Floats],
    wanted: tuple[Floats, np.ndarray, Floats],
    balanced: bool,
) -> tuple[Floats, Floats]:
    """The step taken from a base in which misled edges stand on their curves; the tangent's where that leads nowhere.

    `wanted` is the pressure asked of each edge, which of them are misled, and their drops at the tangent's end.
    """
    law, (step, rise), (asked, misled, end) = point.law, tangent, wanted
    base = Point.at(law, _on_curve(point, step, asked, misled, end), point.pressure)
    other, raised = _tangent(schur, pins, base)
    other = base.flow + other - point.flow
    plain = _content_slope(law, step, point.drop, point.pressure + rise)
    mended = _content_slope(law, other, point.drop, point.pressure + raised)
    better = ((mended < 1e-6 * plain) | (not balanced))[:, None]
    return np.where(better, other, step), np.where(better, raised, rise)


def _on_curve(point: Point, step: Floats, asked: Floats, misled: np.ndarray, end: Floats) -> Floats:
    """For misled edges the flow at which their curve gives the pressure asked for, nearly; the others as they are.

    Sought along the step by secants and bisections in turn; further along where even its end falls short.
    """
    low, at_low = np.zeros_like(step), point.drop - asked
    high, at_high = np.ones_like(step), end - asked
    sign, enough = np.sign(at_low), NEARLY * np.abs(at_low)
    beyond = misled & (at_high * sign > 0)
    high = np.where(beyond, LONGEST, high)
    sought = misled
    trial = _bent(at_low, at_high)
    for turn in range(MOST_TURNS):
        if turn:
            gap = at_low - at_high
            share = (
                np.full_like(step, 0.5) if turn % 2 == 0 else np.clip(at_low / np.where(gap == 0, 1.0, gap), 0.02, 0.98)
            )
            trial = np.where(beyond, high, low + (high - low) * share)
        value = point.law.drops(point.flow + np.where(misled, trial, 0.0) * step) - asked
        short, past = sought & (value * sign > 0), sought & (value * sign <= 0)
        low, at_low = np.where(short, trial, low), np.where(short, value, at_low)
        high = np.where(past, trial, np.where(short & beyond, LONGEST * high, high))
        at_high = np.where(past, value, at_high)
        beyond &= ~past
        sought = sought & (np.minimum(np.abs(at_low), np.abs(at_high)) > enough)
        if not sought.any():
            break
    nearest = np.where(np.abs(at_low) < np.abs(at_high), low, high)
    return point.flow + np.where(misled, nearest, 0.0) * step


def _bent(start: Floats, end: Floats) -> Floats:
    """Where a parabola that leaves `start` along its tangent to nothing, yet is at `end` there, comes to nothing."""
    bend = end / np.where(start == 0, 1.0, start)
    return np.where(bend < 0.25, 2.0 / (1.0 + np.sqrt(np.maximum(1.0 - 4.0 * bend, 0.0))), LONGEST)


def _content_slope(law: Law, step: Floats, drop: Floats, pressure: Floats) -> Floats:
    """Σ step (drop - Δp) of each row: the slope of the content along the step."""
    terms: Floats = (step * np.where(law.carries, drop - law.drive(pressure), 0.0)).sum(axis=1)
    return terms


def _damped(point: Point, step: Floats, pressure: Floats, curves: tuple[Floats, Floats]) -> Point:
    """The point as far along the step as it is good for; `curves` are those at its end."""
    law, (end, slope) = point.law, curves
    start = _content_slope(law, step, point.drop, pressure)
    value = _content_slope(law, step, end, pressure)
    noise = 1e-13 * (np.abs(step) * (np.abs(law.drive(pressure)) + np.abs(point.drop))).sum(axis=1)
    far, short = np.maximum(-TOO_FAR * start, noise), np.minimum(TOO_SHORT * start, -noise)
    flow = point.flow + step
    rows = np.flatnonzero((start < -noise) & ((value > far) | (value < short)))
    if len(rows):
        some = point.take(law.take(rows), rows)
        length = _length(
            some, some_rows(step, rows), some_rows(pressure, rows), start[rows], value[rows], far[rows], short[rows]
        )
        flow[rows] = some.flow + length[:, None] * some_rows(step, rows)
        end[rows], slope[rows] = some.law.curves(some_rows(flow, rows))
    return Point.at(law, flow, pressure, (end, slope))


def _length(
    point: Point, step: Floats, pressure: Floats, start: Floats, value: Floats, far: Floats, short: Floats
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
        value = _content_slope(point.law, step, point.law.drops(point.flow + length[:, None] * step), pressure)
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
