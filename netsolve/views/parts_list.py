"""Parts as lists: what the circuit is made of, and what to buy, take out or alter for a change."""

from __future__ import annotations

from collections.abc import Iterator
from dataclasses import dataclass

from netsolve import units
from netsolve.circuit import Part, Place, Row
from netsolve.contract.declare import Declared, Quantity, Table, declared


@dataclass(frozen=True, slots=True)
class Item:
    """A line of a list: what to do (or nothing), how many, the name, the kind, and its written values."""

    action: str
    count: int
    name: str
    kind: str
    values: str
    note: str = ""


def fitted_parts(row: Row, system: str) -> list[Item]:
    """The joints and the fitted parts of a row, with what is written of each."""
    joints = [Item("", 1, place.name, words(place.type), facts(place.joint, system)) for place in row.places.values()]
    parts = [_item("", part, system) for part in row.parts.values() if part.fitted]
    return [*joints, *parts]


def to_do(before: Row, after: Row, system: str) -> list[Item]:
    """What a change asks for: parts to buy and to take out, settings to alter, runs to blank or open."""
    return [*_parts(before, after, system), *_joints(before, after, system), *_runs(before, after)]


def _parts(before: Row, after: Row, system: str) -> Iterator[Item]:
    for name, part in after.parts.items():
        was = before.parts.get(name)
        if part.fitted and (was is None or not was.fitted):
            yield _item("buy and fit", part, system)
        elif was is not None and was.fitted and not part.fitted:
            yield _item("take out", was, system)
        elif part.fitted and was is not None and part.component != was.component:
            yield _altered(was, part, system)


def _altered(was: Part, part: Part, system: str) -> Item:
    changes = ", ".join(_changes(was.component, part.component, system))
    return Item("alter or replace", part.count, part.name, words(part.type), changes, part.note)


def _joints(before: Row, after: Row, system: str) -> Iterator[Item]:
    for name, place in after.places.items():
        was: Place | None = before.places.get(name)
        if was is not None and was.joint != place.joint:
            changes = ", ".join(_changes(was.joint, place.joint, system))
            yield Item("alter or replace", 1, name, words(place.type), changes, place.note)


def _runs(before: Row, after: Row) -> Iterator[Item]:
    for name, run in after.runs.items():
        was = before.runs.get(name)
        if was is not None and was.blanked != run.blanked:
            yield Item("blank" if run.blanked else "open", 1, name, "run", "", run.note)


def _item(action: str, part: Part, system: str) -> Item:
    return Item(action, part.count, part.name, words(part.type), facts(part.component, system), part.note)


def words(type: str) -> str:
    """A component's type as people say it."""
    return type.replace("_", " ")


def facts(record: Declared, system: str) -> str:
    """What is written of a part or joint: `bore 15.9 mm (0.625 in), length 2.5 m (8.2 ft)`."""
    specs = declared(type(record))
    written = (name for name in specs if name in record.model_fields_set and not specs[name].hidden)
    return ", ".join(_fact(record, name, system) for name in written if getattr(record, name) is not None)


def _changes(was: Declared, now: Declared, system: str) -> Iterator[str]:
    if type(was) is not type(now):
        yield facts(now, system)
        return
    for name in declared(type(now)):
        first, last = getattr(was, name), getattr(now, name)
        if first != last:
            yield f"{words(name)} {_value(was, name, system)} → {_value(now, name, system)}"


def _fact(record: Declared, name: str, system: str) -> str:
    return f"{words(name)} {_value(record, name, system)}"


def _value(record: Declared, name: str, system: str) -> str:
    spec, value = declared(type(record))[name], getattr(record, name)
    if value is None:
        return "none"
    if isinstance(value, bool):
        return "yes" if value else "no"
    if isinstance(spec, Table):
        return "as its curve"
    if not isinstance(spec, Quantity):
        return str(value)
    word = next((word for word, meaning in spec.words.items() if meaning == value), "")
    return word or units.show(value, spec.kind, system=system, both=True)
