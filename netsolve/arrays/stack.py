"""Like parts side by side: the same class with arrays for fields, one evaluation for all of them and all rows."""

from __future__ import annotations

from collections.abc import Sequence
from dataclasses import dataclass, replace
from functools import cached_property
from typing import Any

import numpy as np
import numpy.typing as npt

from netsolve.contract.declare import values_of
from netsolve.water import Water

Floats = npt.NDArray[np.float64]
Ints = npt.NDArray[np.intp]


def repeated(values: npt.NDArray[Any], count: int) -> npt.NDArray[Any]:
    """One row's values (slots,) or (1, slots) for so many rows; like all arrays here, each column lies together."""
    return np.repeat(values.reshape(-1, 1), count, axis=1).T


def begun(numbers: Ints) -> tuple[Ints, Ints]:
    """Which numbers there are among some that are sorted, each once, and where it first stands."""
    first = np.flatnonzero(np.concatenate([np.ones(min(len(numbers), 1), dtype=bool), numbers[1:] != numbers[:-1]]))
    return numbers[first], first


def some_rows(values: npt.NDArray[Any], rows: Ints) -> npt.NDArray[Any]:
    """Some rows of an array (rows, slots) or (rows,), each column lying together."""
    return values.T.take(rows, axis=-1).T


def some_columns(values: npt.NDArray[Any], columns: Ints) -> npt.NDArray[Any]:
    """Some columns of an array (rows, slots), each lying together; few come quicker than by an index in brackets."""
    return values.T.take(columns, axis=0).T


def side_by_side(columns: Sequence[Floats]) -> Floats:
    """Arrays (slots,) or (rows, slots) joined along the slots; one row stands for all, where none differs.

    Two axes even so: numpy takes twice as long over a few numbers where it must find out how shapes go together.
    """
    rows = max(len(each) if each.ndim == 2 else 1 for each in columns)
    whole = [each if each.ndim == 2 and len(each) == rows else repeated(each, rows) for each in columns]
    return np.asfortranarray(np.concatenate(whole, axis=1))


def columns_of(value: Any, slots: Ints) -> Any:
    """Some slots of an array (slots,) or (rows, slots); what is no array is the same for all of them."""
    return value[..., slots] if isinstance(value, np.ndarray) and value.ndim else value


MOST_IN_TABLE = 2000
"""Entries of a table of what is added up where, up to which a product with it is the fastest for few rows."""


def every(mask: np.ndarray) -> bool:
    """Whether all of an array of truths are; far quicker than its own method where there are few."""
    return bool(np.count_nonzero(mask) == mask.size)


class Sums:
    """Adds up the values of slots in the column (slots,) of each, of which several may be the same."""

    def __init__(self, columns: Ints) -> None:
        self.columns = columns
        self._table: Floats | None = None

    def add(self, total: Floats, values: Floats) -> None:
        """Add values (rows, slots) to a total (rows, columns): by slots, by rows, or by a table where all are few."""
        if len(values) >= len(self.columns):
            for slot, column in enumerate(self.columns.tolist()):
                total[:, column] += values[:, slot]
        elif len(self.columns) * total.shape[1] > MOST_IN_TABLE:
            for row in range(len(values)):
                total[row] += np.bincount(self.columns, values[row], total.shape[1])
        else:
            if self._table is None:
                self._table = np.zeros((len(self.columns), total.shape[1]))
                self._table[np.arange(len(self.columns)), self.columns] = 1.0
            total += values.dot(self._table)


@dataclass(frozen=True)
class Stack:
    """Slots that share class, words, tables and missing fields.

    `record` has an array (slots,) or (rows, slots) in each numeric field; `edges` is (paths, slots), `weights`
    (rows, slots) or (slots,), `signs` (slots,). For stacks of one path the slots are sorted by edge: `starts` says
    where each new edge begins, `unique` which edges these are. `density` and `viscosity` (rows, slots) are what the
    laws are told of the water in each slot, where it is not the same all over the row.
    """

    names: tuple[str, ...]
    record: Any
    edges: Ints
    weights: Floats
    signs: Floats
    starts: Ints
    unique: Ints
    density: Floats | None = None
    viscosity: Floats | None = None

    def take(self, rows: Ints) -> Stack:
        """The stack for some of the rows."""
        values = {name: _rows_of(value, rows) for name, value in values_of(self.record).items()}
        return replace(
            self,
            record=type(self.record).model_construct(**values),
            weights=_rows_of(self.weights, rows),
            density=_rows_of(self.density, rows),
            viscosity=_rows_of(self.viscosity, rows),
        )

    def among(self, place: Ints) -> Stack:
        """The slots whose edges have a place among some (-1: none), there; for stacks of one path."""
        kept = np.flatnonzero(place[self.edges[0]] >= 0)
        values = {name: columns_of(value, kept) for name, value in values_of(self.record).items()}
        edges = place[self.edges[:, kept]]
        unique, starts = begun(edges[0])
        names = tuple(self.names[slot] for slot in kept)
        record, weights = type(self.record).model_construct(**values), columns_of(self.weights, kept)
        fluid = columns_of(self.density, kept), columns_of(self.viscosity, kept)
        return Stack(names, record, edges, weights, self.signs[kept], starts, unique, *fluid)

    def filled(self, water: Water) -> Water:
        """The water in the slots, fields as in `Network.water` or (rows, slots), where this is the row's water."""
        if self.density is None or self.viscosity is None:
            return water
        return replace(water, density=self.density, viscosity=self.viscosity)

    @cached_property
    def _sums(self) -> Sums:
        return Sums(self.edges[0])

    @cached_property
    def _plain(self) -> bool:
        """Whether every slot is there once, in all rows."""
        return bool((self.weights == 1.0).all())

    @cached_property
    def _onwards(self) -> bool:
        """Whether every law counts flow along its edge."""
        return bool((self.signs == 1.0).all())

    def weighted(self, values: Floats) -> Floats:
        """Values (rows, slots) times the weights; nothing where the weight is 0, whatever the value there."""
        if self._plain:
            return values
        return np.where(self.weights == 0, 0.0, self.weights * values)

    def along(self, flow: Floats) -> Floats:
        """The flow (rows, slots) through each slot, counted as its law counts it."""
        through = some_columns(flow, self.edges[0])
        return through if self._onwards else through * self.signs

    def with_field(self, field: str, values: Any) -> Stack:
        """The stack with other values in one field."""
        return replace(self, record=type(self.record).model_construct(**values_of(self.record) | {field: values}))

    def add(self, total: Floats, values: Floats) -> None:
        """Add values (rows, slots) to a total (rows, edges), each slot's to its edge."""
        self._sums.add(total, values)

    def raise_to(self, largest: Floats, values: Floats) -> None:
        """Raise the largest values (rows, edges) to those of the slots (rows, slots) of each edge."""
        most = np.maximum.reduceat(values, self.starts, axis=1)
        largest[:, self.unique] = np.maximum(largest[:, self.unique], most)


def _rows_of(value: Any, rows: Ints) -> Any:
    return some_rows(value, rows) if isinstance(value, np.ndarray) and value.ndim == 2 else value
