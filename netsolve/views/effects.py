"""A comparison as tables for a terminal of 80 columns: one line for each need in each condition."""

from __future__ import annotations

from collections.abc import Sequence
from dataclasses import dataclass
from typing import TYPE_CHECKING

from netsolve import units
from netsolve.circuit import AS_FOUND
from netsolve.study.comparison import UNSETTLED, Effect
from netsolve.views import wording
from netsolve.views.prose import grid, plain, verdict

if TYPE_CHECKING:
    from rich.console import RenderableType
    from rich.text import Text

_WIDTH = 80
_FLOW, _DIFFERENCE, _VERDICT = 13, 16, 18
_LONGEST_CONDITION = 14


def compare_table(effects: Sequence[Effect], system: str) -> RenderableType:
    """What each change does to each need: the flow before and after, the signed difference, the verdicts."""
    from rich.console import Group

    if not effects:
        return plain("No change, or no part with a need, to compare.")
    unit = units.shown_units("flow")[system == "us"]
    condition = min(_LONGEST_CONDITION, max(9, *(len(effect.condition) for effect in effects)))
    part = _WIDTH - condition - _FLOW - _DIFFERENCE - _VERDICT - 4
    lines: list[RenderableType] = [plain(f"Flows before → after, in {unit}; before is the circuit {AS_FOUND}.")]
    for change in dict.fromkeys(effect.change for effect in effects):
        table = grid(
            ("condition", condition),
            ("part", part),
            ("flow", _FLOW),
            ("difference", _DIFFERENCE),
            ("verdict", _VERDICT),
        )
        for effect in effects:
            if effect.change == change:
                table.add_row(*_effect(effect, unit, system))
        lines += [plain(""), plain(change, "bold"), table]
    return Group(*lines)


@dataclass(frozen=True, slots=True)
class Line:
    """An effect in words, for a page: flows in both systems where both are known."""

    condition: str
    about: str
    flow: str
    difference: str
    before: str | None
    after: str | None


def line(effect: Effect, system: str) -> Line:
    """One effect as it stands in a table of a page."""
    flow = _flow(effect, system)
    if effect.before is not None and effect.after is not None:
        other = "us" if system == "metric" else "metric"
        flow += f" ({wording.pair(effect.before, effect.after, 'flow', system=other)})"
    difference = _difference(effect, system)
    return Line(effect.condition, effect.about, flow, difference, effect.verdict_before, effect.verdict_after)


def _effect(effect: Effect, unit: str, system: str) -> tuple[Text, ...]:
    flow, difference = _flow(effect, system), _difference(effect, system)
    return (
        plain(effect.condition),
        plain(effect.about),
        plain(flow.replace(f" {unit}", "")),
        plain(difference.replace(f" {unit}", "")),
        _verdicts(effect),
    )


def _flow(effect: Effect, system: str) -> str:
    if effect.before is not None and effect.after is not None:
        return wording.pair(effect.before, effect.after, "flow", system=system)
    states = ((effect.before, effect.verdict_before), (effect.after, effect.verdict_after))
    return " → ".join(_state(flow, word, system) for flow, word in states)


def _state(flow: float | None, word: str | None, system: str) -> str:
    if word == UNSETTLED:
        return "?"
    return "none" if flow is None else wording.flow(flow, system, both=False)


def _difference(effect: Effect, system: str) -> str:
    if effect.before is not None and effect.after is not None:
        return wording.difference(effect.before, effect.after, system=system)
    if UNSETTLED in (effect.verdict_before, effect.verdict_after):
        return "unknown"
    return "newly fitted" if effect.before is None else "no longer fitted"


def _verdicts(effect: Effect) -> Text:
    words = (effect.verdict_before, effect.verdict_after)
    first, last = (verdict(each) if each else plain("none") for each in words)
    if effect.verdict_before == effect.verdict_after:
        return last
    return first + plain(" → ") + last
