"""A trial at the dock and at sea: what to read, what it should be, and whether what was read will do."""

from __future__ import annotations

import math
from collections.abc import Iterator, Mapping, Sequence
from dataclasses import dataclass, replace
from typing import Any

import numpy as np

from netsolve.arrays.stack import Floats
from netsolve.circuit import Circuit, Row
from netsolve.component import Opening
from netsolve.components.sea_inlet import SeaInlet
from netsolve.study.diagnosis.probe import WIDTHS, Probe, Reading, Situation
from netsolve.study.diagnosis.rows import row_of
from netsolve.study.diagnosis.seen import Seen, seen
from netsolve.study.uncertain import drawn, uncertain, uncertain_heat
from netsolve.water import GRAVITY

ALLOWED = 0.15
"""Of what is predicted: how far off a reading may be, if its band is not wider; common practice, no source."""

INSIDE, SAMPLES, SEED = 0.90, 400, 1
_JET = 0.62

PASS, LOW, HIGH, STARVED, UNREAD = "pass", "too low", "too high", "misses its need", ""

Need = tuple[float | None, float]
"""The least that is needed, and how far off that may be, a half width; SI."""

NO_NEED: Need = (None, 0.0)


@dataclass(frozen=True)
class Line:
    """One thing to read: predicted (SI), nine times out of ten between `low` and `high`; the least that is needed.

    `least_off` is how far off that may be, a half width. `reading` is what was read, if it was, `before` what was read
    a year ago, and `verdict` what comes of it.
    """

    probe: Probe
    low: float
    middle: float
    high: float
    least: float | None = None
    reading: Reading | None = None
    before: float | None = None
    least_off: float = 0.0

    @property
    def verdict(self) -> str:
        """pass, too low, too high, or misses its need; empty where nothing was read."""
        if self.reading is None:
            return UNREAD
        value, off = self.reading.value, WIDTHS * self.reading.deviation
        if self.least is not None and value + math.hypot(off, self.least_off) < self.least:
            return STARVED
        room = ALLOWED * abs(self.middle)
        if value + off < min(self.low, self.middle - room):
            return LOW
        return HIGH if value - off > max(self.high, self.middle + room) else PASS


@dataclass(frozen=True)
class Flood:
    """What comes in where the hose at a sea inlet comes off: m3/s."""

    inlet: str
    flow: float


@dataclass(frozen=True)
class Trial:
    """The lines of a sheet under a change, and what would flood the boat; `weight` is the water's ρ g, Pa/m."""

    circuit: str
    change: str
    lines: tuple[Line, ...]
    floods: tuple[Flood, ...]
    weight: float

    @property
    def read(self) -> tuple[Line, ...]:
        """The lines of which something was read."""
        return tuple(line for line in self.lines if line.reading is not None)


def trial(
    circuit: Circuit,
    *,
    change: str = "as found",
    readings: Sequence[Reading] = (),
    before: Sequence[Reading] = (),
) -> Trial:
    """The sheet for a circuit as it is under a change, with what was read, and what was read a year before."""
    now = {each.probe: each for each in readings if _belongs(each.probe)}
    then = {each.probe: each.value for each in before}
    elsewhere = {_place(probe): probe for probe in (*then, *now)}
    known = [
        line for condition in circuit.conditions for line in _lines(circuit, Situation(condition, change), elsewhere)
    ]
    told = [line.probe for line in known]
    extra = [probe for probe in now if probe not in told]
    known += [line for probe in extra for line in _predicted(circuit, probe.situation, [(probe, NO_NEED)])]
    lines = tuple(replace(each, reading=now.get(each.probe), before=then.get(each.probe)) for each in known)
    row = next(each for each in circuit.rows if each.change == change)
    return Trial(circuit.name, change, lines, tuple(_floods(row)), float(row.water.density) * GRAVITY)


def _belongs(probe: Probe) -> bool:
    """Whether a reading is a number that the circuit predicts."""
    return probe.kind not in ("blow", "contents", "alarm")


def _place(probe: Probe) -> Probe:
    """The probe whatever height its gauge has."""
    return replace(probe, height=None)


def _lines(circuit: Circuit, situation: Situation, elsewhere: Mapping[Probe, Probe]) -> list[Line]:
    """What is read in one condition: buckets, vacuum at pumps, pressure at joints; the gauge where it was, if known."""
    row = circuit.row(situation.condition, situation.change, {})
    probes = [(elsewhere.get(probe, probe), least) for probe, least in _probes(row, situation)]
    return _predicted(circuit, situation, probes)


def _probes(row: Row, situation: Situation) -> Iterator[tuple[Probe, Need]]:
    """Each thing to read, with the least that is needed of it, and how far off that may be."""
    for run in row.runs.values():
        target = row.places[run.target.joint].joint
        if not run.blanked and isinstance(target, Opening) and bool(target.one_way()):
            parts = [row.parts[name] for name in run.parts if row.parts[name].fitted]
            needs = [(part.min_flow, part.spreads.get("min_flow", 0.0)) for part in parts if part.min_flow]
            yield Probe("bucket", (run.name,), situation), max(needs, default=NO_NEED)
    for part in row.parts.values():
        if "pump" in part.component.roles and part.fitted and not row.runs[part.run].blanked:
            yield Probe("vacuum", (f"{part.name}.in",), situation), NO_NEED
    for name in row.oils:
        yield Probe("temperature", (name,), situation), NO_NEED
    for part in row.parts.values():
        if part.fitted and part.cooling is not None and not row.runs[part.run].blanked:
            yield Probe("temperature", (f"{part.name}.out",), situation), NO_NEED
    for name, place in row.places.items():
        if place.joint.paths:
            yield Probe("pressure", (f"{name}.{place.joint.ports[0]}",), situation), NO_NEED
        elif not isinstance(place.joint, Opening):
            yield Probe("pressure", (name,), situation), NO_NEED


def _predicted(circuit: Circuit, situation: Situation, probes: Sequence[tuple[Probe, Need]]) -> list[Line]:
    row = row_of(circuit, situation)
    heat = uncertain_heat(row) if any(probe.is_warm for probe, _ in probes) else ()
    columns = drawn((*uncertain(row), *heat), SAMPLES, SEED)
    part = next(iter(row.parts.values()))
    sight = seen(row, columns or {(part.name, "nothing"): np.zeros(1)})
    return [Line(probe, *_band(sight, probe), least, least_off=off) for probe, (least, off) in probes]


def _band(sight: Seen, probe: Probe) -> tuple[float, float, float]:
    shown: Floats = sight.read(probe)
    shown = shown[np.isfinite(shown)]
    if not len(shown):
        return np.nan, np.nan, np.nan
    low, middle, high = np.quantile(shown, [(1 - INSIDE) / 2, 0.5, (1 + INSIDE) / 2])
    return float(low), float(middle), float(high)


def _floods(row: Row) -> Iterator[Flood]:
    """What each inlet below the waterline would let in, as a sharp hole of its bore: 0.62 A sqrt(2 g depth)."""
    for name, place in row.places.items():
        bore = getattr(place.joint, "bore", None)
        if isinstance(place.joint, SeaInlet) and bore and place.joint.height is not None:
            depth = max(-place.joint.height, 0.0)
            yield Flood(name, float(_JET * np.pi / 4 * bore**2 * np.sqrt(2 * GRAVITY * depth)))


def baseline(sheet: Trial) -> str:
    """The accepted readings as a file of readings, to be compared with next year's."""
    kept = [line for line in sheet.read if line.verdict == PASS]
    head = "# Readings that were accepted in a trial; compare next year's with them: trial FILE --last-year THIS.\n"
    return head + "readings:\n" + "".join(f"  - {{{_written(line, sheet.weight)}}}\n" for line in kept)


KELVIN = 273.15
"""K: the temperature of 0 degC."""


def _written(line: Line, weight: float) -> str:
    assert line.reading is not None  # only what was read is kept
    probe, reading = line.probe, line.reading
    names = [_quoted(name) for name in probe.names]
    about = names[0] if len(names) == 1 else f"[{', '.join(names)}]"
    situation = probe.situation
    pieces = [f"{probe.kind}: {about}", f"condition: {_quoted(situation.condition)}"]
    pieces += [f"change: {_quoted(situation.change)}"] if situation.change != "as found" else []
    if situation.settings:
        inside = ", ".join(f"{_quoted(path)}: {_quoted(value)}" for path, value in situation.settings)
        pieces.append(f"settings: {{{inside}}}")
    pieces += _values(line, WIDTHS * reading.deviation, weight)
    height = situation.height if situation.height is not None else probe.height
    if height is not None and probe.kind != "clear hose":
        pieces.append(f"height: {height:g} m")
    return ", ".join(pieces)


def _values(line: Line, width: float, weight: float) -> list[str]:
    assert line.reading is not None  # only what was read is kept
    value = line.reading.value
    if line.probe.unit_kind == "flow":
        if value <= 0:
            return ["found: nothing"]
        return ["volume: 10 L", f"took: {0.010 / value:.2f} s", f"accuracy: {100 * width / value:.1f} %"]
    if line.probe.kind == "clear hose":
        return [f"level: {value / weight:.4f} m", f"accuracy: {width / weight:.4f} m"]
    if line.probe.kind == "temperature":
        return [f"value: {value - KELVIN:.2f} degC", f"accuracy: {width:.2f} K"]
    return [f"value: {value:.0f} Pa", f"accuracy: {width:.0f} Pa"]


def _quoted(text: str) -> str:
    return '"' + text.replace("\\", "\\\\").replace('"', '\\"') + '"'


def trial_to_dict(sheet: Trial) -> dict[str, Any]:
    """A sheet as plain data in SI; never NaN."""
    return {
        "format": 1,
        "circuit": sheet.circuit,
        "change": sheet.change,
        "lines": [_line_to_dict(line) for line in sheet.lines],
        "floods": {flood.inlet: flood.flow for flood in sheet.floods},
    }


def _line_to_dict(line: Line) -> dict[str, Any]:
    values = {"low": line.low, "predicted": line.middle, "high": line.high, "least": line.least, "before": line.before}
    plain = {name: value if value is not None and np.isfinite(value) else None for name, value in values.items()}
    return {
        "test": str(line.probe),
        "condition": line.probe.situation.condition,
        "kind": line.probe.unit_kind,
        **plain,
        "read": None if line.reading is None else line.reading.value,
        "verdict": line.verdict or None,
    }
