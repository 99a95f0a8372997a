"""The accepted readings of a trial as a file, to be compared with next year's."""

from __future__ import annotations

from netsolve.study.diagnosis.probe import WIDTHS, Probe
from netsolve.study.looks import PASS, Look
from netsolve.study.trial import Line, Trial


def baseline(sheet: Trial) -> str:
    """The accepted readings as a file of readings, to be compared with next year's."""
    kept = [_written(line, sheet.weight) for line in sheet.read if line.verdict == PASS]
    kept += [_looked(each) for each in sheet.looks if each.verdict == PASS]
    head = "# Readings that were accepted in a trial; compare next year's with them: trial FILE --last-year THIS.\n"
    return head + "readings:\n" + "".join(f"  - {{{each}}}\n" for each in kept)


KELVIN = 273.15
"""K: the temperature of 0 degC."""


def _written(line: Line, weight: float) -> str:
    assert line.reading is not None  # only what was read is kept
    probe, reading = line.probe, line.reading
    pieces = [*_situated(probe), *_values(line, WIDTHS * reading.deviation, weight)]
    height = probe.situation.height if probe.situation.height is not None else probe.height
    if height is not None and probe.kind != "clear hose":
        pieces.append(f"height: {height:g} m")
    return ", ".join(pieces)


def _looked(look: Look) -> str:
    return ", ".join([*_situated(look.probe), f"found: {look.found}"])


def _situated(probe: Probe) -> list[str]:
    """What a reading is of, and when."""
    names = [_quoted(name) for name in probe.names]
    situation = probe.situation
    about = names[0] if len(names) == 1 else f"[{', '.join(names)}]"
    pieces = [f"{probe.kind}: {about}", f"condition: {_quoted(situation.condition)}"]
    pieces += [f"change: {_quoted(situation.change)}"] if situation.change != "as found" else []
    if situation.settings:
        inside = ", ".join(f"{_quoted(path)}: {_quoted(value)}" for path, value in situation.settings)
        pieces.append(f"settings: {{{inside}}}")
    return pieces


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
