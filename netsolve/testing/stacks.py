"""One part, a stack of parts and rows of stacks must give the same: the author writes for one."""

from __future__ import annotations

from collections.abc import Callable, Iterator, Sequence
from typing import Any

import numpy as np

from netsolve.contract.declare import values_of
from netsolve.testing.curves import Floats
from netsolve.water import Array, Water

Laws = Callable[[Any, Array, Water], Sequence[Array]]
"""What a record gives for flows: some arrays of their shape."""

_ROWS = 7


def stackable(records: Sequence[Any]) -> Iterator[list[Any]]:
    """The records in groups that share class, words, tables and what is left out."""
    groups: dict[Any, list[Any]] = {}
    for record in records:
        fixed = tuple(
            None if isinstance(value, float) else (value, value is None) for value in values_of(record).values()
        )
        groups.setdefault((type(record), fixed), []).append(record)
    yield from groups.values()


def stacked(group: list[Any], laws: Laws, largest: Sequence[float], water: Water) -> Iterator[str]:
    """What a stack of records, and rows of such stacks, give otherwise than each record alone."""
    if len(group) == 1:
        group, largest = group * 2, list(largest) * 2
    flows = np.linspace(-1.0, 1.0, _ROWS)[:, None] * np.array(largest)
    alone = np.array([[_one(laws, each, q, water) for each, q in zip(group, row, strict=True)] for row in flows])
    slack = 1e-12 * float(np.nanmax(np.abs(alone), initial=0.0))
    stack, deep = _stack(group, (len(group),)), _stack(group, flows.shape)
    by_row = Water(*(np.full((_ROWS, 1), getattr(water, name)) for name in Water.__dataclass_fields__))
    tried = {
        "a stack (parts,)": [_all(laws, stack, row, water) for row in flows],
        "rows of a stack (rows, parts)": _by_row(_all(laws, stack, flows, water), flows.shape),
        "rows with values of their own": _by_row(_all(laws, deep, flows, by_row), flows.shape),
    }
    for name, result in tried.items():
        if any(np.shape(each) != (len(group),) for row in result for each in row):
            yield f"{name} gives another shape than its flows: broadcast the fields with `flow`, parts last"
        elif not np.allclose(np.moveaxis(np.array(result), 1, 2), alone, rtol=1e-9, atol=slack, equal_nan=True):
            yield f"{name} differs from the same parts one by one: write np.where for if, and no sums over an axis"


def _one(laws: Laws, record: Any, flow: float, water: Water) -> list[float]:
    return [float(value) for value in laws(record, flow, water)]


def _all(laws: Laws, record: Any, flows: Floats, water: Water) -> list[Array]:
    return [np.asarray(value) for value in laws(record, flows, water)]


def _by_row(values: list[Array], shape: tuple[int, ...]) -> list[list[Any]]:
    """The answers row by row; those of another shape as they are, to be told of."""
    if any(np.shape(each) != shape for each in values):
        return [values]
    return [[np.asarray(each)[row] for each in values] for row in range(shape[0])]


def _stack(group: list[Any], shape: tuple[int, ...]) -> Any:
    values: dict[str, Any] = {}
    for name, first in values_of(group[0]).items():
        column: Array = np.array([getattr(part, name) for part in group]) if isinstance(first, float) else first
        values[name] = np.broadcast_to(column, shape) if isinstance(first, float) else first
    return type(group[0]).model_construct(**values)
