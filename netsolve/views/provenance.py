"""The values in use that nobody wrote, as few sentences: alike ones together, those of parts in no row left out."""

from __future__ import annotations

from collections.abc import Iterable, Iterator
from typing import Any

from netsolve import units
from netsolve.circuit import Assumed
from netsolve.result import Result

ESTIMATED = "estimated"
"""The value of what is estimated by something else that is written, such as the style."""


def assumed_lines(result: Result, system: str) -> Iterator[str]:
    """A sentence for each group: `roughness 0.01 mm of feed hose, return hose: …`, and where it comes from."""
    groups: dict[tuple[str, str, str], list[str]] = {}
    idle = _idle(result)
    for each in result.circuit.assumed:
        if each.part not in idle:
            groups.setdefault((each.parameter, _value(each, system), each.source), []).append(each.part)
    for (parameter, value, source), names in groups.items():
        why = source.removeprefix(f"{value}, ")  # a source may begin with the value that it gives
        yield f"{parameter.replace('_', ' ')}{value and f' {value}'} of {', '.join(names)}: {why}"


def _value(assumed: Assumed, system: str) -> str:
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
