"""The effect of each change on every need: the row with the change minus the row as found."""

from __future__ import annotations

from collections.abc import Iterable, Iterator, Mapping, Sequence
from dataclasses import asdict, dataclass
from typing import Any

from netsolve.circuit import AS_FOUND
from netsolve.result import PartResult, Result, RowResult

UNSETTLED = "unsettled"
"""Stands for a verdict where the row has no answer."""


@dataclass(frozen=True, slots=True)
class Effect:
    """What one change does to one part's flow in one condition. Flows in m3/s.

    A flow is None where its row did not settle or the part is not fitted, and so is the difference then. A
    verdict is `unsettled` where its row did not settle, None where the part has none.
    """

    change: str
    condition: str
    about: str
    before: float | None
    after: float | None
    difference: float | None
    verdict_before: str | None
    verdict_after: str | None

    @property
    def percent(self) -> float | None:
        """The difference in per cent of the flow before; None where there was none."""
        return 100 * self.difference / abs(self.before) if self.difference is not None and self.before else None


def compare(result: Result) -> tuple[Effect, ...]:
    """The effects of every change but `as found`, in the order of the rows, then of the parts with a need."""
    return tuple(_effects(result))


def effects_to_dict(effects: Iterable[Effect]) -> dict[str, Any]:
    """The effects as plain data; flows in m3/s. `others` are the differences of the other needs in the same row."""
    effects = tuple(effects)
    return {
        "effects": [
            asdict(effect) | {"percent": effect.percent, "others": _others(effect, effects)} for effect in effects
        ]
    }


def _others(effect: Effect, effects: Sequence[Effect]) -> dict[str, float | None]:
    same = [each for each in effects if (each.change, each.condition) == (effect.change, effect.condition)]
    return {each.about: each.difference for each in same if each.about != effect.about}


def pairs(result: Result) -> Iterator[tuple[int, int]]:
    """The places of each row as found and of the row of a change that is compared with it, in the rows' order."""
    found = {_situation(row): place for place, row in enumerate(result) if row.change == AS_FOUND}
    for place, row in enumerate(result):
        if row.change != AS_FOUND and _situation(row) in found:
            yield found[_situation(row)], place


def _effects(result: Result) -> Iterator[Effect]:
    for first, last in pairs(result):
        before, row = result.rows[first], result.rows[last]
        for name in _with_need(result, before, row):
            yield _effect(name, before, row)


def _situation(row: RowResult) -> tuple[str, tuple[tuple[str, float | str | bool], ...]]:
    """What a row shares with the row that it is compared with: the condition, and what a sweep has set."""
    return (row.condition, tuple(row.settings.items()))


def _with_need(result: Result, *rows: RowResult) -> tuple[str, ...]:
    """The names of the parts with a need in any of these rows, settled or not, in the circuit's order."""
    needs: dict[str, bool] = {}
    for row in rows:
        for name, part in (row.parts if row.settled else _written(result, row)).items():
            asked = part.min_flow is not None or part.max_flow is not None or getattr(part, "has_need", False)
            needs[name] = needs.get(name, False) or asked
    return tuple(name for name, wanted in needs.items() if wanted)


def _written(result: Result, unsettled: RowResult) -> Mapping[str, Any]:
    """The parts of an unsettled row, as the circuit has them."""
    same = (
        row for row in result.circuit.rows if (row.condition, row.change) == (unsettled.condition, unsettled.change)
    )
    row = next(same, None)
    return row.parts if row else {}


def _effect(name: str, before: RowResult, after: RowResult) -> Effect:
    flow_before, verdict_before = _state(before, name)
    flow_after, verdict_after = _state(after, name)
    return Effect(
        change=after.change,
        condition=after.condition,
        about=name,
        before=flow_before,
        after=flow_after,
        difference=None if flow_before is None or flow_after is None else flow_after - flow_before,
        verdict_before=verdict_before,
        verdict_after=verdict_after,
    )


def _state(row: RowResult, name: str) -> tuple[float | None, str | None]:
    if not row.settled:
        return None, UNSETTLED
    part = row.parts.get(name)
    if part is None or not part.fitted:
        return None, None
    return _carried(part), part.verdict


def _carried(part: PartResult) -> float:
    """The flow of a fitted part; one in a blanked run has no flow of its own to report, and carries none."""
    return 0.0 if part.flow is None else part.flow
