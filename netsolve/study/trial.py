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
from netsolve.study.looks import PASS, Look, is_look, looks
from netsolve.study.uncertain import drawn, uncertain, uncertain_heat
from netsolve.water import GRAVITY

ALLOWED = 0.15
"""Of what is predicted: how far off a reading may be, if its band is not wider; common practice, no source."""

ALLOWED_KELVIN = 5.0
"""K: how far off a temperature may be; common practice, no source."""

INSIDE, SAMPLES, SEED = 0.90, 400, 1
_JET = 0.62

LOW, HIGH, STARVED, OVERFED, UNREAD = "too low", "too high", "misses its need", "more than it stands", ""
UNKNOWN = "no answer"


@dataclass(frozen=True)
class Line:
    """One thing to read: predicted (SI), nine times out of ten between `low` and `high`; the least and most wanted.

    `least_off` is how far off the least may be, a half width. `reading` is what was read, if it was, `before` what was
    read a year ago, and `verdict` what comes of it. `end` is the height of the hose end that a bucket is held under, m.
    """

    probe: Probe
    low: float
    middle: float
    high: float
    least: float | None = None
    most: float | None = None
    reading: Reading | None = None
    before: float | None = None
    end: float | None = None
    least_off: float = 0.0

    @property
    def verdict(self) -> str:
        """pass, too low, too high, misses its need, more than it stands, no answer; empty where nothing was read."""
        if self.reading is None:
            return UNREAD
        value, off = self.reading.value, WIDTHS * self.reading.deviation
        if self.least is not None and value + math.hypot(off, self.least_off) < self.least:
            return STARVED
        if self.most is not None and value - off > self.most:
            return OVERFED
        if not np.isfinite(self.middle):
            return UNKNOWN
        room = ALLOWED_KELVIN if self.probe.unit_kind == "temperature" else ALLOWED * abs(self.middle)
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
    """The lines of a sheet under a change, what is looked at, and what would flood the boat.

    `weight` is the water's rho g (Pa/m), `speeds` each engine's by condition (rev/s). `left` are readings that are not
    judged here, `lost` counts those of last year that stand beside nothing.
    """

    circuit: str
    change: str
    lines: tuple[Line, ...]
    looks: tuple[Look, ...]
    floods: tuple[Flood, ...]
    weight: float
    speeds: Mapping[str, Mapping[str, float]]
    left: tuple[Reading, ...] = ()
    lost: int = 0

    @property
    def read(self) -> tuple[Line, ...]:
        """The lines of which something was read."""
        return tuple(line for line in self.lines if line.reading is not None)

    @property
    def verdicts(self) -> list[str]:
        """What came of everything that was read or looked at."""
        found = [line.verdict for line in self.lines] + [look.verdict for look in self.looks]
        return [verdict for verdict in found if verdict]


def trial(
    circuit: Circuit,
    *,
    change: str = "as found",
    readings: Sequence[Reading] = (),
    before: Sequence[Reading] = (),
) -> Trial:
    """The sheet for a circuit as it is under a change, with what was read, and what was read a year before."""
    now = {each.probe: each for each in readings if _belongs(each.probe)}
    then = {each.probe: each.value for each in before if _belongs(each.probe)}
    elsewhere = {_place(probe): probe for probe in (*then, *now)}
    known = [
        line for condition in circuit.conditions for line in _lines(circuit, Situation(condition, change), elsewhere)
    ]
    told = [line.probe for line in known]
    extra = [probe for probe in now if probe not in told]
    known += [line for probe in extra for line in _predicted(circuit, probe.situation, [_wanted_of(circuit, probe)])]
    lines = tuple(replace(each, reading=now.get(each.probe), before=then.get(each.probe)) for each in known)
    row = next(each for each in circuit.rows if each.change == change)
    seen_at = tuple(looks(circuit, row, Situation(circuit.conditions[0], change), readings, before))
    return Trial(
        circuit=circuit.name,
        change=change,
        lines=lines,
        looks=seen_at,
        floods=tuple(_floods(row)),
        weight=float(row.water.density) * GRAVITY,
        speeds={
            each.condition: {name: engine.speed for name, engine in each.engines.items()}
            for each in circuit.rows
            if each.change == change
        },
        left=tuple(each for each in readings if not _belongs(each.probe) and not is_look(each.probe)),
        lost=sum(probe not in {line.probe for line in lines} for probe in then),
    )


def _belongs(probe: Probe) -> bool:
    """Whether a reading is a number that is judged here; an alarm's time depends too much on the start."""
    return not is_look(probe) and probe.kind != "alarm"


def _place(probe: Probe) -> Probe:
    """The probe whatever height its gauge has."""
    return replace(probe, height=None)


@dataclass(frozen=True)
class _Wanted:
    """A thing to read, the least (and how far off it may be) and the most that is wanted, and its hose end's height."""

    probe: Probe
    least: float | None = None
    least_off: float = 0.0
    most: float | None = None
    end: float | None = None


def _lines(circuit: Circuit, situation: Situation, elsewhere: Mapping[Probe, Probe]) -> list[Line]:
    """What is read in one condition: buckets, vacuum at pumps, pressure at joints; the gauge where it was, if known."""
    row = circuit.row(situation.condition, situation.change, {})
    wanted = [replace(each, probe=elsewhere.get(each.probe, each.probe)) for each in _wanted(row, situation)]
    return _predicted(circuit, situation, wanted)


def _wanted(row: Row, situation: Situation) -> Iterator[_Wanted]:
    """Each thing to read."""
    for run in row.runs.values():
        target = row.places[run.target.joint]
        if not run.blanked and isinstance(target.joint, Opening) and bool(target.joint.one_way()):
            parts = [row.parts[name] for name in run.parts if row.parts[name].fitted]
            needs = [(part.min_flow, part.spreads.get("min_flow", 0.0)) for part in parts if part.min_flow]
            least, off = max(needs, default=(None, 0.0))
            most = min((part.max_flow for part in parts if part.max_flow), default=None)
            yield _Wanted(Probe("bucket", (run.name,), situation), least, off, most, target.height)
    for part in row.parts.values():
        if "pump" in part.component.roles and part.fitted and not row.runs[part.run].blanked:
            yield _Wanted(Probe("vacuum", (f"{part.name}.in",), situation))
    for name in row.oils:
        yield _Wanted(Probe("temperature", (name,), situation))
    for part in row.parts.values():
        if part.fitted and part.cooling is not None and not row.runs[part.run].blanked:
            yield _Wanted(Probe("temperature", (f"{part.name}.out",), situation))
    for name, place in row.places.items():
        if place.joint.paths:
            yield _Wanted(Probe("pressure", (f"{name}.{place.joint.ports[0]}",), situation))
        elif not isinstance(place.joint, Opening):
            yield _Wanted(Probe("pressure", (name,), situation))


def _wanted_of(circuit: Circuit, probe: Probe) -> _Wanted:
    """What is wanted of a thing that was read under another change or setting; nothing where a hose end was moved."""
    usual = replace(probe.situation, settings=())
    row = circuit.row(usual.condition, usual.change, dict(probe.situation.settings))
    asked = {each.probe: each for each in _wanted(row, usual)}
    return replace(asked.get(replace(probe, situation=usual), _Wanted(probe)), probe=probe)


def _predicted(circuit: Circuit, situation: Situation, wanted: Sequence[_Wanted]) -> list[Line]:
    row = row_of(circuit, situation)
    heat = uncertain_heat(row) if any(each.probe.is_warm for each in wanted) else ()
    columns = drawn((*uncertain(row), *heat), SAMPLES, SEED)
    part = next(iter(row.parts.values()))
    sight = seen(row, columns or {(part.name, "nothing"): np.zeros(1)})
    return [
        Line(
            each.probe,
            *_band(sight, each.probe),
            each.least,
            each.most,
            end=each.end,
            least_off=each.least_off,
        )
        for each in wanted
    ]


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


def trial_to_dict(sheet: Trial) -> dict[str, Any]:
    """A sheet as plain data in SI; never NaN."""
    return {
        "format": 1,
        "circuit": sheet.circuit,
        "change": sheet.change,
        "lines": [_line_to_dict(line) for line in sheet.lines],
        "looks": [
            {
                "test": str(look.probe),
                "wanted": look.wanted[0],
                "found": look.found or None,
                "before": look.before or None,
                "verdict": look.verdict or None,
            }
            for look in sheet.looks
        ],
        "floods": {flood.inlet: flood.flow for flood in sheet.floods},
    }


def _line_to_dict(line: Line) -> dict[str, Any]:
    values = {
        "low": line.low,
        "predicted": line.middle,
        "high": line.high,
        "least": line.least,
        "most": line.most,
        "before": line.before,
    }
    plain = {name: value if value is not None and np.isfinite(value) else None for name, value in values.items()}
    return {
        "test": str(line.probe),
        "condition": line.probe.situation.condition,
        "kind": line.probe.unit_kind,
        **plain,
        "read": None if line.reading is None else line.reading.value,
        "verdict": line.verdict or None,
    }
