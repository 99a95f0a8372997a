"""One step of Newton's method: the tangent's, mended where a tangent misleads, and no longer than it is good for.

A check valve about to shut, or a curve that is nearly flat where it stands, has a tangent that says nothing of where
the flow will be. Such edges are put on their own curve at the pressure that the step would leave them, and the step is
taken anew from there: the flows of the others still come from their tangents.

The length of the step comes from the slope of the content (Cherry 1951, Phil. Mag. 42, 1161; Millar 1951,
Phil. Mag. 42, 1150), Σ step (h(flow + t step) - Δp), which rises with t because every curve rises.
"""

from __future__ import annotations

from dataclasses import dataclass

import numpy as np

from netsolve.law import Conductance, Law
from netsolve.schur import Schur
from netsolve.stack import Floats

MISLED = 0.05
"""A tangent misleads where more than this share of its edge's imbalance is still there at the end of the step."""

TOO_FAR, TOO_SHORT = 1 / 3, 0.1
"""A length is good where the content's slope is below this share of what it was, or above minus this share."""

LONGEST = 4.0
MOST_TRIALS = 40
MOST_COVERINGS = 8


@dataclass(frozen=True)
class Point:
    """A flow and pressure, and what is left over there: energy (rows, edges) in Pa, mass (rows, nodes) in m3/s.

    `drop` is what the curves lose at this flow; `covered` is where the water stands above the crests.
    """

    flow: Floats
    pressure: Floats
    drop: Floats
    energy: Floats
    mass: Floats
    conductance: Conductance
    covered: tuple[Floats, Floats]

    @classmethod
    def at(cls, law: Law, flow: Floats, pressure: Floats, covered: tuple[Floats, Floats] | None = None) -> Point:
        """The point of these flows and pressures; `covered` says how to take the crests, if not as they are."""
        covered = covered or law.covered(pressure)
        drop = law.drops(flow)
        energy = np.where(law.carries, drop - law.drive(pressure, covered), 0.0)
        return cls(flow, pressure, drop, energy, law.mass(flow), law.conductance(flow, covered), covered)


def stepped(law: Law, schur: Schur, pins: np.ndarray, point: Point, *, balanced: bool) -> tuple[Floats, Floats]:
    """The flows and pressures after one step; only where the flows are `balanced` is its length known."""
    step, rise = _tangent(law, schur, pins, point)
    asked = law.drive(point.pressure + rise)
    misled, end = _misled(law, point, step, asked)
    if misled.any():
        base = Point.at(law, _on_curve(law, point, step, asked, misled, end), point.pressure)
        other, raised = _tangent(law, schur, pins, base)
        other = base.flow + other - point.flow
        plain = _content_slope(law, step, point.drop, point.pressure + rise)
        mended = _content_slope(law, other, point.drop, point.pressure + raised)
        better = misled.any(axis=1) & ((mended < 1e-6 * plain) | (not balanced))
        step, rise = np.where(better[:, None], other, step), np.where(better[:, None], raised, rise)
    pressure = point.pressure + rise
    length = _length(law, point, step, pressure) if balanced else np.ones(len(step))
    return point.flow + length[:, None] * step, pressure


def _tangent(law: Law, schur: Schur, pins: np.ndarray, point: Point) -> tuple[Floats, Floats]:
    """The changes of flow and pressure that would leave nothing over if the curves were straight.

    Crests are straight on either side: the step is taken anew until it covers the crests that it was taken for.
    """
    for _ in range(MOST_COVERINGS):
        asked = law.asked(point.conductance, point.energy)
        rise = schur.rise(law.network, point.conductance, pins, asked, point.mass)
        covered = law.covered(point.pressure + rise)
        if all((now == then).all() for now, then in zip(covered, point.covered, strict=True)):
            break
        point = Point.at(law, point.flow, point.pressure, covered)
    return law.answer(point.conductance, rise) - law.asked(point.conductance, point.energy), rise


def _misled(law: Law, point: Point, step: Floats, asked: Floats) -> tuple[np.ndarray, Floats]:
    """The edges whose tangent misleads, of those that matter to the content; and the drops at the end of the step."""
    end = law.drops(point.flow + step)
    after = np.abs(end - asked)
    worth = np.abs(step) * after
    matters = worth > 1e-3 * worth.max(axis=1, initial=0.0)[:, None]
    misled = law.carries & law.alone & matters & (after > MISLED * np.abs(point.drop - asked)) & (after > 1e-3)
    return misled, end


def _on_curve(law: Law, point: Point, step: Floats, asked: Floats, misled: np.ndarray, end: Floats) -> Floats:
    """For misled edges the flow at which their curve gives the pressure asked for, nearly; the others as they are.

    Sought along the step by secants and bisections in turn; further along where even its end falls short.
    """
    low, at_low = np.zeros_like(step), point.drop - asked
    high, at_high = np.ones_like(step), end - asked
    sign = np.sign(at_low)
    beyond = misled & (at_high * sign > 0)
    high = np.where(beyond, LONGEST, high)
    for turn in range(6):
        gap = at_low - at_high
        share = np.full_like(step, 0.5) if turn % 2 else np.clip(at_low / np.where(gap == 0, 1.0, gap), 0.02, 0.98)
        trial = np.where(beyond, high, low + (high - low) * share)
        value = law.drops(point.flow + np.where(misled, trial, 0.0) * step) - asked
        short = value * sign > 0
        low, at_low = np.where(short, trial, low), np.where(short, value, at_low)
        high = np.where(short, np.where(beyond, LONGEST * high, high), trial)
        at_high = np.where(short, at_high, value)
        beyond &= short
    nearest = np.where(np.abs(at_low) < np.abs(at_high), low, high)
    return point.flow + np.where(misled, nearest, 0.0) * step


def _content_slope(law: Law, step: Floats, drop: Floats, pressure: Floats) -> Floats:
    """Σ step (drop - Δp) of each row: the slope of the content along the step."""
    terms: Floats = (step * np.where(law.carries, drop - law.drive(pressure), 0.0)).sum(axis=1)
    return terms


def _length(law: Law, point: Point, step: Floats, pressure: Floats) -> Floats:
    """How far to go along the step: to where the content's slope has nearly gone.

    It is bracketed, then found by secant steps, never fewer than a bisection every third. Rows where it is at
    rounding level, or does not fall at first, go the whole step.
    """
    start = _content_slope(law, step, point.drop, pressure)
    noise = 1e-13 * (np.abs(step) * (np.abs(law.drive(pressure)) + np.abs(point.drop))).sum(axis=1)
    far, short = np.maximum(-TOO_FAR * start, noise), np.minimum(TOO_SHORT * start, -noise)
    length = np.ones(len(step))
    value = _content_slope(law, step, law.drops(point.flow + step), pressure)
    low, at_low, high, at_high = np.zeros(len(step)), start, np.full(len(step), np.inf), np.ones(len(step))
    searching = (start < -noise) & ((value > far) | (value < short))
    for turn in range(MOST_TRIALS):
        if not searching.any():
            break
        below, above = searching & (value < 0), searching & (value >= 0)
        low, at_low = np.where(below, length, low), np.where(below, value, at_low)
        high, at_high = np.where(above, length, high), np.where(above, value, at_high)
        length = np.where(searching, _trial(low, at_low, high, at_high, bisect=turn % 3 == 2), length)
        value = _content_slope(law, step, law.drops(point.flow + length[:, None] * step), pressure)
        searching &= (value > far) | ((value < short) & (length < LONGEST))
    return length


def _trial(low: Floats, at_low: Floats, high: Floats, at_high: Floats, *, bisect: bool) -> Floats:
    """The next length: inside the bracket where there is one, else further along the step."""
    bracketed = np.isfinite(high)
    top = np.where(bracketed, high, 2.0 * low)
    secant = np.clip(at_low / np.minimum(at_low - at_high, -1e-300), 0.01, 0.99)
    inside = low + (top - low) * (0.5 if bisect else secant)
    return np.where(bracketed, inside, np.minimum(2.0 * low, LONGEST))
