"""The sheet of a trial, in words."""

from __future__ import annotations

import math
from collections.abc import Iterator, Sequence

from netsolve import units
from netsolve.circuit import AS_FOUND
from netsolve.study.looks import CLEAN_IT, LOOK, PASS, Look
from netsolve.study.trial import ALLOWED, ALLOWED_KELVIN, HIGH, LOW, OVERFED, STARVED, UNKNOWN, Line, Trial
from netsolve.views import wording
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


NOT_ACCEPTED = (LOW, HIGH, STARVED, OVERFED, UNKNOWN, CLEAN_IT, LOOK)
"""Verdicts that stand out."""


def trial_sheet(sheet: Trial, system: str) -> Sheet:
    """The sheet to take on board; what was read is filled in and judged."""
    steps = Grid((("step", 34), ("passed when", 30), ("result", 12)), [(*step, "") for step in STEPS])
    sections = [
        Section("before you begin", CAUTIONS + tuple(floods(sheet, system))),
        Section("steps", grid=steps),
    ]
    for condition in dict.fromkeys(line.probe.situation.condition for line in sheet.lines):
        lines = [line for line in sheet.lines if line.probe.situation.condition == condition]
        sections.append(Section(at_speed(sheet, condition), grid=readings_grid(sheet, lines, system)))
    if sheet.looks:
        sections.append(Section("looked at, engine stopped and seacock closed", grid=looks_grid(sheet.looks)))
    sections.append(Section("every 10 min under way, until the oil stands", grid=_log()))
    sections.append(Section("how it is judged", tuple(_judged(sheet))))
    return Sheet(f"Trial: {sheet.circuit}", _subtitle(sheet), sections)


def at_speed(sheet: Trial, condition: str) -> str:
    """A condition with the speed of each engine: `cruise, main at 1800 rpm`."""
    speeds = sheet.speeds.get(condition, {})
    return ", ".join(
        [condition, *(f"{name} at {units.show(speed, 'rotation', system='metric')}" for name, speed in speeds.items())]
    )


def _log() -> Grid:
    """Blanks for the temperatures of an hour and a half."""
    heads = (("time", 8), ("oil", 11), ("water in", 11), ("water out", 11), ("sea", 11), ("engine room", 12))
    return Grid(heads, [(f"{minutes} min", "", "", "", "", "") for minutes in range(0, 100, 10)])


def _subtitle(sheet: Trial) -> str:
    found = sheet.verdicts
    if not found:
        return f"{sheet.change}; to be filled in"
    failed = sum(verdict != PASS for verdict in found)
    count = f"{len(found)} reading{'' if len(found) == 1 else 's'}"
    return f"{sheet.change}; {count}, " + (f"{failed} not accepted" if failed else "all accepted")


def readings_grid(sheet: Trial, lines: Sequence[Line], system: str) -> Grid:
    """Lines of a sheet as a table: what, predicted, band, read, verdict; last year's where there are any."""
    last_year = any(line.before is not None for line in sheet.lines)
    heads = [("what", 28), ("predicted", 11), ("band", 16), ("read", 11), ("verdict", 9)]
    if last_year:
        heads = [("what", 22), ("predicted", 10), ("band", 15), ("last year", 10), ("read", 10), ("verdict", 8)]
    rows = []
    for line in lines:
        before = [_value(line, line.before, sheet, system) or "none"] if last_year else []
        read = _value(line, None if line.reading is None else line.reading.value, sheet, system)
        predicted = _value(line, line.middle, sheet, system) or "no answer"
        rows.append((_what(line, sheet, system), predicted, _band(line, sheet, system), *before, read, line.verdict))
    return Grid(heads, rows, NOT_ACCEPTED)


def _what(line: Line, sheet: Trial, system: str) -> str:
    """What to read, where, under what it is not usual, what is needed of it, how long a bucket takes."""
    situation = line.probe.situation
    words = [f"{line.probe.kind}: {' to '.join(dict.fromkeys(line.probe.names))}"]
    words += [f"with {situation.change}"] if situation.change not in (sheet.change, AS_FOUND) else []
    words += [AS_FOUND] if situation.change == AS_FOUND != sheet.change else []
    words += [f"{path} {value}" for path, value in situation.settings]
    height = next((each for each in (situation.height, line.probe.height, line.end) if each is not None), None)
    if height is not None and line.probe.kind != "clear hose":
        words.append(f"{'hose end' if line.probe.unit_kind == 'flow' else 'gauge'} at {_height(height, system)}")
    words += [f"needs {_value(line, line.least, sheet, system)}"] if line.least is not None else []
    words += [f"at most {_value(line, line.most, sheet, system)}"] if line.most is not None else []
    if line.probe.unit_kind == "flow" and line.middle > _DRIPS:
        bucket = _BUCKET if _BUCKET / line.middle >= _HURRIED else 2 * _BUCKET
        words.append(f"{1e3 * bucket:g} L in {_seconds(bucket / line.middle)}")
    return ", ".join(words)


_BUCKET, _HURRIED, _DRIPS = 0.010, 10.0, 1e-7
"""m3; s, below which a larger bucket is better; m3/s."""


def _seconds(value: float) -> str:
    return f"{value:.1f} s" if value < 10 else f"{value:.0f} s" if value < 600 else f"{value / 60:.0f} min"


def _height(value: float, system: str) -> str:
    if not value:
        return "the waterline"
    return f"{value:g} m" if system == "metric" else units.show(value, "length", system=system)


def _value(line: Line, value: float | None, sheet: Trial, system: str) -> str:
    """A value of a line as people read it: water in a clear hose by its height."""
    return _shown(_scaled(line, value, sheet), _kind(line), system)


def _scaled(line: Line, value: float | None, sheet: Trial) -> float | None:
    return value / sheet.weight if value is not None and line.probe.kind == "clear hose" else value


def _kind(line: Line) -> str:
    return "length" if line.probe.kind == "clear hose" else line.probe.unit_kind


def _band(line: Line, sheet: Trial, system: str) -> str:
    low, high = (_scaled(line, each, sheet) or 0.0 for each in (line.low, line.high))
    return wording.between(low, high, _kind(line), system=system) if math.isfinite(low) else "no answer"


def looks_grid(looks: Sequence[Look]) -> Grid:
    """What is looked at, as a table."""
    last_year = any(look.before for look in looks)
    heads = [
        ("what", 32),
        ("should be", 13),
        *([("last year", 10)] if last_year else []),
        ("found", 11),
        ("verdict", 9),
    ]
    rows = []
    for look in looks:
        what = f"{look.probe.kind}: {' to '.join(dict.fromkeys(look.probe.names))}"
        before = [look.before or "none"] if last_year else []
        rows.append((what, look.wanted[0], *before, look.found, look.verdict))
    return Grid(heads, rows, NOT_ACCEPTED)


def _shown(value: float | None, kind: str, system: str) -> str:
    return "" if value is None or not math.isfinite(value) else units.show(value, kind, system=system)


def floods(sheet: Trial, system: str) -> Iterator[str]:
    """What comes in where a hose at a sea inlet comes off."""
    for flood in sheet.floods:
        flow = units.show(flood.flow, "flow", system=system, both=True)
        yield f"The hose off at '{flood.inlet}' lets in {flow}; a bilge pump clears about half of what it is rated for."


def _judged(sheet: Trial) -> Iterator[str]:
    warm = any(line.probe.unit_kind == "temperature" for line in sheet.lines)
    kelvin = f"; a temperature within {ALLOWED_KELVIN:g} °C" if warm else ""
    yield (
        f"A reading passes within {100 * ALLOWED:.0f} % of what is predicted{kelvin}, or within its band (nine times "
        "out of ten, as the numbers of the file are off), give or take how well it was read; never below its need, "
        "never above what the part stands."
    )
    yield "Hold every hose end at its own height, and take the speed with an optical tachometer: flows follow it."
    yield (
        "Heights are above the waterline. A gauge is at the height of its place where nothing else is said; vacuum is "
        "how far below the air's pressure it is."
    )
    if any(line.before is not None for line in sheet.lines):
        yield "Last year's readings are beside this year's: a drift that still passes is worth a look."
    if sheet.lost:
        yield f"Of last year's readings {sheet.lost} stand beside nothing: they were of another condition or change."
    if sheet.left:
        left = ", ".join(dict.fromkeys(str(each.probe) for each in sheet.left))
        yield f"Not judged here, as it depends on the start and the load: {left}. netsolve diagnose weighs it."
