"""The page for the owner, in words: reported, found, done, before and after, what to look at, what was not done."""

from __future__ import annotations

from collections.abc import Iterator, Sequence
from dataclasses import dataclass

from netsolve import units
from netsolve.cautions import named
from netsolve.circuit import AS_FOUND
from netsolve.heat.heat import OilResult
from netsolve.problems import Finding
from netsolve.result import VERDICTS, PartResult, Result
from netsolve.study.handover import BeforeAfter, before_and_after, intervals
from netsolve.study.trial import Trial
from netsolve.views import wording
from netsolve.views.provenance import assumed_lines
from netsolve.views.sheet import Grid, Section, Sheet
from netsolve.views.trial import at_speed, floods, looks_grid, readings_grid


@dataclass(frozen=True, slots=True)
class Told:
    """What the one who did the work says: reported, found, done, not done."""

    reported: Sequence[str] = ()
    found: Sequence[str] = ()
    done: Sequence[str] = ()
    left: Sequence[str] = ()


def handover_sheet(result: Result, sheet: Trial, told: Told, system: str, *, picture: str = "") -> Sheet:
    """The page for the owner, in the order in which it is read."""
    made = sheet.change != AS_FOUND
    done = [*told.done, *([f"Changed: {sheet.change}."] if made else [])]
    row = next(each for each in result.states if each.change == sheet.change)
    assumed = [wording.sentence(each) for each in assumed_lines(result, system)]
    sections = [
        Section("what you reported", told.reported, room=0 if told.reported else 2),
        Section("what we found", told.found, room=0 if told.found else 2),
        Section("what we did", done, room=0 if done else 2),
        Section(
            "before and after" if made else "as it is now",
            ["Computed, not measured."] if made else ["Nothing was changed in the circuit. Computed, not measured."],
            _flows(result, sheet, system),
        ),
        *_read_on_board(sheet, system),
        *([Section(f"as it is fitted, at {row_drawn(result)}", picture=picture)] if picture else []),
        Section("what to look at, and when", grid=Grid((("what", 34), ("when", 44)), list(intervals(row)))),
        Section("not done, and recommended", [*told.left, *_still(result, sheet)], room=0 if told.left else 2),
        Section("limits", [LIMITS, *assumed], small=True),
        Section(
            "cautions, and whom to ask",
            [f"{each.title}: {each.short}. Ask: {each.ask}." for each in OWNERS.values()] + list(floods(sheet, system)),
        ),
    ]
    return Sheet(f"Hand-over: {sheet.circuit}", "An estimate, not a survey; keep it with the boat's papers.", sections)


LIMITS = (
    "Flows, pressures and temperatures are computed from the file, as good as its numbers; what was read on board "
    "stands beside them with its band. A reading is of that day, speed, trim and sea. Assumed values follow."
)

OWNERS = named(("flooding", "hot", "oil", "acid", "exhaust", "rotating", "environment", "warranty"))
"""The cautions that an owner should have."""


def row_drawn(result: Result) -> str:
    """The condition in which the circuit is drawn."""
    return result.circuit.conditions[-1]


def _read_on_board(sheet: Trial, system: str) -> Iterator[Section]:
    conditions = dict.fromkeys(line.probe.situation.condition for line in sheet.read)
    for condition in conditions:
        lines = [line for line in sheet.read if line.probe.situation.condition == condition]
        yield Section(f"read on board: {at_speed(sheet, condition)}", grid=readings_grid(sheet, lines, system))
    looked = [look for look in sheet.looks if look.reading is not None]
    if looked:
        yield Section("looked at on board", grid=looks_grid(looked))


def _still(result: Result, sheet: Trial) -> Iterator[str]:
    """What the computation still finds wrong, the worst first, each once with where."""
    found: dict[tuple[str, str], tuple[Finding, list[str]]] = {}
    for row in result:
        for each in row.findings if row.change == sheet.change else ():
            if each.severity in ("danger", "fault") and not each.lacks:
                found.setdefault((each.code, each.about), (each, []))[1].append(row.condition)
    for finding, where in sorted(found.values(), key=lambda pair: wording.SEVERITIES.index(pair[0].severity)):
        yield f"{finding.severity.capitalize()}, at {', '.join(where)}: {wording.said(finding)}"


def _flows(result: Result, sheet: Trial, system: str) -> Grid:
    made = sheet.change != AS_FOUND
    heads = [("condition", 11), ("what", 24), *([("before", 13)] if made else []), ("after" if made else "now", 13)]
    rows: list[tuple[str, ...]] = []
    for each in before_and_after(result, sheet.change):
        before = [_flow(each.before, system)] if made else []
        rows.append((each.condition, each.name, *before, _flow(each.after, system), _verdict(each)))
    for condition in result.circuit.conditions:
        first, last = (result[condition, change].oils for change in (AS_FOUND, sheet.change))
        for name, oil in last.items():
            before = [_settles(first.get(name), system)] if made else []
            rows.append((condition, name, *before, _settles(oil, system), _warmth(oil)))
    return Grid([*heads, ("verdict", 14)], rows, _NOT_WELL)


_TOO_HOT, _TOO_WARM = "PASSES ITS ALARM", "ABOVE ITS LIMIT"
_NOT_WELL = (*(wording.word(each) for each in VERDICTS if each not in ("served", "marginal")), _TOO_HOT, _TOO_WARM)


def _settles(oil: OilResult | None, system: str) -> str:
    if oil is None or oil.plateau is None:
        return "no answer" if oil is None else "does not settle"
    return units.show(oil.plateau, "temperature", system=system)


def _warmth(oil: OilResult) -> str:
    """What is said of where an oil settles."""
    if oil.alarm is not None and (oil.plateau is None or oil.plateau >= oil.alarm):
        return _TOO_HOT
    if oil.limit is not None and (oil.plateau is None or oil.plateau > oil.limit):
        return _TOO_WARM
    return "served" if oil.alarm is not None or oil.limit is not None else "-"


def _flow(part: PartResult | None, system: str) -> str:
    return "not fitted" if part is None else wording.flow(part.flow, system, both=False)


def _verdict(each: BeforeAfter) -> str:
    return wording.word(each.after.verdict) or "-" if each.after is not None else "taken out"
