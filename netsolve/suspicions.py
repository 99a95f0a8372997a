"""Values that may be right and are more likely a slip: said as notes, with what was perhaps meant."""

from __future__ import annotations

import math
import re
from collections.abc import Callable, Iterator, Mapping
from dataclasses import dataclass

from netsolve.building import in_words
from netsolve.circuit import Part
from netsolve.complaints import Complaints
from netsolve.declare import Declared, Quantity, declared
from netsolve.heights import RISING
from netsolve.rows import Sheet
from netsolve.source import Node, Text
from netsolve.written import Written

SLOW = 0.02
FAST = 10.0
"""m/s: a need outside this range, through the bore of its part, is doubted; common practice, no source."""

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


def suspect(sheet: Sheet, complaints: Complaints) -> None:
    """Note every doubtful value as written."""
    document = sheet.document
    for name, part in sheet.parts.items():
        written = document.parts[name]
        _doubt(written, part.component, written.given, complaints)
        if written.placed:
            _doubt_need(written, part, complaints)
            if part.height is not None:
                _note(
                    written,
                    "height",
                    _HIGH,
                    part.height,
                    node=written.placed.get("height"),
                    complaints=complaints,
                )
    for name, place in sheet.places.items():
        _doubt(document.joints[name], place.joint, document.joints[name].given, complaints)
    for name, engine in sheet.engines.items():
        _doubt(document.engines[name], engine, document.engines[name].given, complaints)


def _doubt(written: Written, record: Declared, given: Mapping[str, Node], complaints: Complaints) -> None:
    for parameter, node in given.items():
        spec = declared(type(record)).get(parameter)
        value = getattr(record, parameter, None)
        if not isinstance(spec, Quantity) or not isinstance(value, float):
            continue
        for doubt in _doubts(written.type, parameter, spec.kind):
            if doubt.covers(value):
                _note(written, parameter, doubt, value, node=node, complaints=complaints)


def _doubts(type: str, parameter: str, kind: str) -> Iterator[Doubt]:
    if kind == "length" and "bore" in parameter:
        yield from (_BORE_SMALL, _BORE_LARGE)
    elif kind == "length" and parameter == "length" and type in RISING:
        yield from (_SHORT, _LONG)
    elif kind == "length" and parameter in ("height", "level"):
        yield _HIGH
    elif kind == "rotation":
        yield _SPEED
    elif kind in ("pressure", "head"):
        yield _PRESSURE


def _note(
    written: Written, parameter: str, doubt: Doubt, value: float, *, node: Node | None, complaints: Complaints
) -> None:
    if not isinstance(node, Text) or not doubt.covers(value):
        return
    said = f"{in_words(parameter)} of {written.name}: {node.value} is out of the ordinary"
    complaints.note("suspicious", said, _perhaps(node.value, doubt.meant.get), node.span)


def _doubt_need(written: Written, part: Part, complaints: Complaints) -> None:
    """A need that would crawl or race through the part's own bore."""
    bore = getattr(part.component, part.component.velocity_bore, None)
    if not isinstance(bore, float):
        return
    for parameter, need in (("min_flow", part.min_flow), ("max_flow", part.max_flow)):
        node = written.placed.get(parameter)
        if not need or not isinstance(node, Text):
            continue
        velocity = need / (math.pi / 4 * bore * bore)
        if SLOW <= velocity <= FAST:
            continue
        speed = f"{node.value} through {bore * 1e3:.3g} mm is {velocity:.2g} m/s"
        said = f"{in_words(parameter)} of {written.name}: {speed}"
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
