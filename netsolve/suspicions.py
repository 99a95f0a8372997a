"""Values that may be right and are more likely a slip: said as notes, with what was perhaps meant."""

from __future__ import annotations

import math
import re
from collections.abc import Callable, Iterable, Mapping
from dataclasses import dataclass
from functools import cache

from netsolve.building import HEIGHTS, in_words
from netsolve.complaints import Complaints
from netsolve.declare import Quantity, Reading
from netsolve.heights import RISING
from netsolve.rows import Sheet
from netsolve.settings import Setting
from netsolve.source import Node, Text
from netsolve.written import Placement, Written, keys

SLOW = 0.02
FAST = 10.0
"""m/s: a need outside this range, through the bore of its part, is doubted; common practice, no source."""

NEEDS = ("min_flow", "max_flow")

_NUMBER = re.compile(r"\s*([-+−]?[0-9.,/½¼¾⅛⅜⅝⅞ -]*[0-9½¼¾⅛⅜⅝⅞])\s*(.*?)\s*$")


@dataclass(frozen=True)
class Doubt:
    """Values (SI) under `below` or over `above` are doubted; `meant` is the likelier unit for one written."""

    meant: Mapping[str, str]
    below: float = -math.inf
    above: float = math.inf

    def covers(self, value: float) -> bool:
        return not self.below <= value <= self.above


_SMALLER = {"m": "mm", "ft": "in", "cm": "mm", '"': "mm", "in": "mm"}
_LARGER = {"mm": "m", "in": "ft", "cm": "m"}
_BORE_SMALL = Doubt({"mm": "in", "um": "mm"}, below=0.001)
_BORE_LARGE = Doubt(_SMALLER, above=0.5)
_SHORT = Doubt(_LARGER, below=0.01)
_LONG = Doubt({"m": "mm", "ft": "in"}, above=500.0)
_HIGH = Doubt(_SMALLER, below=-30.0, above=30.0)
_SPEED = Doubt({"rev/s": "rpm", "Hz": "rpm", "rps": "rpm"}, above=100.0)
_PRESSURE = Doubt({"bar": "kPa", "MPa": "kPa"}, above=2e6)


def suspect(sheet: Sheet, settings: Iterable[Setting], complaints: Complaints) -> None:
    """Note every doubtful value, as written and as set by conditions and changes."""
    document, reading = sheet.document, sheet.builder.reading(sheet.density)
    everything = (*document.engines.values(), *document.joints.values(), *document.parts.values())
    for written in everything:
        doubtful = [
            _doubt(written, key, node, reading=reading, complaints=complaints)
            for key, node in (*written.given.items(), *written.placed.items())
        ]
        if not any(doubtful):
            for key, node in written.placed.items():
                _doubt_need(sheet, written, key, node, complaints=complaints)
    for setting in settings:
        target = document.find(setting.target)
        if target is not None:
            _doubt(target, setting.parameter, setting.node, reading=reading, complaints=complaints)
            _doubt_need(sheet, target, setting.parameter, setting.node, complaints=complaints)


def _doubt(written: Written, key: str, node: Node, *, reading: Reading, complaints: Complaints) -> bool:
    """Note a value that is out of the ordinary; whether it is."""
    if written.model is None:
        return False
    spec = keys(written.model).get(key) or keys(Placement).get(key)
    if not isinstance(spec, Quantity) or not isinstance(node, Text):
        return False
    doubts = _doubts(written.type, key, spec.kind)
    if not doubts or node.value.strip() == "none":
        return False
    value = spec.read(node.value, reading)
    doubt = next((doubt for doubt in doubts if doubt.covers(value)), None)
    if doubt is not None:
        said = f"{in_words(key)} of {written.name}: {node.value} is out of the ordinary"
        complaints.note("suspicious", said, _perhaps(node.value, doubt.meant.get), node.span)
    return doubt is not None


@cache
def _doubts(type: str, key: str, kind: str) -> tuple[Doubt, ...]:
    """What is doubtful in a parameter of a type."""
    if kind == "length" and "bore" in key:
        return (_BORE_SMALL, _BORE_LARGE)
    if kind == "length" and key == "length" and type in RISING:
        return (_SHORT, _LONG)
    if kind == "length" and key in HEIGHTS:
        return (_HIGH,)
    return {"rotation": (_SPEED,), "pressure": (_PRESSURE,), "head": (_PRESSURE,)}.get(kind, ())


def _doubt_need(sheet: Sheet, written: Written, key: str, node: Node, *, complaints: Complaints) -> None:
    """Note a need that would crawl or race through the part's own bore."""
    part, spec = sheet.parts.get(written.name), keys(Placement).get(key)
    if key not in NEEDS or part is None or not isinstance(spec, Quantity) or not isinstance(node, Text):
        return
    bore = getattr(part.component, part.component.velocity_bore, None)
    if not isinstance(bore, float) or node.value.strip() == "none":
        return
    velocity = spec.read(node.value, sheet.builder.reading()) / (math.pi / 4 * bore * bore)
    if velocity == 0 or SLOW <= velocity <= FAST:
        return
    speed = f"{node.value} through {bore * 1e3:.3g} mm is {velocity:.2g} m/s"
    said = f"{in_words(key)} of {written.name}: {speed}"
    meant = _QUICKER if velocity < SLOW else _SLOWER
    complaints.note("suspicious", said, _perhaps(node.value, meant.get), node.span)


_QUICKER = {"gph": "gpm", "L/h": "L/min", "l/h": "L/min", "lph": "L/min", "mL/min": "L/min", "gal/h": "gpm"}
_SLOWER = {
    "gpm": "gph",
    "L/min": "L/h",
    "l/min": "L/h",
    "lpm": "L/h",
    "L/s": "L/min",
    "l/s": "L/min",
    "m3/h": "L/h",
}


def _perhaps(text: str, meant: Callable[[str], str | None]) -> str:
    """The same number in the unit that was perhaps meant."""
    found = _NUMBER.match(text)
    unit = meant(found[2]) if found else None
    return f"did you mean {found[1]} {unit}?" if found and unit else "check the unit"
