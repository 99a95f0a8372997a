"""The flow at which a curve asks for a given pressure, sought for many edges of many rows at once."""

from __future__ import annotations

from dataclasses import dataclass

import numpy as np

from netsolve.arrays.stack import Floats
from netsolve.solving.curves import Curves

NEARLY = 1e-2
"""An edge is on its curve where no more than this share of its imbalance is left."""

LONGEST = 4.0
MOST_TURNS = 6


@dataclass(frozen=True)
class Standing:
    """Where edges stand on their curves: the flow, the drop and slope there, and what of the pressure is left over."""

    flow: Floats
    drop: Floats
    slope: Floats
    left: Floats

    def or_nearer(self, other: Standing | None) -> Standing:
        """Of two, entry by entry, that with less left over."""
        if other is None:
            return self
        nearer = np.abs(self.left) < np.abs(other.left)
        names = Standing.__dataclass_fields__
        return Standing(*(np.where(nearer, getattr(self, name), getattr(other, name)) for name in names))


def on_curve(curves: Curves, flow: Floats, step: Floats, asked: Floats, left: tuple[Floats, Floats]) -> Standing:
    """Where along its step, or beyond, each edge takes the pressure asked for, nearly; all arrays (rows, edges).

    `left` is what is left over before and after the step. An edge whose step is 0 stays where it is.
    """
    sought, enough = step != 0, NEARLY * np.abs(left[0])
    trial, best, bracket = _bent(*left), None, None
    for turn in range(MOST_TURNS):
        there = flow + trial * step
        drop, slope = curves.at(there)
        tried = Standing(there, drop, slope, drop - asked)
        best = tried.or_nearer(best)
        sought &= np.abs(tried.left) > enough
        if not np.count_nonzero(sought):
            break
        bracket = (bracket or _Bracket.of(*left, sought)).narrowed(trial, tried.left, sought)
        newton = trial - tried.left / np.where(sought, slope * step, 1.0)
        trial = np.where(sought, bracket.trial(newton, halve=turn % 3 == 2), trial)
    assert best is not None
    return best


@dataclass(frozen=True)
class _Bracket:
    """The shares of the step between which the flow lies; `beyond` where the upper one is only the farthest tried."""

    sign: Floats
    low: Floats
    high: Floats
    beyond: np.ndarray

    @classmethod
    def of(cls, start: Floats, end: Floats, sought: np.ndarray) -> _Bracket:
        beyond = sought & (end * start > 0)
        return cls(np.sign(start), np.zeros_like(start), np.where(beyond, LONGEST, 1.0), beyond)

    def narrowed(self, trial: Floats, left: Floats, sought: np.ndarray) -> _Bracket:
        """The bracket after a trial."""
        ahead = left * self.sign > 0
        short, past = sought & ahead, sought & ~ahead
        high = np.where(past, trial, np.where(short & self.beyond, LONGEST * self.high, self.high))
        return _Bracket(self.sign, np.where(short, trial, self.low), high, self.beyond & ~past)

    def trial(self, newton: Floats, *, halve: bool) -> Floats:
        """Newton's next trial where it lies inside, unless that is to be halved."""
        middle = np.where(self.beyond, self.high, 0.5 * (self.low + self.high))
        return middle if halve else np.where((newton > self.low) & (newton < self.high), newton, middle)


def _bent(start: Floats, end: Floats) -> Floats:
    """Where a parabola that leaves `start` along its tangent to nothing, yet is at `end` there, comes to nothing."""
    bend = end / np.where(start == 0, 1.0, start)
    return np.where(bend < 0.25, 2.0 / (1.0 + np.sqrt(np.maximum(1.0 - 4.0 * bend, 0.0))), LONGEST)
