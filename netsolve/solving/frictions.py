"""The friction of all pipes: one record for the straight ones, one for the coiled, whatever parts they belong to."""

from __future__ import annotations

from collections.abc import Iterable, Sequence
from dataclasses import dataclass, fields, replace
from functools import cached_property
from typing import Any

import numpy as np

from netsolve.arrays.stack import Floats, Ints, Stack, Sums, columns_of, side_by_side, some_columns, some_rows
from netsolve.laws.friction import Friction


@dataclass(frozen=True)
class Frictions:
    """Friction at some edges; the arrays of `law` are (1, laws) or (rows, laws). It is alike in both directions."""

    edges: Ints
    law: Friction

    def take(self, rows: Ints) -> Frictions:
        """The friction in some of the rows."""
        values = {
            name: some_rows(value, rows) for name, value in self._values() if value is not None and len(value) > 1
        }
        return replace(self, law=replace(self.law, **values))

    def among(self, place: Ints) -> Frictions:
        """The friction at edges that have a place among some (-1: none), there."""
        kept = (place[self.edges] >= 0).nonzero()[0]
        values = {name: columns_of(value, kept) for name, value in self._values()}
        return Frictions(place[self.edges[kept]], Friction(**values))

    def _values(self) -> Iterable[tuple[str, Any]]:
        return ((each.name, getattr(self.law, each.name)) for each in fields(self.law))

    @cached_property
    def _sums(self) -> Sums:
        return Sums(self.edges)

    def add(self, drop: Floats, flow: Floats, slope: Floats | None = None) -> None:
        """Add what it takes at a flow, all (rows, edges), and how steeply that rises."""
        lost, steep = self.law.drop_and_slope(some_columns(flow, self.edges))
        self._sums.add(drop, np.asarray(lost))
        if slope is not None:
            self._sums.add(slope, np.asarray(steep))


def frictions(pairs: Iterable[tuple[Stack, Friction]], *, few: bool) -> tuple[Frictions, ...]:
    """The friction of the stacks, the straight ones side by side, and the coiled ones.

    Where there are few rows, so that a call costs more than what it works out, the straight ones are taken for coils
    without curvature and are one with the others.
    """
    straight: list[tuple[Stack, Friction]] = []
    coiled: list[tuple[Stack, Friction]] = []
    for stack, law in pairs:
        (straight if law.curvature is None else coiled).append((stack, law))
    if few and straight and coiled:
        coiled += [(stack, replace(law, curvature=0.0)) for stack, law in straight]
        straight = []
    return tuple(_joined(some) for some in (straight, coiled) if some)


def _joined(pairs: Sequence[tuple[Stack, Friction]]) -> Frictions:
    names = [each.name for each in fields(Friction) if getattr(pairs[0][1], each.name) is not None]
    columns: dict[str, list[Floats]] = {name: [] for name in names}
    for stack, law in pairs:
        weighted = {name: getattr(law, name) + np.zeros(len(stack.names)) for name in names}
        weighted["laminar"] = stack.weighted(weighted["laminar"])
        for name in names:
            columns[name].append(weighted[name])
    values = {name: side_by_side(each) for name, each in columns.items()}
    return Frictions(np.concatenate([stack.edges[0] for stack, _ in pairs]), Friction(**values))
