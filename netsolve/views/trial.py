"""The sheet of a trial, and the page for the owner, in words."""

from __future__ import annotations

import math
from collections.abc import Iterator, Sequence
from dataclasses import dataclass, replace

from netsolve import units
from netsolve.result import PartResult, Result
from netsolve.study.handover import BeforeAfter, before_and_after, intervals
from netsolve.study.trial import ALLOWED, Line, Trial
from netsolve.views import wording
from netsolve.views.provenance import assumed_lines
from netsolve.views.sheet import Grid, Section, Sheet

STEPS = (
    ("at the dock, 10 min idling, all valves open", "no drips, no bubbles in the bowls"),
    ("each branch valve shut and opened again", "engine temperature does not move"),
    (
        "60 to 90 min at cruise, or until the oil stands (under 1 °C in 10 min)",
        "60 to 66 °C at most, as the maker says",
    ),
    ("manoeuvring, thruster or winch at full work", "oil below the maker's limit, often 71 to 82 °C"),
    ("engine stopped hot, 15 min", "no water runs on (a siphon), no drips"),
    ("clamps again, hot; strainers after the first hour and after 10 h", "tight; what is in them written down"),
    ("the alarm tried", "it sounds"),
)
"""Steps of a trial and when they are passed; common practice, no source. The makers' limits go first."""

CAUTIONS = (
    "Nobody near belts and shafts; no bucket test beside them. Hot water and oil scald. A leak of oil under pressure "
    "is found with cardboard, never with the hand; oil under the skin is an emergency for a surgeon.",
    "Watch the stream at the exhaust: when it stops, stop the engine; a dry exhaust burns, and leaks carbon monoxide.",
    "A hose that comes off below the waterline floods the boat: know the seacock, have a wooden plug at it.",
    "An estimate, not a survey. Makers' instructions, local rules and licensed trades go before this sheet.",
)


def trial_sheet(sheet: Trial, system: str) -> Sheet:
    """The sheet to take on board; what was read is filled in and judged."""
    sections = [
        Section("before you begin", CAUTIONS + tuple(_floods(sheet, system))),
        Section(
            "steps", grid=Grid((("step", 34), ("passed when", 30), ("result", 12)), [(*step, "") for step in STEPS])
        ),
    ]
    for condition in dict.fromkeys(line.probe.situation.condition for line in sheet.lines):
        lines = [line for line in sheet.lines if line.probe.situation.condition == condition]
        sections.append(Section(condition, grid=_grid(sheet, lines, system)))
    sections.append(Section("how it is judged", tuple(_judged(sheet))))
    return Sheet(f"Trial: {sheet.circuit}", _subtitle(sheet), sections)


def trial_sections(sheet: Trial, system: str) -> list[Section]:
    """The sheet as sections of another page."""
    return [replace(each, title=f"Trial: {each.title}") for each in trial_sheet(sheet, system).sections]


def _subtitle(sheet: Trial) -> str:
    read = sheet.read
    if not read:
        return f"{sheet.change}; to be filled in"
    failed = [line for line in read if line.verdict != "pass"]
    return f"{sheet.change}; {len(read)} readings, " + (f"{len(failed)} not accepted" if failed else "all accepted")


def _grid(sheet: Trial, lines: Sequence[Line], system: str) -> Grid:
    last_year = any(line.before is not None for line in sheet.lines)
    heads = [("what", 27), ("predicted", 11), ("band", 16), ("read", 11), ("verdict", 10)]
    if last_year:
        heads = [("what", 22), ("predicted", 10), ("band", 15), ("last year", 10), ("read", 10), ("verdict", 8)]
    rows = []
    for line in lines:
        kind = line.probe.unit_kind
        middle = _shown(line.middle, kind, system)
        read = "" if line.reading is None else _shown(line.reading.value, kind, system)
        least = f", needs {_shown(line.least, kind, system)}" if line.least is not None else ""
        what = str(line.probe).rpartition(",")[0] + least
        band = wording.between(line.low, line.high, kind, system=system) if math.isfinite(line.low) else "no answer"
        before = [_shown(line.before, kind, system) or "none"] if last_year else []
        rows.append((what, middle, band, *before, read, line.verdict))
    return Grid(heads, rows)


def _shown(value: float | None, kind: str, system: str) -> str:
    return "" if value is None or not math.isfinite(value) else units.show(value, kind, system=system)


def _floods(sheet: Trial, system: str) -> Iterator[str]:
    for flood in sheet.floods:
        flow = units.show(flood.flow, "flow", system=system, both=True)
        yield f"The hose off at '{flood.inlet}' lets in {flow}; a bilge pump clears about half of what it is rated for."


def _judged(sheet: Trial) -> Iterator[str]:
    yield (
        f"A reading passes within {100 * ALLOWED:.0f} % of what is predicted, or within its band (nine times out of "
        "ten, as the numbers of the file are off), give or take how well it was read; and never below its need."
    )
    yield "Hold every hose end at its own height, and take the speed with an optical tachometer: flows follow it."
    if any(line.before is not None for line in sheet.lines):
        yield "Last year's readings are beside this year's: a drift that still passes is worth a look."


@dataclass(frozen=True, slots=True)
class Told:
    """What the one who did the work says: reported, found, done, not done."""

    reported: Sequence[str] = ()
    found: Sequence[str] = ()
    done: Sequence[str] = ()
    left: Sequence[str] = ()


def handover_sheet(result: Result, sheet: Trial, told: Told, system: str, *, picture: str = "") -> Sheet:
    """The page for the owner, in the order in which it is read."""
    made = sheet.change != "as found"
    done = [*told.done, *([f"Changed: {sheet.change}."] if made else [])]
    row = next(each for each in result.states if each.change == sheet.change)
    assumed = [wording.sentence(each) for each in assumed_lines(result, system)]
    measured = "Flows and pressures are computed; what was read on board stands beside them."
    sections = [
        Section("what you reported", told.reported, room=0 if told.reported else 2),
        Section("what we found", told.found, room=0 if told.found else 2),
        Section("what we did", done, room=0 if done else 2),
        Section(
            "before and after", [] if made else ["Nothing was changed: as it is now."], _flows(result, sheet, system)
        ),
        *([Section("read on board", grid=_grid(sheet, sheet.read, system))] if sheet.read else []),
        *([Section("as it is fitted", picture=picture)] if picture else []),
        Section("what to look at, and when", grid=Grid((("what", 34), ("when", 44)), list(intervals(row)))),
        Section("not done, and recommended", told.left, room=0 if told.left else 2),
        Section("limits", [measured, *assumed]),
        Section("cautions", CAUTIONS + tuple(_floods(sheet, system))),
    ]
    return Sheet(f"Hand-over: {sheet.circuit}", "An estimate, not a survey; keep it with the boat's papers.", sections)


def _flows(result: Result, sheet: Trial, system: str) -> Grid:
    found = list(before_and_after(result, sheet.change))
    heads = (("condition", 11), ("part", 22), ("before", 14), ("after", 14), ("verdict", 15))
    rows = [
        (each.condition, each.name, _flow(each.before, system), _flow(each.after, system), _verdict(each))
        for each in found
    ]
    return Grid(heads, rows)


def _flow(part: PartResult | None, system: str) -> str:
    return "not fitted" if part is None else wording.flow(part.flow, system, both=False)


def _verdict(each: BeforeAfter) -> str:
    return wording.word(each.after.verdict) if each.after is not None else "taken out"
