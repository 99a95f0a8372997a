"""What each thing takes of the pressure that drives the run of a need, before and after a change."""

from __future__ import annotations

from dataclasses import dataclass

from netsolve.result import Result, RowResult
from netsolve.study.comparison import Effect


@dataclass(frozen=True, slots=True)
class Taken:
    """What a part, the lift, a back pressure or an end of the run takes, Pa; None where it is not there."""

    name: str
    before: float | None
    after: float | None


@dataclass(frozen=True, slots=True)
class Budget:
    """The pressure budget of the run that a need stands in."""

    change: str
    condition: str
    about: str
    run: str
    takes: tuple[Taken, ...]


def budget(result: Result, effect: Effect) -> Budget:
    """The budget that belongs to an effect; nothing is taken in a run that is blanked or without an answer."""
    before, after = result[effect.condition], result[effect.condition, effect.change]
    run = next(row.parts[effect.about].run for row in (before, after) if effect.about in row.parts)
    first, last = _takes(before, run), _takes(after, run)
    takes = tuple(Taken(name, first.get(name), last.get(name)) for name in _order(after, run) if name in first | last)
    return Budget(effect.change, effect.condition, effect.about, run, takes)


def _takes(row: RowResult, run: str) -> dict[str, float]:
    return {take.name: take.pressure for take in row.runs[run].takes} if run in row.runs else {}


def _order(row: RowResult, run: str) -> tuple[str, ...]:
    """The parts in line, then what else takes pressure."""
    parts = row.runs[run].parts if run in row.runs else ()
    return tuple(dict.fromkeys((*parts, "lift", "back pressure", "entrance", "exit", *_takes(row, run))))
