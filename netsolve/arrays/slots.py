"""Laws in their edges, as columns: gathered from the records of parts and joints, and grouped into stacks of like ones.

Every field is taken from all records in one pass: in a circuit of very many parts the time goes into Python objects.
"""

from __future__ import annotations

from collections.abc import Hashable, Iterable, Mapping, Sequence
from dataclasses import dataclass
from operator import attrgetter, itemgetter
from typing import Any

import numpy as np

from netsolve.arrays.stack import Floats, Ints, Stack, begun
from netsolve.contract.declare import Declared


@dataclass(frozen=True)
class Slots:
    """Laws under the names that they are reported by, in the order of their edges.

    edges: (paths, slots); a joint with paths lies in several at once. records: those of the first slot in every row,
    then those of the second, and so on. weights: (rows, slots), 0 where it is bypassed, else how many there are alike.
    signs: (slots,), -1 where the law counts flow against the edge.
    """

    names: Sequence[str]
    edges: Ints
    records: Sequence[Declared]
    weights: Floats
    signs: Floats

    def among(self, kept: Ints) -> Slots:
        """Some of the slots, in their order."""
        records = of_slots(self.records, kept, len(self.weights))
        return Slots(some(self.names, kept), self.edges[:, kept], records, self.weights[:, kept], self.signs[kept])


def in_rows(held: Sequence[Mapping[str, Any]], names: Sequence[str]) -> list[Any]:
    """What each row holds under every name, in the order of `Slots.records`."""
    if len(held) == 1 and list(held[0]) == names:  # a look-up of each of very many names is most of the work
        return list(held[0].values())
    return [one[name] for name in names for one in held]


def of_slots(records: Sequence[Any], slots: Ints, rows: int) -> Sequence[Any]:
    """The records of some slots, in every row, which need be neither in their order nor each once."""
    return [records[place] for place in (slots[:, None] * rows + np.arange(rows)).ravel().tolist()]


def column(records: Iterable[Any], field: str, rows: int) -> Floats:
    """A number of each record, (rows, slots), the records in the order of `Slots.records`; nan where it has none."""
    return np.array(list(map(attrgetter(field), records)), dtype=float).reshape(-1, rows).T


def squeezed(values: Floats) -> Floats:
    """Values (rows, slots), or (slots,) where no row differs."""
    return values[0] if len(values) == 1 or (values == values[0]).all() else values


def places(keys: Iterable[Hashable]) -> Mapping[Any, Ints]:
    """Where each key stands among the keys."""
    told = list(keys)
    numbers = {key: number for number, key in enumerate(dict.fromkeys(told))}
    if len(numbers) < 2:
        return {key: np.arange(len(told)) for key in numbers}
    which = np.array([numbers[key] for key in told], dtype=np.intp)
    borders = np.cumsum(np.bincount(which, minlength=len(numbers)))[:-1]
    return dict(zip(numbers, np.split(np.argsort(which, kind="stable"), borders), strict=True))


def some(items: Sequence[Any], at: Ints) -> Sequence[Any]:
    """The items at these places, in their order and each once: the sequence itself where these are all of it."""
    return items if len(at) == len(items) else [items[place] for place in at.tolist()]


def stacks(slots: Slots) -> tuple[Stack, ...]:
    """The slots grouped into stacks; a slot whose kind differs between rows stands once for each kind."""
    found = []
    for kind, at in places(map(type, slots.records)).items():
        records = some(slots.records, at)
        held = list(map(vars, records))  # quicker than to ask each record for each field
        fields = {name: list(map(itemgetter(name), held)) for name in kind.model_fields}
        unsure = [name for name, field in kind.model_fields.items() if field.annotation is not float]
        told = [words for words in (_words(fields[name]) for name in unsure) if words]
        groups = list(places(zip(*told, strict=True)).values()) if told else [np.arange(len(at))]
        for among in groups:
            found.append(_stack(slots, at[among], {name: some(values, among) for name, values in fields.items()}))
    return tuple(found)


def _words(values: list[Any]) -> list[Hashable]:
    """What must agree within a stack, of one field of every record: all that is not a number; empty where it does."""
    kinds = set(map(type, values))
    if all(issubclass(kind, float) for kind in kinds) or (len(kinds) == 1 and values.count(values[0]) == len(values)):
        return []
    return [None if isinstance(value, float) else (value, value is None) for value in values]


def _stack(slots: Slots, at: Ints, fields: Mapping[str, Sequence[Any]]) -> Stack:
    """The stack of the records at these places, which are sorted, with what their fields hold.

    In rows where a slot has another kind, a record of no weight stands in.
    """
    rows = len(slots.weights)
    kept, first = begun(at // rows)
    own = np.repeat(np.arange(len(kept)), np.diff(first, append=len(at)))
    chosen, weights = np.repeat(first, rows).reshape(-1, rows), np.zeros((rows, len(kept)), order="F")
    chosen[own, at % rows] = np.arange(len(at))
    weights[at % rows, own] = slots.weights[at % rows, kept[own]]
    kind, edges = type(slots.records[at[0]]), slots.edges[:, kept]
    values: dict[str, Any] = {
        name: squeezed(np.array(held, dtype=float)[chosen].T) if isinstance(held[0], float) else held[0]
        for name, held in fields.items()
    }
    unique, starts = begun(edges[0])
    return Stack(
        names=tuple(some(slots.names, kept)),
        record=kind.model_construct(**values),
        edges=edges,
        weights=squeezed(weights),
        signs=slots.signs[kept],
        starts=starts,
        unique=unique,
    )
