"""How warm each oil gets: where it settles, how long until its alarm, and what is left once the water stops.

Under constant heat every answer is exact; bursts are followed spell by spell, exactly within each.
"""

from __future__ import annotations

from collections.abc import Sequence
from dataclasses import dataclass, replace
from functools import cached_property
from typing import Any

import numpy as np

from netsolve.arrays.stack import Floats, Ints
from netsolve.heat.spells import Course, Spell, course, highest
from netsolve.heat.stated import Stated
from netsolve.heat.temperatures import Response
from netsolve.laws.thermal import after, time_to

_SINK = 1e-6
"""W/K: less than this takes nothing away; a run that counts as without flow carries more."""


@dataclass(frozen=True)
class Warming:
    """The oils of rows as they warm up: capacity dT/dt = gain - loss T, T above the incoming water's temperature.

    `capacity`, `gain`, `start`, `mean_bursts` (rows, oils) in J/K, W, K, W; `loss` (rows, oils, oils) in W/K; `water`
    (rows,) in K. `gain` has the steady heat, the bursts come besides.
    """

    stated: Stated
    capacity: Floats
    gain: Floats
    loss: Floats
    start: Floats
    mean_bursts: Floats
    water: Floats

    @cached_property
    def settled(self) -> Floats:
        """Where each settles under its mean heat, K above the water, (rows, oils); nan where nothing takes it away."""
        held = self._held(self.loss.sum(axis=2) > _SINK)
        mean = self.gain + self.mean_bursts
        idle = np.where(mean > 0.0, np.nan, self.start)
        count = held.shape[1]
        matrix = np.where(held[:, :, None], np.where(held[:, None, :], self.loss, 0.0), np.eye(count))
        from_others = np.where(held[:, None, :], 0.0, self.loss * np.nan_to_num(idle)[:, None, :]).sum(axis=2)
        wanted = np.where(held, mean - from_others, 0.0)
        return np.where(held, np.linalg.solve(matrix, wanted[:, :, None])[:, :, 0], idle)

    def _held(self, sinks: np.ndarray) -> np.ndarray:
        """The oils whose heat ends somewhere, by themselves or through another oil."""
        found = sinks
        for _ in range(sinks.shape[1]):
            found = found | ((self.loss < -_SINK) & found[:, None, :]).any(axis=2)
        return found

    def time_to(self, oil: int, temperature: Floats) -> Floats:
        """Time (s) until an oil has a temperature (rows,), K; infinite where it never has, nan where none is asked."""
        rise, found = temperature - self.water, np.full(len(temperature), np.nan)
        asked = ~np.isnan(rise)
        for rows, record in self.stated.oils[self.stated.names[oil]].groups:
            mine, spells = rows[asked[rows]], course((record,))
            alone = self._alone(oil, mine)
            found[mine[alone]] = self._time_alone(oil, mine[alone], rise[mine[alone]], spells)
            for row in mine[~alone]:
                found[row] = self.course(row).first(oil, rise[row])
        return found

    def peak(self, oil: int) -> Floats:
        """The highest temperature (rows,) that an oil with bursts reaches from cold, K; nan where it has none.

        nan, too, where nothing takes its heat away, so that each burst comes on top of the last.
        """
        found = np.full(len(self.water), np.nan)
        for rows, record in self.stated.oils[self.stated.names[oil]].groups:
            if record.bursts is None:
                continue
            alone = self._alone(oil, rows)
            mine = rows[alone]
            held = self.start[mine, oil], self.gain[mine, oil], self.loss[mine, oil, oil], self.capacity[mine, oil]
            found[mine] = highest(record, *held)
            for row in rows[~alone]:
                found[row] = self.course(row).highest(oil)
        peak: Floats = np.where(np.isnan(self.settled[:, oil]), np.nan, self.water + found)
        return peak

    def _alone(self, oil: int, rows: Ints) -> np.ndarray:
        """Whether no other oil warms the water of its cooler."""
        others = np.arange(self.loss.shape[2]) != oil
        return np.asarray((self.loss[rows, oil][:, others] == 0.0).all(axis=1))

    def _time_alone(self, oil: int, rows: Ints, rise: Floats, spells: Sequence[Spell]) -> Floats:
        """The time of the first crossing of oils that warm by themselves."""
        found, now = np.full(len(rows), np.inf), self.start[rows, oil]
        loss, gain, capacity = self.loss[rows, oil, oil], self.gain[rows, oil], self.capacity[rows, oil]
        for begin, end, heat in spells:
            net = gain + heat[0] - loss * now
            reached = begin + np.asarray(time_to(rise - now, net, loss, capacity))
            found = np.where(np.isinf(found) & (reached <= end), reached, found)
            if np.isinf(end) or np.isfinite(found).all():
                break
            now = np.asarray(after(end - begin, now, net, loss, capacity))
        return found

    def course(self, row: int) -> Course:
        """The oils of one row over time."""
        records = [each.record(row) for each in self.stated.oils.values()]
        return Course(
            tuple(course(records)),
            self.capacity[row],
            self.gain[row],
            self.loss[row],
            self.start[row],
            float(self.water[row]),
        )

    def without_water(self) -> Warming:
        """The same oils once no water flows, from where they have settled; from cold where no water flowed before."""
        lost, air = _lost(self.stated), _air(self.stated)
        heat = self.stated.oil_values(lambda oil: oil.steady_heat())
        warmed = ~np.isnan(self.settled) & (np.diagonal(self.loss, axis1=1, axis2=2) - lost > _SINK)
        start = np.where(warmed, self.settled, self.start)
        return replace(self, gain=heat + lost * air, loss=_diagonal(lost), start=start)


def warming(answer: Response) -> Warming:
    """How the oils of rows warm up in their water."""
    stated = answer.stated
    lost, air = _lost(stated), _air(stated)
    uptake = np.zeros((stated.count, len(stated.oils), 1 + len(stated.oils)))
    for place, name in enumerate(stated.oils):
        uptake[:, place] = answer.uptake(name)
    start = stated.oil_values(lambda oil: oil.start) - stated.water[:, None]
    steady = stated.oil_values(lambda oil: oil.steady_heat())
    return Warming(
        stated,
        capacity=stated.oil_values(lambda oil: oil.capacity()),
        gain=steady + lost * air - uptake[:, :, 0],
        loss=uptake[:, :, 1:] + _diagonal(lost),
        start=np.where(np.isnan(start), 0.0, start),
        mean_bursts=stated.oil_values(lambda oil: oil.mean_heat()) - steady,
        water=stated.water,
    )


def _lost(stated: Stated) -> Floats:
    return stated.oil_values(lambda oil: oil.loss)


def _air(stated: Stated) -> Floats:
    return stated.oil_values(lambda oil: oil.air) - stated.water[:, None]


def _diagonal(values: Floats) -> Any:
    return values[:, :, None] * np.eye(values.shape[1])
