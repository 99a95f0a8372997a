"""A type without Python: a CSV file of measured points, below lines that say what it is and where it is from.

    # about: Keel cooler of two 19 mm tubes, 1.2 m long
    # source: own readings, gauges at both ends, May 2024
    # bore: 19 mm
    flow L/min, drop kPa
    10, 1.2
    20, 4.4

`type` says which component the points are of; without it a drop makes a measured_loss and a head a centrifugal_pump.
Every other line gives a parameter of that component its usual value.
"""

from __future__ import annotations

import re
import sys
from collections.abc import Callable, Iterator, Mapping
from dataclasses import dataclass
from pathlib import Path
from types import ModuleType
from typing import Any

from pydantic_core import PydanticCustomError

from netsolve import units
from netsolve.component import Component
from netsolve.contract.declare import Declared, Quantity, Reading, Table, declared, with_values
from netsolve.discovery.entries import module_name
from netsolve.discovery.promises import ROLES, near
from netsolve.text import csv_table
from netsolve.text.csv_table import CsvError

_LINE = re.compile(r"#\s*(\w+)\s*:\s*(.+?)\s*$")
_OURS = ("about", "source", "type", "roles", "gallon", "note", "version")
FRESH = 1000.0
"""kg/m3: by this the heads of a table are read where it is only looked at."""

_USUAL = {"drop": "measured_loss", "head": "centrifugal_pump"}


@dataclass(frozen=True)
class Heading:
    """What the lines above a table say: each key with its texts, in order."""

    lines: Mapping[str, tuple[str, ...]]

    def one(self, key: str, usual: str = "") -> str:
        """The last text of a key."""
        return self.lines.get(key, (usual,))[-1]


def type_of(file: Path, name: str, component: Callable[[str], type[Any]]) -> type[Component]:
    """The class that a file describes; `component` gives that of a type. ValueError, CsvError with what is wrong."""
    sheet = csv_table.read(file.name, file.parent)
    heading = Heading(dict(_heading(file)))
    base = component(_base(heading, sheet.columns))
    field, spec = _curve(base, heading)
    reading = Reading(gallon=heading.one("gallon", "us"), density=FRESH, folder=file.parent)
    _read(spec, field, file.name, reading)  # tells of whatever is wrong with the points
    values: dict[str, Any] = {field: _in_si(sheet, spec, reading), **dict.fromkeys(_other_ways(base, field))}
    for key, text in _parameters(heading, base).items():
        values[key] = _read(declared(base)[key], key, text[-1], reading)
    made = with_values(base, values, name=_class_name(name), module=module_name(file), hidden=(field,))
    made.__doc__ = f"{heading.one('about')}\n\n{_law(base)}"
    made.sources = heading.lines["source"]
    made.roles = _roles(heading) or base.roles
    _known_to_python(made)
    _refuse_what_cannot_be(made)
    return made


def _heading(file: Path) -> Iterator[tuple[str, tuple[str, ...]]]:
    """The lines above the table that say something; about and source must be among them."""
    said: dict[str, tuple[str, ...]] = {}
    for line in file.read_text(encoding="utf-8-sig").splitlines():
        if line.strip() and not line.lstrip().startswith("#"):
            break
        if found := _LINE.match(line.strip()):
            said[found[1]] = (*said.get(found[1], ()), found[2])
    for key, example in (("about", "what it is, in a sentence"), ("source", "whose data sheet or readings, and when")):
        if key not in said:
            raise ValueError(f"it does not say its {key}: begin the file with '# {key}: {example}'")
    yield from said.items()


def _base(heading: Heading, columns: tuple[str, ...]) -> str:
    if "type" in heading.lines:
        return heading.one("type")
    for column, type in _USUAL.items():
        if column in columns:
            return type
    raise ValueError(f"its columns are {', '.join(columns)}: head them 'flow L/min, drop kPa', or say its type")


def _curve(base: type[Any], heading: Heading) -> tuple[str, Table]:
    """The field of a component that holds points, and its declaration."""
    for name, spec in declared(base).items():
        if isinstance(spec, Table) and issubclass(base, Component):
            return name, spec
    raise ValueError(f"its type '{heading.one('type')}' takes no points: say '# type: measured_loss'")


def _other_ways(base: type[Any], field: str) -> Iterator[str]:
    """Parameters that would say by one or two numbers what the points say."""
    for name, spec in declared(base).items():
        is_way = isinstance(spec, Quantity) and bool(spec.example) and name != field
        if is_way and not spec.assumed and base.model_fields[name].default is None:
            yield name


def _parameters(heading: Heading, base: type[Any]) -> Mapping[str, tuple[str, ...]]:
    known = {name for name, spec in declared(base).items() if not spec.hidden}
    given = {key: text for key, text in heading.lines.items() if key not in _OURS}
    for key in given:
        if key not in known:
            raise ValueError(f"it says '# {key}:', which is none of {', '.join([*_OURS, *sorted(known)])}")
    return given


def _read(spec: Any, key: str, text: str, reading: Reading) -> Any:
    try:
        return spec.read(text, reading)
    except PydanticCustomError as error:
        context = error.context or {}
        if at := context.get("at"):
            raise CsvError(error.type, context["message"], context.get("help", ""), at) from None
        raise ValueError(
            f"its {key}: {context.get('message', error)}; {context.get('help', '')}".rstrip("; ")
        ) from None


def _in_si(sheet: csv_table.Sheet, spec: Table, reading: Reading) -> list[dict[str, str]]:
    """The points as texts in SI; a head in metres stays one, for it is a pressure by the water of the circuit."""
    return [
        {column: _text_in_si(text, spec.kinds()[column], reading) for column, text in point.items()}
        for point in sheet.points
    ]


def _text_in_si(text: str, kind: str, reading: Reading) -> str:
    try:
        return units.written(units.read(text, kind, gallon=reading.gallon).value, kind)
    except units.UnitError:
        return text


def _class_name(name: str) -> str:
    return "".join(word.title() for word in name.split("_"))


def _law(base: type[Any]) -> str:
    return (base.__doc__ or "").partition("\n\n")[2].strip()


def _roles(heading: Heading) -> tuple[str, ...]:
    roles = tuple(role.strip() for role in heading.one("roles").split(",") if role.strip())
    for role in roles:
        if role not in ROLES:
            raise ValueError(f"it has the role '{role}', which no rule knows: {near(role, ROLES)}")
    return roles


def _known_to_python(made: type[Any]) -> None:
    """A module that holds the class, so that rows can be dealt to other processes."""
    module = ModuleType(made.__module__)
    setattr(module, made.__name__, made)
    sys.modules[made.__module__] = module


def _refuse_what_cannot_be(made: type[Declared]) -> None:
    """Where nothing more must be written for it, the part is made once, and what it objects to is told."""
    if any(field.is_required() for field in made.model_fields.values()):
        return
    for sentence in made.model_validate({}, context=Reading(density=FRESH)).check():  # type: ignore[attr-defined]
        raise ValueError(sentence)
