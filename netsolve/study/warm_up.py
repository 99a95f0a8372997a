"""How each oil warms up from cold, and what follows once the water stops: temperatures over time, by row."""

from __future__ import annotations

from dataclasses import dataclass

import numpy as np

from netsolve.arrays.stack import Floats
from netsolve.circuit import Row
from netsolve.heat.temperatures import Response, response
from netsolve.heat.warming import Warming, warming
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
    known = [
        (row, place, name, warming(_response(row, state)))
        for row, state in zip(result, result.states, strict=True)
        if row.settled
        for place, name in enumerate(row.oils)
    ]
    found = []
    for oil in dict.fromkeys(name for _, _, name, _ in known):
        mine = [(row, place, warmed) for row, place, name, warmed in known if name == oil]
        times = _times([warmed for _, _, warmed in mine], mine[0][1])
        later = _times([warmed.without_water() for _, _, warmed in mine], mine[0][1])
        found += [_warm_up(oil, row, place, warmed, times, later) for row, place, warmed in mine]
    return found


def _response(row: RowResult, state: Row) -> Response:
    return response(state, {name: run.flow or 0.0 for name, run in row.runs.items()})


def _times(every: list[Warming], oil: int) -> Floats:
    """Times long enough for the slowest to reach its alarm; where none does, to settle. Bursts are seen in any case."""
    charge = every[0].charges[oil].oil
    reached = [] if charge.alarm is None else [warmed.time_to(oil, charge.alarm) for warmed in every]
    alarmed = [BEYOND * each for each in reached if 0.0 < each < np.inf]
    spans = [min(max(alarmed), MOST_APART * min(alarmed))] if alarmed else [_settling(warmed, oil) for warmed in every]
    if charge.bursts is not None:
        spans.append(ROUNDS * charge.repeat if charge.repeat else BEYOND * charge.bursts.columns[0][-1])
    span = float(np.clip(max(spans), SHORTEST, LONGEST))
    step = SHORTEST if span < 9 * SHORTEST else 3 * SHORTEST
    return np.linspace(0.0, step * np.ceil(span / step), POINTS)


def _settling(warmed: Warming, oil: int) -> float:
    """How long an oil takes to settle; without end where nothing takes its heat away."""
    loss = float(warmed.loss[oil, oil])
    return WHILE_SETTLING * float(warmed.capacity[oil]) / loss if loss > 0.0 else SHORTEST


def _warm_up(oil: str, row: RowResult, place: int, warmed: Warming, times: Floats, later: Floats) -> WarmUp:
    charge = row.oils[oil]
    has_water = charge.cooler_duty is not None and any(
        (row.parts[name].flow or 0.0) != 0.0 for name, each in row.parts.items() if each.duty is not None
    )
    return WarmUp(
        oil,
        row.condition,
        row.change,
        times,
        warmed.at(times)[:, place],
        later,
        warmed.without_water().at(later)[:, place] if has_water else None,
        charge.alarm,
        charge.limit,
    )
