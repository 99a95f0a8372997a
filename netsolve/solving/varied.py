"""One row spread out to very many, some of its numbers given as columns: no record is made for each of them.

How a setting reaches the numbers is not written down here a second time. It is found by making two rows with it, by the
reader that makes all rows, and seeing which fields differ and whether they follow it in proportion.
"""

from __future__ import annotations

from collections.abc import Iterator, Mapping
from dataclasses import dataclass, replace
from typing import Any

import numpy as np

from netsolve.arrays.openings import borrowed_bores, joints_of_ends
from netsolve.arrays.stack import Floats, Stack, repeated
from netsolve.assemble import Network
from netsolve.circuit import Part, Place, Row
from netsolve.component import Crest, Opening
from netsolve.contract.cooling import Oil
from netsolve.contract.declare import values_of
from netsolve.water import GRAVITY, Water

Columns = Mapping[tuple[str, str], Floats]
"""Values of a field of a part or joint, (rows,), by (name, field)."""


class NotProportionalError(ValueError):
    """A setting that changes more than numbers, or not in proportion: its rows have to be made one by one."""


@dataclass(frozen=True)
class Reach:
    """What a setting changes: fields of parts, of how they cool, of joints and oils, each by a factor of its value."""

    factors: Mapping[tuple[str, str], float]
    water: bool


def reach(rows: tuple[Row, Row], values: tuple[float, float]) -> Reach:
    """What differs between two rows that differ in one setting, with these two values (SI) of it."""
    first, second = rows
    if first.runs != second.runs or any(_else_than_law(part, second.parts[name]) for name, part in first.parts.items()):
        raise NotProportionalError("the setting changes which runs and parts there are")
    if any(_else_than_pressure(place, second.places[name]) for name, place in first.places.items()):
        raise NotProportionalError("the setting changes a crest, what is fed in, or whether an outlet is under water")
    water = first.water is not second.water
    factors: dict[tuple[str, str], float] = {}
    for name, one, other in _laws(first, second):
        for field in _differing(one, other):
            a, b = getattr(one, field), getattr(other, field)
            if (
                not isinstance(a, float)
                or not isinstance(b, float)
                or abs(a * values[1] - b * values[0]) > 1e-9 * abs(a * values[1])
            ):
                raise NotProportionalError(f"'{field}' of {name} does not follow the setting in proportion")
            factors[name, field] = a / values[0] if values[0] else b / values[1]
    if water and factors:
        raise NotProportionalError("the setting changes the water and what is counted in heads of it")
    return Reach(factors, water)


def _else_than_law(one: Part, other: Part) -> bool:
    """Whether two states of a part differ in how often it is there."""
    return (one.fitted, one.count) != (other.fitted, other.count)


def _else_than_pressure(one: Place, other: Place) -> bool:
    """Whether two states of a joint differ in what the arrays of a network hold besides fields and levels."""
    if isinstance(one.joint, Crest) and (one.joint is not other.joint or one.height != other.height):
        return True
    if isinstance(one.joint, Opening) and isinstance(other.joint, Opening):
        return bool(one.joint.one_way()) != bool(other.joint.one_way())
    return float(one.joint.inflow()) != float(other.joint.inflow())


def _laws(first: Row, second: Row) -> Iterator[tuple[str, Any, Any]]:
    for name, part in first.parts.items():
        if part.component is not second.parts[name].component:
            yield name, part.component, second.parts[name].component
    for name, place in first.places.items():
        if place.joint is not second.places[name].joint:
            yield name, place.joint, second.places[name].joint
    for name, part in first.parts.items():
        if part.cooling is not second.parts[name].cooling:
            yield name, part.cooling, second.parts[name].cooling
    for name, charge in first.oils.items():
        if charge.oil is not second.oils[name].oil:
            yield name, charge.oil, second.oils[name].oil


def _differing(one: Any, other: Any) -> list[str]:
    if type(one) is not type(other):
        raise NotProportionalError("the setting changes the kind of a part")
    differing = [name for name, value in values_of(one).items() if value != getattr(other, name)]
    if isinstance(one, Oil) and "repeat" in differing:
        raise NotProportionalError("the setting changes when bursts of heat come")
    return differing


def varied(network: Network, columns: Columns, water: Water | None = None) -> Network:
    """The network of one row, spread out to the rows of the columns; `water` has fields (rows, 1)."""
    count = len(next(iter(columns.values()))) if columns else len(np.asarray(water.density if water else 0.0))
    row = network.rows[0]
    used = water or network.water
    return replace(
        network,
        rows=(),
        carries=repeated(network.carries, count),
        level=_levels(network, columns, used, count),
        inflow=_inflows(network, columns, count),
        inline=tuple(_spread(stack, columns, count) for stack in network.inline),
        ends=tuple(_spread(stack, columns, count, row) for stack in network.ends),
        joints=tuple(_spread(stack, columns, count) for stack in network.joints),
        crest=_crests(network, columns, count),
        water=used,
    )


def _spread(stack: Stack, columns: Columns, count: int, ends_of: Row | None = None) -> Stack:
    """The stack with columns for fields; at the ends of runs the fields are those of the joints there."""
    values = values_of(stack.record)
    joints, borrowed = (joints_of_ends(ends_of), borrowed_bores(ends_of)) if ends_of else ({}, {})
    for slot, name in enumerate(stack.names):
        for (target, written), column in columns.items():
            lent = borrowed.get(name) == (target, written)
            field = "bore" if lent else written
            if (lent or target == joints.get(name, name)) and field in values:
                if np.ndim(values[field]) == 1:
                    values[field] = repeated(values[field], count)
                values[field][:, slot] = column
    return replace(stack, record=type(stack.record).model_construct(**values))


def _levels(network: Network, columns: Columns, water: Water, count: int) -> Floats:
    """The levels of the openings, those with a varied field or in varied water found anew."""
    level = repeated(network.level, count)
    named = {name for name, _ in columns}
    for name, place in network.rows[0].places.items():
        if not isinstance(place.joint, Opening) or (name not in named and np.ndim(water.density) == 0):
            continue
        joint = _varied_joint(place, columns)
        flat = Water(**{each: np.ravel(getattr(water, each)) for each in Water.__dataclass_fields__})
        height = getattr(joint, joint.datum)
        still = joint.pressure(np.zeros(count), flat) + flat.density * GRAVITY * height
        level[:, network.node_index[name]] = still
    return level


def _inflows(network: Network, columns: Columns, count: int) -> Floats:
    """What is fed in at the nodes, anew at joints that have a varied field and feed something in."""
    inflow = repeated(network.inflow, count)
    named = {name for name, _ in columns}
    for name, place in network.rows[0].places.items():
        if name in named and not place.joint.paths and place.joint.inflow() != 0.0:
            inflow[:, network.node_index[name]] = _varied_joint(place, columns).inflow()
    return inflow


def _crests(network: Network, columns: Columns, count: int) -> Floats:
    """The heights of the crests, of those that let air in as varied."""
    crest = repeated(network.crest, count)
    crests = [(name, place.joint) for name, place in network.rows[0].places.items() if isinstance(place.joint, Crest)]
    for at, (name, joint) in enumerate(crests):
        column = columns.get((name, joint.datum))
        if column is not None and joint.breaks():
            crest[:, at] = column
    return crest


def _varied_joint(place: Place, columns: Columns) -> Any:
    """The law of a joint with columns for fields, unchecked."""
    values = values_of(place.joint)
    values |= {field: column for (target, field), column in columns.items() if target == place.name}
    if values.get("bore", 1.0) is None:
        values["bore"] = 1.0
    return type(place.joint).model_construct(**values)
