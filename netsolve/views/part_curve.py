"""What one part takes at a few flows: as a table in both systems of units, as data, and as a plot in characters."""

from __future__ import annotations

import math
import re
from collections.abc import Iterator, Sequence
from textwrap import fill
from typing import Any

from netsolve import units
from netsolve.problems import printable
from netsolve.reading.assumed import assumed_of
from netsolve.study.one_part import Point, Tried
from netsolve.views.provenance import value_text

_COLUMNS = (
    ("flow", ("L/min", "gpm")),
    ("pressure", ("kPa", "psi")),
    ("velocity", ("m/s", "ft/s")),
)
_HEADS = {"flow": "flow", "pressure": "drop", "velocity": "speed"}
_CELL = 9


def as_text(found: Tried) -> str:
    """What the part is, what is assumed of it, and its table."""
    said = ", ".join(re.sub(r"\s*=\s*", " ", setting, count=1).strip() for setting in found.settings)
    assumed = [f"  {why}" for why in _assumed(found)]
    water = units.show(found.liquid.temperature, "temperature")
    lines = [printable(f"{found.type}: {said}" if said else found.type), f"in sea water of {water}"]
    lines += ["assumed, because --set does not say", *assumed] if assumed else []
    lines += ["it is closed by its own settings: what it lets through is a leak"] if found.part.closed() else []
    wrapped = [fill(line, 80, subsequent_indent="    ", break_on_hyphens=False) for line in lines]
    return "\n".join([*wrapped, "", table(found.points)])


def _assumed(found: Tried) -> Iterator[str]:
    """Each value in use that nobody wrote, with where it comes from."""
    for each in assumed_of(found.type, found.part):
        value = value_text(each, "metric")
        why = each.source.removeprefix(f"{value}, ")
        yield f"{each.parameter.replace('_', ' ')}{value and f' {value}'}: {why}"


def as_dict(found: Tried) -> dict[str, Any]:
    """The same in SI, for JSON."""
    assumed = [
        {"parameter": each.parameter, "value": each.value, "unit": each.unit, "source": each.source}
        for each in assumed_of(found.type, found.part)
    ]
    water = {"kind": "sea", "temperature_k": found.liquid.temperature, "salinity_g_kg": found.liquid.salinity}
    return {
        "format": 1,
        "component": found.type,
        "settings": list(found.settings),
        "assumed": assumed,
        "water": water,
        "points": rows(found.points),
    }


def table(points: Sequence[Point]) -> str:
    """A line for each flow; the speed where a bore is known."""
    columns = [each for each in _COLUMNS if each[0] != "velocity" or points[0].velocity is not None]
    heads = "".join(f"{_HEADS[kind]:>{_CELL}}{'':>{_CELL}}" for kind, _ in columns)
    names = "".join(f"{unit:>{_CELL}}" for _, both in columns for unit in both)
    lines = [heads.rstrip(), names]
    for point in points:
        values = {"flow": point.flow, "pressure": point.drop, "velocity": point.velocity or 0.0}
        lines.append("".join(f"{_cell(values[kind], kind, unit):>{_CELL}}" for kind, both in columns for unit in both))
    if any(point.flow >= 0 > point.drop for point in points):
        lines += ["", "A drop below zero is a pressure that the part gives."]
    return "\n".join(lines)


def _cell(value: float, kind: str, unit: str) -> str:
    if not math.isfinite(value):
        return "?"
    return digits(units.convert(value, kind, unit))


def digits(number: float) -> str:
    """Three significant digits, and no more than three decimals."""
    number = round(number, 3) + 0.0  # no -0
    return f"{number:.0f}" if 1000 <= abs(number) < 1e7 else f"{number:.3g}"


def rows(points: Sequence[Point]) -> list[dict[str, Any]]:
    """The points in SI, for JSON."""
    return [
        {
            "flow_m3_s": point.flow,
            "pressure_drop_pa": point.drop if math.isfinite(point.drop) else None,
            "velocity_m_s": point.velocity,
        }
        for point in points
    ]


def plot(points: Sequence[Point], *, gives: bool = False, height: int = 8) -> str:
    """Drop over flow, a column of characters for each point; with `gives` the pressure that a pump gives instead.

    Empty where the drops are not all finite, or all the same.
    """
    kilopascals = [(-1 if gives else 1) * units.convert(point.drop, "pressure", "kPa") for point in points]
    low, high = min(0.0, *kilopascals), max(0.0, *kilopascals)
    if not math.isfinite(high - low) or high == low:
        return ""
    levels = [round((value - low) / (high - low) * (height - 1)) for value in kilopascals]
    margin = {height - 1: digits(high), 0: digits(low if -low > 1e-3 * high else 0.0)}
    lines = [f"{'kPa':>10}{'  the pressure it gives' if gives else ''}"]
    for level in range(height - 1, -1, -1):
        marks = "".join("*" if each == level else " " for each in levels)
        lines.append(f"{margin.get(level, ''):>10} |{marks}".rstrip())
    lines.append(f"{'':>10} +{'-' * len(points)}")
    ends = [digits(units.convert(point.flow, "flow", "L/min")) for point in (points[0], points[-1])]
    lines.append(f"{'':>12}{ends[0]}{f'{ends[1]} L/min':>{len(points) - len(ends[0])}}")
    return "\n".join(lines)
