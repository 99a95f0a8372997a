"""How each oil warms up from cold, and what follows once the water stops: temperatures over time, by row."""

from __future__ import annotations

from dataclasses import dataclass

import numpy as np

from netsolve.arrays.stack import Floats
from netsolve.contract.cooling import Oil
from netsolve.heat.heat import Heat
from netsolve.heat.stated import stated
from netsolve.heat.warming import Warming
from netsolve.result import Result, RowResult

POINTS = 241
"""Times of a curve."""

WHILE_SETTLING = 4.0
"""Time constants after which an oil has all but settled: 2 % of the way are left."""

BEYOND = 1.25
"""Times the way to the alarm that is shown."""

MOST_APART = 6.0
"""How much later than the soonest alarm the latest may be that is still shown."""

ROUNDS = 3
"""Rounds of repeated bursts that are shown at least."""

SHORTEST, LONGEST = 1200.0, 12 * 3600.0
"""s: no curve is shorter or longer; long ones end at a full hour, others at a multiple of the shortest."""


@dataclass(frozen=True)
class WarmUp:
    """An oil in a row: temperatures (K) at some times (s) from cold with the water flowing, and after it has stopped.

    `stopped` begins where the oil has settled; None where no water flowed before.
    """

    oil: str
    condition: str
    change: str
    times: Floats
    temperatures: Floats
    times_stopped: Floats
    stopped: Floats | None
    alarm: float | None
    limit: float | None


def warm_ups(result: Result) -> list[WarmUp]:
    """The oils of every settled row, one after the other; those of one oil are over the same times."""
    known = [(row, state) for row, state in zip(result, result.states, strict=True) if row.settled and row.oils]
    if not known:
        return []
    rows, states = [row for row, _ in known], [state for _, state in known]
    flows = np.array([[row.runs[name].flow or 0.0 for name in states[0].runs] for row in rows])
    warmed = Heat(stated(states), flows).warming
    stopped, found = warmed.without_water(), []
    for place, oil in enumerate(states[0].oils):
        charge = states[0].oils[oil].oil
        times, later = _times(warmed, place, charge), _times(stopped, place, charge)
        for number, row in enumerate(rows):
            cold, hot = warmed.course(number), stopped.course(number) if _has_water(row, oil) else None
            found.append(
                WarmUp(
                    oil,
                    row.condition,
                    row.change,
                    times,
                    cold.at(times)[:, place],
                    later,
                    None if hot is None else hot.at(later)[:, place],
                    row.oils[oil].alarm,
                    row.oils[oil].limit,
                )
            )
    return found


def _times(warmed: Warming, place: int, oil: Oil) -> Floats:
    """Times long enough for the slowest to reach its alarm; where none does, to settle. Bursts are seen in any case."""
    reached = warmed.time_to(place, np.full(len(warmed.water), np.nan if oil.alarm is None else oil.alarm))
    alarmed = BEYOND * reached[(reached > 0.0) & (reached < np.inf)]
    spans = [min(alarmed.max(), MOST_APART * alarmed.min())] if len(alarmed) else list(_settling(warmed, place))
    if oil.bursts is not None:
        spans.append(ROUNDS * oil.repeat if oil.repeat else BEYOND * oil.bursts.columns[0][-1])
    span = float(np.clip(max(spans), SHORTEST, LONGEST))
    step = SHORTEST if span < 9 * SHORTEST else 3 * SHORTEST
    return np.linspace(0.0, step * np.ceil(span / step), POINTS)


def _settling(warmed: Warming, place: int) -> Floats:
    """How long an oil takes to settle in each row; without end where nothing takes its heat away."""
    loss = warmed.loss[:, place, place]
    some = np.where(loss > 0.0, loss, 1.0)
    return np.where(loss > 0.0, WHILE_SETTLING * warmed.capacity[:, place] / some, SHORTEST)


def _has_water(row: RowResult, oil: str) -> bool:
    """Whether water flows through any cooler of a row whose oil gives it heat."""
    return row.oils[oil].cooler_duty is not None and any(
        (part.flow or 0.0) != 0.0 for part in row.parts.values() if part.duty is not None
    )
