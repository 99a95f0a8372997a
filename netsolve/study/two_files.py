"""One circuit against another: the other's rows stand as a change, matched by the names of conditions and parts."""

from __future__ import annotations

from collections.abc import Iterable, Mapping
from dataclasses import replace
from typing import TypeVar

from netsolve.circuit import AS_FOUND, Row
from netsolve.reading.naming import fold
from netsolve.result import Result, RowResult

Thing = TypeVar("Thing")


def against(result: Result, other: Result, name: str) -> Result:
    """The rows as found of a result, and those of another as changes of that name; their names are the first's.

    Conditions that only one of them has are left out.
    """
    first = [(row, state) for row, state in _rows(result) if row.change == AS_FOUND]
    conditions = {fold(row.condition): row.condition for row, _ in first}
    last = [(row, state) for row, state in _rows(other) if fold(row.condition) in conditions]
    shared = {fold(row.condition) for row, _ in last}
    parts, runs = _names(first, "parts"), _names(first, "runs")
    rows = [(row, state) for row, state in first if fold(row.condition) in shared]
    for row, state in last:
        change = name if row.change == AS_FOUND else f"{name}: {row.change}"
        told = replace(
            row,
            condition=conditions[fold(row.condition)],
            change=change,
            parts={
                known: replace(part, name=known, run=_known(part.run, runs))
                for known, part in _renamed(row.parts, parts).items()
            },
            runs={
                known: replace(
                    run,
                    name=known,
                    parts=tuple(_known(part, parts) for part in run.parts),
                    takes=tuple(replace(take, name=_known(take.name, parts)) for take in run.takes),
                )
                for known, run in _renamed(row.runs, runs).items()
            },
        )
        known = replace(state, parts=_renamed(state.parts, parts), runs=_renamed(state.runs, runs))
        rows.append((told, known))
    return Result(result.circuit, [row for row, _ in rows], [state for _, state in rows])


def _rows(result: Result) -> Iterable[tuple[RowResult, Row]]:
    return zip(result, result.states, strict=True)


def _names(rows: Iterable[tuple[RowResult, Row]], what: str) -> dict[str, str]:
    return {fold(name): name for _, state in rows for name in getattr(state, what)}


def _known(name: str, names: Mapping[str, str]) -> str:
    return names.get(fold(name), name)


def _renamed(things: Mapping[str, Thing], names: Mapping[str, str]) -> dict[str, Thing]:
    return {_known(name, names): thing for name, thing in things.items()}
