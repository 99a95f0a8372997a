"""The JSON Schema of a circuit file, for editors."""

from __future__ import annotations

import inspect
from typing import Any

from netsolve.circuit import Engine
from netsolve.component import Component
from netsolve.contract.cooling import Cooling, Oil
from netsolve.contract.declare import Quantity, declared
from netsolve.contract.waters import KINDS
from netsolve.reading.written import Placement, beside, keys
from netsolve.registry import PluginError, Registry

TEXT: dict[str, Any] = {"type": "string"}
YES_NO: dict[str, Any] = {"enum": ["yes", "no", True, False]}
NAMES: dict[str, Any] = {"anyOf": [TEXT, {"type": "array", "items": TEXT}]}
SETTING: dict[str, Any] = {"type": ["string", "number", "boolean"]}
SETTINGS: dict[str, Any] = {"type": ["object", "null"], "additionalProperties": SETTING}


def circuit_schema(registry: Registry) -> dict[str, Any]:
    """The whole schema; components that cannot be loaded are left out."""
    parts: list[dict[str, Any]] = []
    joints: list[dict[str, Any]] = []
    for name in registry.names():
        try:
            kind = registry.component(name)
        except PluginError:
            continue
        (parts if issubclass(kind, Component) else joints).append(_of_kind(name, kind))
    run = {
        "from": {**TEXT, "description": "joint.port, or the joint alone where that is clear"},
        "to": {**TEXT, "description": "joint.port, or the joint alone where that is clear"},
        "parts": {"type": ["array", "null"], "items": _map({"anyOf": parts}) | {"maxProperties": 1}},
        "blanked": YES_NO,
        "direction": {"enum": ["forward", "either"]},
        "note": TEXT,
    }
    change = {"also": NAMES, "fit": NAMES, "remove": NAMES, "blank": NAMES, "open": NAMES, "set": SETTINGS}
    engine, oil = ({key: spec.schema() for key, spec in keys(each).items()} | {"note": TEXT} for each in (Engine, Oil))
    return {
        "$schema": "https://json-schema.org/draft/2020-12/schema",
        "title": "netsolve circuit",
        **_object(
            {
                "format": {"const": 1},
                "circuit": {**TEXT, "description": "the name of the circuit"},
                "about": {"type": "object", "description": "free text for the head of a report"},
                "units": {"enum": ["metric", "us"]},
                "gallon": {"enum": ["us", "imperial"], "description": "what gpm, gph and gal mean here"},
                "water": {"anyOf": [_water(kind, record) for kind, record in KINDS.items()]},
                "engines": _map(_object(engine, required=["speed"])),
                "oils": _map(_object(oil, required=["volume"])),
                "joints": _map({"anyOf": joints}),
                "runs": _map(_object(run, required=["from", "to"])),
                "conditions": _map(SETTINGS),
                "changes": _map(_object(change)),
                "limits": {"type": "object", "description": "a rule's code: its threshold, or off"},
            },
            required=["format", "circuit", "joints", "runs"],
        ),
    }


def _object(properties: dict[str, Any], *, required: list[str] | None = None) -> dict[str, Any]:
    shape = {"type": "object", "properties": properties, "additionalProperties": False}
    return shape | ({"required": required} if required else {})


def _map(values: dict[str, Any]) -> dict[str, Any]:
    return {"type": "object", "additionalProperties": values}


def _of_kind(name: str, kind: type[Any]) -> dict[str, Any]:
    specs = {field: spec for field, spec in declared(kind).items() if not spec.hidden}
    required = [field for field in specs if kind.model_fields[field].is_required()]
    properties = {"type": {"const": name, "description": (inspect.getdoc(kind) or name).split("\n", 1)[0]}}
    properties |= {field: spec.schema() for field, spec in specs.items()}
    if issubclass(kind, Component):
        properties |= _part_keys() | _cooler_keys(kind)
    if any(isinstance(spec, Quantity) and spec.engine for spec in declared(kind).values()):
        properties["engine"] = {**TEXT, "description": "the engine that turns it; left out when there is one"}
    return _object(properties | {"note": TEXT}, required=["type", *required])


def _part_keys() -> dict[str, Any]:
    """What every part may say besides its type's own."""
    return {key: spec.schema() for key, spec in keys(Placement).items()}


def _cooler_keys(kind: type[Component]) -> dict[str, Any]:
    """What a cooler may say of heat."""
    own = {key: keys(Cooling)[key].schema() for key, record in beside(kind).items() if record is Cooling}
    return own and {"cools": {**TEXT, "description": "the oil that it cools"}, **own}


def _water(kind: str, record: type[Any]) -> dict[str, Any]:
    specs = {field: spec.schema() for field, spec in declared(record).items()}
    return _object({"kind": {"const": kind}} | specs, required=["kind"])
