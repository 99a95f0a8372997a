"""How warm each oil gets: where it settles, how long until its alarm, and what is left once the water stops."""

from __future__ import annotations

import math
from collections.abc import Iterator, Sequence
from dataclasses import dataclass, field, replace
from functools import cached_property

import numpy as np

from netsolve.arrays.stack import Floats
from netsolve.circuit import Charge
from netsolve.heat.temperatures import Response
from netsolve.laws.thermal import after, time_to

LONGEST = 7 * 86400.0
"""s: bursts, and oils that warm each other's water, are followed for no longer; tanks settle within hours."""

_SINK = 1e-6
"""W/K: less than this takes nothing away; a run that counts as without flow carries more."""

_PHASES, _STEPS = 12, 16


@dataclass(frozen=True)
class Warming:
    """The oils of a row as they warm up: capacity dT/dt = gain - loss T, T above the incoming water's temperature.

    `capacity`, `gain`, `start` (oils,) in J/K, W, K; `loss` (oils, oils) in W/K. `gain` has the steady heat, the
    bursts come besides.
    """

    charges: tuple[Charge, ...]
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

    @cached_property
    def settled(self) -> Floats:
        """Where each settles under its mean heat, K above the water; nan where nothing takes the heat away."""
        sinks = self.loss.sum(axis=1) > _SINK
        held = self._held(sinks)
        matrix = np.where(held[:, None], self.loss, np.eye(len(held)))
        mean = self.gain + self._mean_bursts
        idle = np.where(mean > 0.0, np.nan, self.start)
        return np.linalg.solve(matrix, np.where(held, mean, 0.0)) if held.all() else self._partly(held, mean, idle)

    def _held(self, sinks: np.ndarray) -> np.ndarray:
        """The oils whose heat ends somewhere, by themselves or through another oil."""
        found = sinks
        for _ in self.charges:
            found = found | ((self.loss < -_SINK) & found[None, :]).any(axis=1)
        return found

    def _partly(self, held: np.ndarray, mean: Floats, idle: Floats) -> Floats:
        """The temperatures of those that settle, where some do not."""
        found = np.where(held, 0.0, idle)
        inside = np.ix_(held, held)
        from_others = self.loss[np.ix_(held, ~held)] @ np.nan_to_num(idle[~held])
        found[held] = np.linalg.solve(self.loss[inside], mean[held] - from_others)
        return found

    @cached_property
    def _mean_bursts(self) -> Floats:
        return np.array([each.oil.mean_heat() - each.oil.steady_heat() for each in self.charges])

    def time_to(self, oil: int, temperature: float, *, start: Floats | None = None) -> float:
        """Time (s) until an oil has a temperature (K) from the cold, or another start; infinite where it never has."""
        target = temperature - self.water
        now = self.start if start is None else start
        if self._alone(oil) and self.charges[oil].oil.bursts is None:
            gain = self.gain[oil] - self.loss[oil, oil] * now[oil]
            return float(time_to(target - now[oil], gain, self.loss[oil, oil], self.capacity[oil]))
        return self._first(oil, target, now)

    def _alone(self, oil: int) -> bool:
        """Whether no other oil warms the water of its cooler."""
        return bool(np.count_nonzero(self.loss[oil]) == (self.loss[oil, oil] != 0.0))

    def _first(self, oil: int, target: float, now: Floats) -> float:
        """The time of the first crossing, spell by spell."""
        if now[oil] >= target:
            return 0.0
        for begin, end, heat in self._spells():
            span = min(end, LONGEST) - begin
            times = self._looks(span)
            reached = self.after(times, now, heat)
            over = np.flatnonzero(reached[:, oil] >= target)
            if len(over):
                return begin + self._crossing(oil, target, now, heat, times[max(over[0] - 1, 0)], times[over[0]])
            now = reached[-1]
        return math.inf

    def _looks(self, span: float) -> Floats:
        """Times to look at within a spell: closer together while things move."""
        steps = np.repeat(2.0 ** np.arange(_PHASES), _STEPS)
        return np.concatenate([[0.0], span * np.cumsum(steps) / steps.sum()])

    def _crossing(self, oil: int, target: float, now: Floats, heat: Floats, low: float, high: float) -> float:
        from scipy.optimize import brentq

        def short(time: float) -> float:
            return float(self.after(np.array([time]), now, heat)[0, oil]) - target

        return high if short(low) >= 0 else float(brentq(short, low, high, xtol=1e-3))

    def after(self, times: Floats, now: Floats, bursts: Floats) -> Floats:
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

    def at(self, times: Floats) -> Floats:
        """Temperatures (times, oils) after the start, K; `times` in s, rising."""
        now, found = self.start, np.empty((len(times), len(self.charges)))
        for begin, end, heat in self._spells():
            inside = (times >= begin) & (times <= end)
            found[inside] = self.after(times[inside] - begin, now, heat)
            if end >= times[-1]:
                break
            now = self.after(np.array([end - begin]), now, heat)[0]
        return found + self.water

    def _spells(self) -> Iterator[tuple[float, float, Floats]]:
        """From when to when which bursts come, (oils,) in W, for as long as anything is followed."""
        spells = [list(_spells(each)) for each in self.charges]
        times = sorted({begin for each in spells for begin, _, _ in each} | {0.0})
        for begin, end in zip(times, [*times[1:], LONGEST], strict=True):
            yield begin, end, np.array([_heat(each, begin) for each in spells])

    def without_water(self) -> Warming:
        """The same oils once no water flows, from where they have settled; from cold where no water flowed before."""
        air = np.array([each.oil.air - self.water for each in self.charges])
        lost = np.array([each.oil.loss for each in self.charges])
        heat = np.array([each.oil.steady_heat() for each in self.charges])
        warmed = ~np.isnan(self.settled) & (np.diag(self.loss) - lost > _SINK)
        start = np.where(warmed, self.settled, self.start)
        return replace(self, gain=heat + lost * air, loss=np.diag(lost), start=start, _propagators={})


def _spells(charge: Charge) -> Iterator[tuple[float, float, float]]:
    """The bursts of one oil, repeated for as long as anything is followed."""
    oil, begun = charge.oil, 0.0
    spells = oil.spells()
    while spells:
        for begin, end, heat in spells:
            if begun + begin >= LONGEST:
                return
            yield begun + begin, min(begun + end, LONGEST), heat
        if oil.repeat is None:
            return
        begun += oil.repeat


def _heat(spells: Sequence[tuple[float, float, float]], time: float) -> float:
    return next((heat for begin, end, heat in spells if begin <= time < end), 0.0)


def warming(answer: Response) -> Warming:
    """How the oils of a row warm up in its water."""
    charges = tuple(answer.row.oils.values())
    uptake = np.array([answer.uptake(each.name) for each in charges]).reshape(len(charges), 1 + len(charges))
    lost = np.array([each.oil.loss for each in charges])
    air = np.array([each.oil.air - answer.water for each in charges])
    heat = np.array([each.oil.steady_heat() for each in charges])
    start = [0.0 if each.oil.start is None else each.oil.start - answer.water for each in charges]
    return Warming(
        charges,
        np.array([each.oil.capacity() for each in charges]),
        heat + lost * air - uptake[:, 0],
        uptake[:, 1:] + np.diag(lost),
        np.array(start),
        answer.water,
    )
