"""The values in use that nobody wrote, as few sentences: alike ones together, those of parts in no row left out."""

from __future__ import annotations

from collections.abc import Iterable, Iterator
from typing import Any

from netsolve import units
from netsolve.circuit import Assumed
from netsolve.result import Result, RowResult

ESTIMATED = "estimated"
"""The value of what is estimated by something else that is written, such as the style."""


def assumed_lines(result: Result, system: str) -> Iterator[str]:
    """A sentence for each group: `roughness 0.01 mm of feed hose, return hose: …`, and where it comes from."""
    idle = _idle(result)
    groups: dict[tuple[str, str, str], list[str]] = {}
    for each in result.circuit.assumed:
        if each.part not in idle:
            groups.setdefault((each.parameter, value_text(each, system), each.source), []).append(each.part)
    for (parameter, value, source), names in groups.items():
        why = source.removeprefix(f"{value}, ")  # a source may begin with the value that it gives
        yield f"{_what(parameter, value, names)}: {why}"


def assumed_things(assumed: Iterable[Assumed], rows: Iterable[RowResult], system: str) -> list[str]:
    """`roughness 0.01 mm of feed hose, return hose` for each value that parts of these rows have in use."""
    used: dict[str, bool] = {}
    for row in rows:
        for part in row.parts.values():
            carries = part.flow is not None or not row.settled
            used[part.name] = used.get(part.name, False) or (part.fitted and carries)
    groups: dict[tuple[str, str], list[str]] = {}
    for each in assumed:
        if used.get(each.part, True):
            groups.setdefault((each.parameter, value_text(each, system)), []).append(each.part)
    return [_what(parameter, value, names) for (parameter, value), names in groups.items()]


def _what(parameter: str, value: str, names: Iterable[str]) -> str:
    return f"{parameter.replace('_', ' ')}{value and f' {value}'} of {', '.join(names)}"


def value_text(assumed: Assumed, system: str) -> str:
    """The value as people read it; empty where it is estimated by something else that is written."""
    value: Any = assumed.value
    if isinstance(value, bool):
        return "yes" if value else "no"
    if value == ESTIMATED:
        return ""
    if isinstance(value, str):
        return value
    return units.show(value, assumed.kind, system=system) if assumed.kind else f"{value:.4g} {assumed.unit}".strip()


def _idle(result: Result) -> set[str]:
    """The parts that carry water in none of the rows: not fitted, or in a blanked run."""
    seen: dict[str, bool] = {}
    for name, used in _uses(result):
        seen[name] = seen.get(name, False) or used
    return {name for name, used in seen.items() if not used}


def _uses(result: Result) -> Iterable[tuple[str, bool]]:
    for row in result:
        for part in row.parts.values():
            yield part.name, part.fitted and part.flow is not None
    settled = [row.settled for row in result]
    for state, answered in zip(result.states, settled, strict=False):
        if not answered:
            yield from ((part.name, part.fitted and not state.runs[part.run].blanked) for part in state.parts.values())
