"""Where needs are crossed in a sweep, and which values were found for a flow, as lines of 80 columns."""

from __future__ import annotations

import math
from collections.abc import Iterator, Mapping, Sequence
from typing import Any

from netsolve import units
from netsolve.study.axes import Axis
from netsolve.study.crossings import Cool, Crossing, Need
from netsolve.study.find import Alike, Found, Warm, Wish
from netsolve.study.sweep import Sweep
from netsolve.views import wording
from netsolve.views.markup import wrap
from netsolve.views.sweep_table import settings_text

_WIDTH = 80
_MOST = 40
"""Crossings that are written out."""


def crossing_lines(sweep: Sweep, axis: Axis, crossed: Sequence[Crossing], system: str) -> Iterator[str]:
    """A sentence for each crossing, after one that says what was looked at."""
    path, kind = axis.path, axis.kinds[axis.path]
    numbers = [value for value in axis.values[path] if isinstance(value, float)]
    ends = " and ".join(units.show(each, kind, system=system) for each in (min(numbers), max(numbers)))
    found = "where needs are crossed" if crossed else "no need is crossed"
    yield from wrapped(f"{found}, {path} between {ends}")
    kinds = {each: one.kinds[each] for one in sweep.axes for each in one.values}
    for each in crossed[:_MOST]:
        yield from wrapped(f"  {_where(each, kinds, system)}: {_said(each, kind, system)}", "    ")
    if len(crossed) > _MOST:
        yield f"  and {len(crossed) - _MOST} more, all of them in --json"


def _where(each: Crossing | Found, kinds: Mapping[str, str], system: str) -> str:
    settings = settings_text(each.settings, kinds, system)
    return ", ".join(filter(None, (each.condition, each.change, settings)))


_VERBS = {
    "min_flow": "has its least flow",
    "max_flow": "stays below its most",
    "limit": "settles below its limit",
    "alarm": "settles below its alarm",
}


def _said(each: Crossing, kind: str, system: str) -> str:
    assert isinstance(each.goal, Need | Cool)
    verb = _VERBS[each.goal.bound]
    if each.value is None:
        low, high = (units.show(value, kind, system=system) for value in each.between)
        return f"{each.goal.about} {verb} from between {low} and {high} {'up' if each.rises else 'down'}"
    value = precise(each.value, kind, system)
    return f"{each.goal.about} {verb} {f'from {each.path} {value} up' if each.rises else f'up to {each.path} {value}'}"


def found_lines(wanted: Axis, goal: Wish, found: Sequence[Found], axes: Sequence[Axis], system: str) -> Iterator[str]:
    """A line for each situation: the values, or why there is none; and what else is missed then."""
    kind = wanted.kinds[wanted.path]
    low, high = (units.show(each, kind, system=system) for each in found[0].searched)
    yield from wrapped(f"{', '.join(wanted.values)} for {_wish(goal, system)}, looked for from {low} to {high}")
    kinds = {each: one.kinds[each] for one in axes for each in one.values}
    for each in found:
        yield from wrapped(f"  {_where(each, kinds, system)}: {_answer(each, goal, kind, system)}", "    ")


def _wish(goal: Wish, system: str) -> str:
    if isinstance(goal, Alike):
        return f"{goal.about} = {goal.other}"
    if isinstance(goal, Warm):
        does = "settling at" if goal.what == "plateau" else f"{goal.what.replace('_', ' ')} of"
        return f"{goal.about} {does} {units.show(goal.wanted, goal.kind, system=system, both=True)}"
    if not goal.flow:
        return f"{goal.about} just flowing"
    return f"{goal.about} = {wording.flow(goal.flow, system)}"


def _answer(each: Found, goal: Wish, kind: str, system: str) -> str:
    if not each.values:
        return _none(each, goal, kind, system)
    said = []
    for value, missed in zip(each.values, each.missed, strict=True):
        troubles = ", ".join(f"{part} {wording.word(verdict)}" for part, verdict in missed.items())
        said.append(f"{precise(value, kind, system)}{f' (then {troubles})' if troubles else ''}")
    return " or ".join(said)


def _none(each: Found, goal: Wish, kind: str, system: str) -> str:
    if each.reached is None:
        return f"none; {goal.about} is not fitted, or nothing settled"
    (least, at_least), (most, at_most) = each.reached
    if least == most == 0:
        return "none: it carries nothing at all"
    if isinstance(goal, Alike):
        return "none: one of them carries more everywhere"
    of, does = (goal.kind, "goes") if isinstance(goal, Warm) else ("flow", "carries")
    does = "settles" if isinstance(goal, Warm) and goal.what == "plateau" else does
    ends = (f"{_shown(amount, of, system)} at {units.show(at, kind, system=system)}"
            for amount, at in ((least, at_least), (most, at_most)))  # fmt: skip
    return f"none: it {does} from {' to '.join(ends)}"


def precise(value: float, kind: str, system: str, *, digits: int = 5) -> str:
    """A value that was found, in so many digits that it gives again what it was found for."""
    unit = units.show(value, kind, system=system).partition(" ")[2]
    number = units.convert(value, kind, unit)
    return f"{float(f'{number:.{digits}g}'):.10g} {unit}".strip()


def wrapped(words: str, further: str = "  ") -> list[str]:
    """The words on lines of 80 columns; the first keeps its lead, the others have `further` for theirs."""
    lead = words[: len(words) - len(words.lstrip())]
    first, *rest = wrap(words.strip(), _WIDTH - len(further), most=1_000_000)
    return [lead + first, *(further + line for line in rest)]


def crossings_dict(crossed: Sequence[Crossing]) -> list[dict[str, Any]]:
    """Crossings as plain data, SI."""
    return [
        {
            "condition": each.condition,
            "change": each.change,
            "settings": dict(each.settings),
            "about": each.goal.about,
            "bound": each.goal.bound if isinstance(each.goal, Need | Cool) else None,
            "parameter": each.path,
            "value": each.value,
            "between": list(each.between),
            "met_by": "more" if each.rises else "less",
        }
        for each in crossed
    ]


def found_dict(wanted: Axis, goal: Wish, found: Sequence[Found]) -> list[dict[str, Any]]:
    """What was found as plain data, SI."""
    return [
        {
            "condition": each.condition,
            "change": each.change,
            "settings": dict(each.settings),
            "find": list(wanted.values),
            "for": _wish_dict(goal),
            "values": list(each.values),
            "missed": [dict(missed) for missed in each.missed],
            "searched": list(each.searched),
            "reached": each.reached
            and [
                {_of(goal): amount if math.isfinite(amount) else None, "value": value} for amount, value in each.reached
            ],
        }
        for each in found
    ]


def _wish_dict(goal: Wish) -> dict[str, Any]:
    if isinstance(goal, Alike):
        return {"about": goal.about, "equals": goal.other}
    return {"about": goal.about, _of(goal): goal.wanted if isinstance(goal, Warm) else goal.flow}


_KEYS = {"temperature": "temperature_k", "time": "{}_s", "power": "{}_w"}


def _shown(amount: float, kind: str, system: str) -> str:
    return units.show(amount, kind, system=system) if math.isfinite(amount) else "never"


def _of(goal: Wish) -> str:
    """What a goal is about, as a key."""
    return _KEYS[goal.kind].format(goal.what) if isinstance(goal, Warm) else "flow_m3_s"


def _finite(amount: float) -> float | None:
    """A number, or null for never."""
    return amount if math.isfinite(amount) else None
