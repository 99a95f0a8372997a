"""Values that may be right and are more likely a slip: said as notes, with what was perhaps meant."""

from __future__ import annotations

import math
import re
from collections.abc import Callable, Iterable, Mapping
from dataclasses import dataclass
from functools import cache

from netsolve.contract.declare import Quantity, Reading
from netsolve.quantities.numerals import leading_number
from netsolve.quantities.sizes import HOSE_INCH, NPS
from netsolve.quantities.spellings import KINDS
from netsolve.reading.building import HEIGHTS, in_words
from netsolve.reading.complaints import Complaints
from netsolve.reading.heights import RISING
from netsolve.reading.rows import Sheet
from netsolve.reading.settings import Setting
from netsolve.reading.written import Placement, Written, beside, keys
from netsolve.source import Node, Text

SLOW = 0.02
FAST = 10.0
"""m/s: a need outside this range, through the bore of its part, is doubted; common practice, no source."""

NEEDS = ("min_flow", "max_flow")

_NUMBER = re.compile(r"\s*([-+−]?[0-9.,/½¼¾⅛⅜⅝⅞ -]*[0-9½¼¾⅛⅜⅝⅞])\s*(.*?)\s*$")


_INCHES = frozenset(unit for unit, meant in KINDS["length"].units.items() if meant == KINDS["length"].units["in"])


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
    document, reading = sheet.document, sheet.builder.reading(Placement, sheet.density)
    everything = (*document.engines.values(), *document.joints.values(), *document.parts.values())
    for written in everything:
        doubtful = [
            _doubt(written, key, node, reading=reading, complaints=complaints)
            for key, node in (*written.given.items(), *written.placed.items())
        ]
        if not any(doubtful):
            for key, node in written.placed.items():
                _doubt_need(sheet, written, key, node, complaints=complaints)
        for key, node in written.given.items():
            _doubt_nominal(written, key, node, complaints=complaints)
        _doubt_tail(sheet, written, complaints=complaints)
    for setting in settings:
        target = document.find(setting.target)
        if target is not None and setting.target not in document.oils:  # hydraulic pressures are no water's
            _doubt(target, setting.parameter, setting.node, reading=reading, complaints=complaints)
            _doubt_need(sheet, target, setting.parameter, setting.node, complaints=complaints)
            _doubt_nominal(target, setting.parameter, setting.node, complaints=complaints)


def _doubt(written: Written, key: str, node: Node, *, reading: Reading, complaints: Complaints) -> bool:
    """Note a value that is out of the ordinary; whether it is."""
    if written.model is None:
        return False
    spec = keys(beside(written.model).get(key, written.model)).get(key)
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
    if not isinstance(bore, float) or node.value.strip() in ("none", *spec.words):
        return
    velocity = spec.read(node.value, sheet.builder.reading(Placement)) / (math.pi / 4 * bore * bore)
    if velocity == 0 or SLOW <= velocity <= FAST:
        return
    speed = f"{node.value} through {bore * 1e3:.3g} mm is {velocity:.2g} m/s"
    said = f"{in_words(key)} of {written.name}: {speed}"
    meant = _QUICKER if velocity < SLOW else _SLOWER
    complaints.note("suspicious", said, _perhaps(node.value, meant.get), node.span)


_PIPE_TYPES = ("tube", "seacock", "ball_valve", "gate_valve", "globe_valve", "bend", "reducer")
"""Types that are bought by the nominal size of their pipe; hoses are sold by their bore."""

_TAIL_HOLES = {
    "1/2": "8.5 to 10.5 mm",
    "5/8": "11 to 12.5 mm",
    "3/4": "13.5 to 16 mm",
    "1": "19 to 21 mm",
    "1-1/4": "25 to 27 mm",
    "1-1/2": "31 to 33 mm",
}
"""Holes of hose tails by the size of their hose: estimates of common practice, no source."""


def _doubt_nominal(written: Written, key: str, node: Node, *, complaints: Complaints) -> None:
    """Note a bore that is written as pipe sizes are named: the pipe's bore is another."""
    if written.type not in _PIPE_TYPES or "bore" not in key or not isinstance(node, Text):
        return
    size = _pipe_size(node.value)
    if size is None:
        return
    bore = f"{NPS[size] * 1e3:.1f} mm"
    said = f"{in_words(key)} of {written.name}: '{node.value}' is a nominal size"
    told = f"{said}: a {size} in pipe has a bore of {bore} (NPS {size})"
    complaints.note("nominal-size", told, f"write NPS {size} or the measured bore", node.span)


def _pipe_size(text: str) -> str | None:
    """The pipe size that goes by this text, as 1-1/4 in; a decimal or a `±` is taken as measured."""
    number, unit = leading_number(" ".join(text.split())) if _NUMBER.match(text) else (0.0, "")
    if unit not in _INCHES or "." in text:
        return None
    return next((size for size in NPS if leading_number(size)[0] == number), None)


def _doubt_tail(sheet: Sheet, written: Written, *, complaints: Complaints) -> None:
    """Note a hose tail whose hole is said to be as wide as its hose."""
    part, node = sheet.parts.get(written.name), written.given.get("bore")
    if written.type != "hose_tail" or part is None or node is None:
        return
    hole, hose = (float(getattr(part.component, name)) for name in ("bore", "hose_bore"))
    if not math.isclose(hole, hose, rel_tol=1e-6):
        return
    size = next((size for size in _TAIL_HOLES if math.isclose(HOSE_INCH[size], hose, rel_tol=0.03)), None)
    usual = f": {size} in tails have {_TAIL_HOLES[size]} (estimate)" if size else " by 1.5 to 5 mm (estimate)"
    said = f"bore of {written.name}: a hose tail's hole is smaller than its hose{usual}"
    complaints.note("nominal-size", said, "measure the hole, with a drill's shank or calipers", node.span)


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
