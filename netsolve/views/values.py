"""A value of a row by its path, as text: what the option `--show` adds to a table."""

from __future__ import annotations

from collections.abc import Sequence
from typing import Any

from netsolve import units
from netsolve.result import RowResult

KINDS = {
    "flow": "flow",
    "min_flow": "flow",
    "max_flow": "flow",
    "pressure": "pressure",
    "total_pressure": "pressure",
    "pressure_drop": "pressure",
    "inlet_pressure": "pressure",
    "outlet_pressure": "pressure",
    "lowest_pressure": "pressure",
    "drive": "pressure",
    "lift": "pressure",
    "missing": "pressure",
    "velocity": "velocity",
    "height": "length",
    "temperature": "temperature",
    "mixed_temperature": "temperature",
    "inlet_temperature": "temperature",
    "outlet_temperature": "temperature",
    "duty": "power",
    "plateau": "temperature",
    "peak": "temperature",
    "time_to_alarm": "time",
    "time_without_water": "time",
    "heat": "power",
    "cooler_duty": "power",
    "share": "ratio",
    "status": "",
    "verdict": "",
    "type": "",
    "lowest_at": "",
}
"""The fields that can be shown, and the kind of each; a word has none."""


def shown(row: RowResult, path: Sequence[str], system: str) -> str:
    """The value at (part or run, field), (joint, field) or (joint, port, field) of a settled row, or `none`.

    Raises KeyError with a sentence where the row has nothing of that name.
    """
    thing, field = _thing(row, path), path[-1]
    if field not in KINDS or not hasattr(thing, field):
        fields = ", ".join(name for name in KINDS if hasattr(thing, name))
        raise KeyError(f"'{'.'.join(path[:-1])}' has no '{field}'; it has: {fields}")
    value = getattr(thing, field)
    if value is None:
        return "none"
    return units.show(value, KINDS[field], system=system, both=True) if KINDS[field] else str(value)


def _thing(row: RowResult, path: Sequence[str]) -> Any:
    name = path[0]
    if len(path) == 3 and name in row.joints:
        ports = row.joints[name].ports
        if path[1] not in ports:
            raise KeyError(f"'{name}' has no port '{path[1]}'; it has: {', '.join(ports)}")
        return ports[path[1]]
    found = next((things[name] for things in (row.parts, row.runs, row.joints, row.oils) if name in things), None)
    if found is None or len(path) != 2:
        raise KeyError(
            f"there is no value '{'.'.join(path)}'; write part.field, run.field, joint.port.field or oil.field"
        )
    return found
