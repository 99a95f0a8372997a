"""The values in use that nobody wrote, with where they come from."""

from __future__ import annotations

import re
from collections.abc import Iterable, Iterator
from functools import cache

from netsolve.circuit import Assumed
from netsolve.contract.declare import Declared, Quantity, declared
from netsolve.reading.bores import wants_bore
from netsolve.reading.heights import written_height
from netsolve.reading.rows import Sheet
from netsolve.units import KINDS

_SYMBOLS = {
    "meter": "m",
    "second": "s",
    "pascal": "Pa",
    "kilogram": "kg",
    "gram": "g",
    "watt": "W",
    "kelvin": "K",
    "joule": "J",
    "revolution": "rev",
    "radian": "rad",
    "dimensionless": "",
}


@cache
def si_symbol(kind: str) -> str:
    """The SI unit of a kind of quantity, as `m3/s`."""
    spelled = re.sub(r"[a-z]+", lambda word: _SYMBOLS.get(word[0], word[0]), KINDS[kind].si)
    return spelled.replace("**", "").replace("*", " ")


def assumed(sheet: Sheet, *, gallon_written: bool, water_written: bool) -> Iterator[Assumed]:
    """Everything assumed in the file as written."""
    if sheet.builder.used_gallon and not gallon_written:
        yield Assumed("circuit", "gallon", "us", "", "the file does not say which gallon it means")
    if not water_written:
        yield Assumed("water", "kind", "sea", "", "the file does not say what water it is")
    liquid = sheet.liquid
    if liquid is not None:
        yield from assumed_of("water", liquid)
    for charge in sheet.oils.values():
        yield from assumed_of(charge.name, charge.oil)
    for part in sheet.parts.values():
        yield from assumed_of(part.name, part.component)
        if part.cooling is not None and part.cooling.passes_heat:
            yield from assumed_of(part.name, part.cooling)
    for place in sheet.places.values():
        yield from assumed_of(place.name, place.joint)
        if place.height is not None and written_height(place) is None:
            yield Assumed(place.name, "height", place.height, "m", "the mean of its neighbours' heights", "length")
    yield from _bores(sheet)


def _bores(sheet: Sheet) -> Iterable[Assumed]:
    for name, (bore, part) in sheet.bores.items():
        written = sheet.document.joints[name]
        if name in sheet.places and wants_bore(type(sheet.places[name].joint), written.given):
            yield Assumed(name, "bore", bore, "m", f"the bore of '{part}', at the end of its run", "length")


def assumed_of(name: str, record: Declared) -> Iterator[Assumed]:
    """The assumed values of one record, under a name."""
    specs = declared(type(record))
    for parameter, spec in specs.items():
        if not spec.assumed or spec.hidden or parameter in record.model_fields_set:
            continue
        if isinstance(spec, Quantity) and spec.unless in record.model_fields_set:
            continue
        if any(
            getattr(specs[other], "written_as", "") == parameter for other in record.model_fields_set if other in specs
        ):
            continue  # written all the same, in another dimension
        value = getattr(record, parameter)
        kind = spec.kind if isinstance(spec, Quantity) and value is not None else ""
        unit = si_symbol(kind) if kind else ""
        yield Assumed(name, parameter, value if value is not None else "estimated", unit, spec.assumed, kind)
