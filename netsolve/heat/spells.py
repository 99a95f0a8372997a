"""Bursts of heat over time: from when to when which come, and the oils of one row followed through them."""

from __future__ import annotations

import math
from collections.abc import Iterator, Sequence
from dataclasses import dataclass, field
from functools import cached_property

import numpy as np

from netsolve.arrays.stack import Floats
from netsolve.contract.cooling import Oil
from netsolve.laws.thermal import after
from netsolve.water import Array

LONGEST = 7 * 86400.0
"""s: bursts, and oils that warm each other's water, are followed for no longer; tanks settle within hours."""

_PHASES, _STEPS = 12, 16
_GONE = 20.0
"""Time constants after which a start is forgotten: 2e-9 of it is left."""

Spell = tuple[float, float, Floats]
"""From when to when (s) which bursts come, (oils,) in W."""


def course(oils: Sequence[Oil]) -> list[Spell]:
    """The spells of these oils together, for as long as anything is followed; one without end where none has bursts."""
    if all(oil.bursts is None for oil in oils):
        return [(0.0, math.inf, np.zeros(len(oils)))]
    spells = [list(_rounds(oil)) for oil in oils]
    times = sorted({begin for each in spells for begin, _, _ in each} | {0.0})
    begins = np.array(times)
    heats = np.stack([_heat(each, begins) for each in spells], axis=1)
    return list(zip(times, [*times[1:], LONGEST], heats, strict=True))


def _rounds(oil: Oil) -> Iterator[tuple[float, float, float]]:
    """The bursts of one oil, repeated for as long as anything is followed."""
    begun, spells = 0.0, oil.spells()
    while spells:
        for begin, end, heat in spells:
            if begun + begin >= LONGEST:
                return
            yield begun + begin, min(begun + end, LONGEST), heat
        if oil.repeat is None:
            return
        begun += oil.repeat


def _heat(spells: Sequence[tuple[float, float, float]], times: Floats) -> Floats:
    """The bursts that come at these times, W."""
    if not spells:
        return np.zeros(len(times))
    begins, ends, heats = (np.array(each) for each in zip(*spells, strict=True))
    last = np.searchsorted(begins, times, side="right") - 1
    return np.where((last >= 0) & (times < ends[last]), heats[last], 0.0)


def highest(oil: Oil, start: Array, gain: Array, loss: Array, capacity: Array) -> Array:
    """The highest temperature that an oil with bursts reaches which no other oil warms: capacity dT/dt = gain - loss T.

    `gain` (W) is without the bursts. What is left of the start dies away evenly, so the highest of all rounds is that
    of the first, or of the round that ends as it began. Infinite where each round comes on top of the last.
    """
    _, first = _through(oil, start, gain, loss, capacity)
    if oil.repeat is None:
        return first
    ends, _ = _through(oil, 0.0 * start, gain, loss, capacity)
    lost = -np.expm1(-oil.repeat * loss / capacity)
    _, last = _through(oil, np.where(lost > 0.0, ends / np.where(lost > 0.0, lost, 1.0), start), gain, loss, capacity)
    return np.where((lost == 0.0) & (ends > 0.0), np.inf, np.maximum(first, last))


def _through(oil: Oil, now: Array, gain: Array, loss: Array, capacity: Array) -> tuple[Array, Array]:
    """Where an oil stands after one round of its bursts, and the highest that it was: at the ends of spells."""
    top = now
    for begin, end, heat in oil.spells():
        now = after(min(end, LONGEST) - begin, now, gain + heat - loss * now, loss, capacity)
        top = np.maximum(top, now)
    return now, top


@dataclass(frozen=True)
class Course:
    """The oils of one row over time: capacity dT/dt = gain + bursts - loss T, T above the incoming water's.

    `capacity`, `gain`, `start` (oils,) in J/K, W, K; `loss` (oils, oils) in W/K; `water` in K.
    """

    spells: Sequence[Spell]
    capacity: Floats
    gain: Floats
    loss: Floats
    start: Floats
    water: float
    _propagators: dict[float, tuple[Floats, Floats]] = field(default_factory=dict, repr=False, compare=False)

    @cached_property
    def apart(self) -> bool:
        """Whether no oil warms the water of another's cooler."""
        return bool((self.loss == np.diag(np.diag(self.loss))).all())

    def at(self, times: Floats) -> Floats:
        """Temperatures (times, oils) after the start, K; `times` in s, rising."""
        now, found = self.start, np.empty((len(times), len(self.start)))
        for begin, end, heat in self.spells:
            inside = (times >= begin) & (times <= end)
            found[inside] = self._after(times[inside] - begin, now, heat)
            if end >= times[-1]:
                break
            now = self._after(np.array([end - begin]), now, heat)[0]
        return found + self.water

    def first(self, oil: int, target: float) -> float:
        """The time (s) at which an oil first is so much warmer than the water; infinite where it never is."""
        now = self.start
        if now[oil] >= target:
            return 0.0
        for begin, end, heat in self.spells:
            if begin > self._worn_off:
                break
            times = self._looks(min(end, LONGEST) - begin)
            reached = self._after(times, now, heat)
            over = np.flatnonzero(reached[:, oil] >= target)
            if len(over):
                return begin + self._crossing(oil, target, now, heat, times[max(over[0] - 1, 0)], times[over[0]])
            now = reached[-1]
        return math.inf

    def highest(self, oil: int) -> float:
        """The highest temperature that an oil reaches, K above the water, as far as bursts are followed."""
        now, found = self.start, self.start[oil]
        for begin, end, heat in self.spells:
            if begin > self._worn_off:
                break
            reached = self._after(self._looks(min(end, LONGEST) - begin), now, heat)
            now, found = reached[-1], max(found, reached[:, oil].max())
        return float(found)

    @cached_property
    def _worn_off(self) -> float:
        """When nothing is left of the start, and the bursts have come in all their combinations once more, s."""
        slowest = float(np.linalg.eigvals(self.loss / self.capacity[:, None]).real.min())
        return LONGEST if slowest <= 0.0 else min(LONGEST, _GONE / slowest + 86400.0)

    def _looks(self, span: float) -> Floats:
        """Times to look at within a spell: closer together while things move, few where little can."""
        quickest = float((np.diag(self.loss) / self.capacity).max())
        phases = 1 + min(_PHASES - 1, int(np.log2(1.0 + span * quickest)))
        steps = np.repeat(2.0 ** np.arange(phases), _STEPS)
        return np.concatenate([[0.0], span * np.cumsum(steps) / steps.sum()])

    def _crossing(self, oil: int, target: float, now: Floats, heat: Floats, low: float, high: float) -> float:
        from scipy.optimize import brentq

        def short(time: float) -> float:
            return float(self._after(np.array([time]), now, heat)[0, oil]) - target

        return high if short(low) >= 0 else float(brentq(short, low, high, xtol=1e-3))

    def _after(self, times: Floats, now: Floats, bursts: Floats) -> Floats:
        """Temperatures (times, oils) under constant heat, exactly; K above the water."""
        gain = self.gain + bursts
        if self.apart:
            loss = np.diag(self.loss)
            return np.asarray(after(times[:, None], now, gain - loss * now, loss, self.capacity))
        reached, last = np.empty((len(times), len(now))), 0.0
        for place, time in enumerate(times):
            if time > last:
                kept, gained = self._propagator(float(f"{time - last:.10g}"))
                now, last = kept @ now + gained @ gain, time
            reached[place] = now
        return reached

    def _propagator(self, span: float) -> tuple[Floats, Floats]:
        """What a span of time (s) leaves of the temperatures, and what each watt adds: exact, by the exponential."""
        if span not in self._propagators:
            from scipy.linalg import expm

            count = len(self.capacity)
            system = np.zeros((2 * count, 2 * count))
            system[:count, :count] = -self.loss / self.capacity[:, None]
            system[:count, count:] = np.diag(1.0 / self.capacity)
            whole = expm(system * span)
            self._propagators[span] = whole[:count, :count], whole[:count, count:]
        return self._propagators[span]
