"""What a setting is of: its path as the circuit has it, and how a value of it is read and written."""

from __future__ import annotations

from collections.abc import Mapping
from dataclasses import dataclass
from typing import Any

from netsolve.circuit import Circuit, Row
from netsolve.contract.cooling import Cooling
from netsolve.contract.declare import Declared, Quantity, Reading, Spec
from netsolve.reading.naming import fold
from netsolve.reading.written import Placement, beside, keys
from netsolve.units import written

Value = float | str | bool
"""An SI number, a word, or yes and no."""


@dataclass(frozen=True)
class Settable:
    """A parameter that settings may be of, and its declaration."""

    path: str
    spec: Spec

    @property
    def kind(self) -> str:
        """The kind of quantity that a number for it is; none where it takes a word."""
        return self.spec.kind if isinstance(self.spec, Quantity) else ""

    def read(self, text: str, circuit: Circuit) -> Value:
        """The value of a text; the text itself where it stands for something else, such as `none`."""
        reading = Reading(circuit.gallon, float(circuit.as_found.water.density))
        try:
            value: Value = self.spec.read(text, reading)  # type: ignore[assignment]
        except ValueError:
            return text.strip()
        return value


def text_of(value: Value, kind: str) -> str:
    """A text that reads back as this value."""
    if isinstance(value, bool):
        return "yes" if value else "no"
    return value if isinstance(value, str) else written(float(value), kind or "number")


def present(row: Row, path: str) -> Any:
    """What a parameter is in a row, SI; None where it is left out."""
    name, _, parameter = path.partition(".")
    part = row.parts.get(name)
    if part is not None and parameter in keys(Placement) and parameter not in keys(type(part.component)):
        return getattr(part, parameter)
    if part is not None and parameter in keys(Cooling) and parameter not in keys(type(part.component)):
        return getattr(part.cooling, parameter, None)
    record: Any = part.component if part else row.liquid if name == "water" else row.engines.get(name)
    record = record or (row.oils[name].oil if name in row.oils else row.places[name].joint)
    fields = type(record).model_fields
    return getattr(record, next(field for field, info in fields.items() if (info.alias or field) == parameter))


def number_now(row: Row, setting: Settable) -> float | None:
    """The number that a parameter is in a row; a hole that is left out, as of a kink, is as wide as the bore."""
    now, name = present(row, setting.path), setting.path.partition(".")[0]
    if now is None and setting.kind == "length" and name in row.parts:
        component = row.parts[name].component
        now = getattr(component, component.velocity_bore, None) if component.velocity_bore else None
    return now if isinstance(now, float) else None


def settable(circuit: Circuit, path: str) -> Settable | None:
    """The parameter at `name.parameter`, None where nothing is called so: the reader of settings then tells why."""
    name, _, parameter = (piece.strip() for piece in path.partition("."))
    row = circuit.as_found
    things: dict[str, Any] = {name: part.component for name, part in row.parts.items()}
    things |= {name: place.joint for name, place in row.places.items()} | dict(row.engines) | {"water": row.liquid}
    things |= {name: charge.oil for name, charge in row.oils.items()}
    known = next((each for each in things if fold(each) == fold(name)), None)
    if known is None or not isinstance(things[known], Declared):
        return None
    model: type[Declared] = type(things[known])
    others = {key: keys(record)[key] for key, record in beside(model).items()} if known in row.parts else {}
    allowed: Mapping[str, Spec] = {**others, **keys(model)}
    if parameter not in allowed:
        return None
    return Settable(f"{known}.{parameter}", allowed[parameter])
