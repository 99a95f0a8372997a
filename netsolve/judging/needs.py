"""Needs that follow from heat: how much water a cooler wants so that its oil stays at its limit."""

from __future__ import annotations

import math
from collections.abc import Mapping
from dataclasses import replace

from netsolve.circuit import Row
from netsolve.heat.needed import Fed, Needed, needed
from netsolve.heat.stated import temperature_of
from netsolve.result import RowResult


def fed(row: RowResult, state: Row) -> dict[str, Fed]:
    """The water that comes to every part of a settled row; where none does, that which would."""
    incoming = float(temperature_of(state.liquid))
    return {
        part.name: Fed(abs(part.flow or 0.0), incoming if part.inlet_temperature is None else part.inlet_temperature)
        for part in row.parts.values()
    }


def with_heat_needs(row: RowResult, state: Row) -> RowResult:
    """The row with the least flows that follow from heat; none where no flow would do."""
    asked = [name for name, part in state.parts.items() if part.need_from_heat and part.fitted]
    if not asked or not row.settled:
        return row
    water = fed(row, state)
    parts = {name: replace(row.parts[name], min_flow=_flow(needed(state, name, water))) for name in asked}
    return replace(row, parts={**row.parts, **parts})


def too_small(row: RowResult, state: Row) -> Mapping[str, Needed]:
    """The coolers with a need from heat that no flow of water could meet, by name."""
    asked = [name for name, part in state.parts.items() if part.need_from_heat and part.fitted]
    water = fed(row, state) if asked else {}
    found = {name: needed(state, name, water) for name in asked}
    return {name: each for name, each in found.items() if each is not None and math.isinf(each.least_flow)}


def _flow(found: Needed | None) -> float | None:
    return None if found is None or math.isinf(found.least_flow) else found.least_flow
