"""The records of one thing in very many rows, those alike put side by side."""

from __future__ import annotations

from collections.abc import Sequence
from typing import Any

import numpy as np

from netsolve.arrays.stack import Ints
from netsolve.contract.declare import Declared, values_of


def alike(records: Sequence[Declared | None]) -> list[tuple[Ints, Any]]:
    """The rows of each kind of record, and one record with an array (rows,) in each numeric field that differs."""
    kinds: dict[int, tuple[Any, ...]] = {id(each): _kind(each) for each in records if each is not None}
    groups: dict[tuple[Any, ...], list[int]] = {}
    for row, record in enumerate(records):
        if record is not None:
            groups.setdefault(kinds[id(record)], []).append(row)
    return [(np.array(rows, dtype=np.intp), _as_one([records[row] for row in rows])) for rows in groups.values()]


def _kind(record: Declared) -> tuple[Any, ...]:
    """What must agree: the class and every field that is not a number."""
    fields = tuple(None if isinstance(value, float) else (value, value is None) for value in values_of(record).values())
    return (type(record), fields)


def _as_one(records: list[Any]) -> Any:
    first = records[0]
    if all(each is first for each in records):
        return first
    values = values_of(first)
    for name, value in values.items():
        column = [each.__dict__[name] for each in records]
        if isinstance(value, float) and any(each != value for each in column):
            values[name] = np.array(column)
    return type(first).model_construct(**values)
