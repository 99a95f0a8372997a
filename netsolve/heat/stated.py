"""What rows say of heat, as arrays (rows,): records alike side by side, or one row's with columns for some fields."""

from __future__ import annotations

from collections.abc import Callable, Mapping, Sequence
from dataclasses import dataclass
from typing import Any

import numpy as np

from netsolve.arrays.alike import alike
from netsolve.arrays.stack import Floats, Ints
from netsolve.circuit import Row
from netsolve.component import Opening
from netsolve.contract.declare import Declared, values_of
from netsolve.contract.waters import Liquid
from netsolve.water import Array, Water

USUAL_TEMPERATURE = 288.15
"""K: of a liquid that is known by its numbers and does not say."""

Columns = Mapping[tuple[str, str], Floats]
"""Values (rows,) of fields by (name, field), the names being those of parts, joints and oils."""


@dataclass(frozen=True)
class Records:
    """The record of one thing in very many rows: `groups` are the rows of each kind, and one record of arrays."""

    count: int
    groups: Sequence[tuple[Ints, Any]]

    def read(self, ask: Callable[[Any, Ints], Array | None], missing: float = np.nan) -> Floats:
        """What is asked of the record in every row; `missing` where there is no record, nan where it says nothing."""
        found = np.full(self.count, missing)
        for rows, record in self.groups:
            value = ask(record, rows)
            found[rows] = np.nan if value is None else value
        return found

    def field(self, name: str) -> Floats:
        """A field of numbers; nan where it is left out."""
        return self.read(lambda record, _: getattr(record, name))

    def record(self, row: int) -> Any:
        """The record of the group that a row is in; its numbers may be arrays."""
        return next(record for rows, record in self.groups if row in rows)


@dataclass(frozen=True)
class Stated:
    """What rows say of heat. `row` has the names and what all rows share; the arrays are (rows,), openings (joints,).

    `warm`: whether a row has to do with heat at all; `water`: temperature of the water that comes in, K; `rate`: what
    a cubic metre of it holds for each kelvin, J/(m3 K); `inflow`: (rows, joints), m3/s.
    """

    row: Row
    count: int
    warm: np.ndarray
    water: Floats
    rate: Floats
    liquid: Records
    fitted: Mapping[str, np.ndarray]
    counts: Mapping[str, Ints]
    coolers: Mapping[str, Records]
    oils: Mapping[str, Records]
    injections: Mapping[str, Records]
    openings: np.ndarray
    inflow: Floats

    @property
    def names(self) -> list[str]:
        """The oils, in the order of all arrays (…, oils)."""
        return list(self.oils)

    def fluid_at(self, temperature: Floats) -> tuple[Floats, Floats]:
        """Density and viscosity of the water at temperatures (…, rows), kg/m3 and Pa s.

        nan where nothing is known of the water but its numbers.
        """
        density, viscosity = np.full(temperature.shape, np.nan), np.full(temperature.shape, np.nan)
        for rows, liquid in self.liquid.groups:
            density[..., rows], viscosity[..., rows] = liquid.fluid_at(temperature[..., rows])
        return density, viscosity

    def oil_values(self, ask: Callable[[Any], Array | None]) -> Floats:
        """What is asked of each oil in every row, (rows, oils)."""
        columns = [each.read(lambda oil, _: ask(oil)) for each in self.oils.values()]
        return np.stack(columns, axis=1) if columns else np.zeros((self.count, 0))


def has_heat(row: Row) -> bool:
    """Whether anything in the row has to do with heat."""
    return bool(row.oils) or any(part.cooling is not None for part in row.parts.values())


def temperature_of(liquid: Declared | None) -> Array:
    """Temperature of the water that comes in, K."""
    given: Array | None = getattr(liquid, "temperature", None)
    return USUAL_TEMPERATURE if given is None else given


def rate_of(water: Water) -> Array:
    """What a cubic metre of the water holds for each kelvin, J/(m3 K)."""
    return np.asarray(water.density * water.heat_capacity)


def stated(rows: Sequence[Row]) -> Stated:
    """What these rows say, which all have the same joints, runs and parts."""
    first, count = rows[0], len(rows)
    coolers = [name for name in first.parts if any(row.parts[name].cooling is not None for row in rows)]
    return Stated(
        row=first,
        count=count,
        warm=np.array([has_heat(row) for row in rows]),
        water=np.array([temperature_of(row.liquid) for row in rows]),
        rate=np.array([float(rate_of(row.water)) for row in rows]),
        liquid=_records([row.liquid for row in rows]),
        fitted={name: np.array([row.parts[name].fitted for row in rows]) for name in first.parts},
        counts={name: np.array([row.parts[name].count for row in rows]) for name in coolers},
        coolers={name: _records([row.parts[name].cooling for row in rows]) for name in coolers},
        oils={name: _records([row.oils[name].oil for row in rows]) for name in first.oils},
        injections={
            name: _records([row.places[name].joint for row in rows]) for name in first.places if _injects(first, name)
        },
        openings=np.array([isinstance(place.joint, Opening) for place in first.places.values()]),
        inflow=np.array([[float(np.max(place.joint.inflow())) for place in row.places.values()] for row in rows]),
    )


def _injects(row: Row, name: str) -> bool:
    return "gas_flow" in type(row.places[name].joint).model_fields


def _records(records: Sequence[Declared | None]) -> Records:
    """Records row by row, those alike put side by side; rows without any are in no group."""
    return Records(len(records), alike(records))


def spread(row: Row, count: int, columns: Columns, liquid: Liquid | None = None) -> Stated:
    """What so many rows say that are one row but for columns of some fields, and for those of its water's record."""
    one, every = stated([row]), np.arange(count)

    def record(name: str, records: Records) -> Records:
        mine = {field: column for (owner, field), column in columns.items() if owner == name}
        return Records(count, [(every, _with(each, mine)) for _, each in records.groups])

    def fed(name: str) -> Floats:
        mine = {field: column for (owner, field), column in columns.items() if owner == name}
        return np.broadcast_to(np.asarray(_with(row.places[name].joint, mine).inflow(), dtype=float), (count,))

    def repeated(values: np.ndarray) -> np.ndarray:
        return np.repeat(values, count, axis=0)

    record_of_water = row.liquid if liquid is None else liquid
    return Stated(
        row=row,
        count=count,
        warm=repeated(one.warm),
        water=np.broadcast_to(temperature_of(record_of_water), (count,)),
        rate=np.broadcast_to(rate_of(row.water if liquid is None else liquid.water()), (count,)),
        liquid=Records(count, [] if record_of_water is None else [(every, record_of_water)]),
        fitted={name: repeated(values) for name, values in one.fitted.items()},
        counts={name: repeated(values) for name, values in one.counts.items()},
        coolers={name: record(name, each) for name, each in one.coolers.items()},
        oils={name: record(name, each) for name, each in one.oils.items()},
        injections={name: record(name, each) for name, each in one.injections.items()},
        openings=one.openings,
        inflow=np.stack([fed(name) for name in row.places], axis=1),
    )


def _with(record: Any, columns: Mapping[str, Floats]) -> Any:
    """The record with columns for those of its fields, unchecked."""
    mine = {field: column for field, column in columns.items() if field in type(record).model_fields}
    return type(record).model_construct(**values_of(record) | mine) if mine else record
