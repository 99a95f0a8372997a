"""Verdicts: what every part and run gets, and what is missing where nothing flows."""

from __future__ import annotations

from collections.abc import Iterable
from dataclasses import replace

from netsolve.circuit import End, Row
from netsolve.component import NO_FLOW, Crest, Opening
from netsolve.judging.needs import with_heat_needs
from netsolve.result import VERDICTS, PartResult, RowResult, RunResult
from netsolve.water import GRAVITY

MARGIN = 0.15
"""Marginal is within this of the least flow."""

IDLE_PRESSURE = 1.0
"""Pa: a run that lacks less lies between two like pressures, and carries nothing because it has nothing to do."""

AIR_TIGHT = 1.0
"""Pa below the pressure outside at which air is said to come in."""


def with_verdicts(row: RowResult, state: Row) -> RowResult:
    """The row with the verdict of every part and run; `state` is what was fitted, set and open in it."""
    row = with_heat_needs(row, state)
    runs: dict[str, RunResult] = {}
    parts: dict[str, PartResult] = {}
    for name, run in row.runs.items():
        stopped = _stopped(row, state, run)
        judged = {each: _part_verdict(row.parts[each], run.flow, stopped) for each in run.parts}
        lacking = _missing(row, state, run) if stopped in ("dry", "reversed") else None
        needed = any(row.parts[each].min_flow is not None for each in run.parts)
        if stopped == "dry" and not needed and abs(lacking or 0.0) < IDLE_PRESSURE:
            stopped, judged = None, dict.fromkeys(run.parts)
        parts |= {each: replace(row.parts[each], verdict=verdict) for each, verdict in judged.items()}
        runs[name] = replace(run, verdict=stopped or worst(judged.values()), missing=lacking)
    return replace(row, runs=runs, parts={name: parts[name] for name in row.parts})


def worst(verdicts: Iterable[str | None]) -> str | None:
    """The worst of the verdicts, or None where there is none."""
    given = [verdict for verdict in verdicts if verdict is not None]
    return min(given, key=VERDICTS.index, default=None)


def _stopped(row: RowResult, state: Row, run: RunResult) -> str | None:
    """Whether the run as a whole is reversed, shut or dry."""
    if state.runs[run.name].blanked or run.flow is None:
        return "shut"
    if run.flow < 0 and not state.runs[run.name].either:
        return "reversed"
    if run.flow:
        return None
    if any(state.parts[name].fitted and bool(state.parts[name].component.closed()) for name in run.parts):
        return "shut"
    return "reversed" if draws_air(row, state, run) else "dry"


def draws_air(row: RowResult, state: Row, run: RunResult) -> bool:
    """Whether air would come in at an open end: water passes where the run begins, below the pressure outside.

    Where none passes, it only stands lower in the run than its end.
    """
    place = state.places[state.runs[run.name].target.joint]
    if run.flow is None or run.flow != 0 or not isinstance(place.joint, Opening) or not bool(place.joint.one_way()):
        return False
    start, stop = state.runs[run.name].source, state.runs[run.name].target
    if not _has_water(row, start.joint):
        return False
    inside = row.joints[start.joint].ports[start.port].total_pressure
    return inside < row.joints[stop.joint].ports[stop.port].total_pressure - AIR_TIGHT


def _missing(row: RowResult, state: Row, run: RunResult) -> float | None:
    """What the pressure lacks to move the least flow, Pa.

    The drop of the dry runs at that flow + what lies beyond - the total pressure at the last joint that has water.
    """
    if run.flow != 0:
        return None
    chain = _dry_chain(row, state, run)
    asked = sum(_at_threshold(state, name) for name in chain)
    return _beyond(row, state, state.runs[run.name].target) + asked - _level(row, state, state.runs[chain[0]].source)


def shut_before(row: RowResult, state: Row, run: RunResult) -> str | None:
    """The shut run that keeps the water from a dry one, or None."""
    first = state.runs[_dry_chain(row, state, run)[0]].source.joint
    if _has_water(row, first) or isinstance(state.places[first].joint, Opening):
        return None
    feeding = [each.name for each in state.runs.values() if each.target.joint == first]
    return next((name for name in feeding if _stopped(row, state, row.runs[name]) == "shut"), None)


def _dry_chain(row: RowResult, state: Row, run: RunResult) -> list[str]:
    """The run, and the dry ones before it back to a joint that has water."""
    chain = [run.name]
    while not _has_water(row, state.runs[chain[0]].source.joint):
        before = state.runs[chain[0]].source.joint
        feeding = [
            name for name, each in state.runs.items() if each.target.joint == before and row.runs[name].flow == 0
        ]
        if len(feeding) != 1 or feeding[0] in chain or _stopped(row, state, row.runs[feeding[0]]) == "shut":
            break
        chain.insert(0, feeding[0])
    return chain


def _has_water(row: RowResult, joint: str) -> bool:
    return any(port.flow for port in row.joints[joint].ports.values())


def _at_threshold(state: Row, run: str) -> float:
    """The drop of a run's parts at the flow that counts as none."""
    parts = (state.parts[name] for name in state.runs[run].parts)
    return sum(part.count * float(part.component.pressure_drop(NO_FLOW, state.water)) for part in parts if part.fitted)


def _level(row: RowResult, state: Row, end: End) -> float:
    """Total pressure + ρ g z at the end of a run."""
    total = row.joints[end.joint].ports[end.port].total_pressure
    return total + float(state.water.density) * GRAVITY * (state.places[end.joint].height or 0.0)


def _beyond(row: RowResult, state: Row, end: End) -> float:
    """The level that a run without flow would have to reach: that at its end, or the crest of a vented loop there."""
    place = state.places[end.joint]
    level = _level(row, state, end)
    if not isinstance(place.joint, Crest) or not bool(place.joint.breaks()):
        return level
    return max(level, float(state.water.density) * GRAVITY * (place.height or 0.0))


def _part_verdict(part: PartResult, flow: float | None, stopped: str | None) -> str | None:
    if not part.fitted:
        return None
    if stopped is not None:
        return stopped
    if part.min_flow is None and part.max_flow is None:
        return None
    amount = abs(flow or 0.0)
    if part.min_flow is not None and amount < part.min_flow:
        return "starved"
    if part.max_flow is not None and amount > part.max_flow:
        return "overfed"
    if part.min_flow is not None and amount < part.min_flow * (1 + MARGIN):
        return "marginal"
    return "served"
