"""The quadratic laws of all edges, added up once for a solve: what is left of many parts is a few numbers an edge."""

from __future__ import annotations

from collections.abc import Iterable, Sequence
from dataclasses import dataclass, replace
from functools import cached_property

import numpy as np

from netsolve.arrays.stack import Floats, Ints, Stack, Sums, columns_of, every, side_by_side, some_columns, some_rows
from netsolve.laws.quadratic import Quadratic

FIELDS = ("constant", "linear", "square", "linear_back", "square_back", "least")


@dataclass(frozen=True)
class Powers:
    """Laws c + b q + a q max(|q|, least), two-sided, at some edges; arrays (1, laws) or (rows, laws)."""

    edges: Ints
    constant: Floats
    linear: Floats
    square: Floats
    linear_back: Floats
    square_back: Floats
    least: Floats

    def take(self, rows: Ints) -> Powers:
        """The laws in some of the rows."""
        values = {name: getattr(self, name) for name in FIELDS}
        return replace(self, **{name: some_rows(value, rows) for name, value in values.items() if len(value) > 1})

    def among(self, place: Ints) -> Powers:
        """The laws at edges that have a place among some (-1: none), there."""
        kept = (place[self.edges] >= 0).nonzero()[0]
        values = {name: columns_of(getattr(self, name), kept) for name in FIELDS}
        return Powers(edges=place[self.edges[kept]], **values)

    @cached_property
    def _sums(self) -> Sums:
        return Sums(self.edges)

    def add(self, drop: Floats, flow: Floats, slope: Floats | None = None) -> None:
        """Add what the laws take at a flow, all (rows, edges), and how steeply that rises."""
        through = some_columns(flow, self.edges)
        ahead, size = through > 0, np.abs(through)
        linear, square = self.linear, self.square
        if not every(ahead):
            linear, square = np.where(ahead, linear, self.linear_back), np.where(ahead, square, self.square_back)
        most = np.maximum(size, self.least)
        self._sums.add(drop, self.constant + through * (linear + square * most))
        if slope is not None:
            self._sums.add(slope, linear + square * (most + size * (size > self.least)))


def powers(pairs: Iterable[tuple[Stack, Quadratic]], *, few: bool) -> tuple[Powers, ...]:
    """The laws of the stacks: those without a least flow added up for each edge, the others each at its own.

    Where there are few rows, so that a call costs more than what it works out, all are in one.
    """
    laws = [_of(stack, quadratic) for stack, quadratic in pairs]
    plain = [law for law in laws if not law.least.any()]
    held = [law for law in laws if law.least.any()]
    found = []
    if plain:
        found.append(_summed(_joined(plain)))
    if held:
        found.append(_joined(held))
    if few and len(found) > 1:
        found = [_joined(found)]
    return tuple(found)


def _of(stack: Stack, quadratic: Quadratic) -> Powers:
    """A stack's laws, weighted and counted along the edges."""
    linear, square, linear_back, square_back = quadratic.sides()
    ahead = stack.signs > 0
    sided = (
        stack.signs * quadratic.constant,
        np.where(ahead, linear, linear_back),
        np.where(ahead, square, square_back),
        np.where(ahead, linear_back, linear),
        np.where(ahead, square_back, square),
    )
    zero = np.zeros(len(stack.names))
    values = {name: stack.weighted(each + zero) for name, each in zip(FIELDS, sided, strict=False)}
    return Powers(edges=stack.edges[0], least=quadratic.least + zero, **values)


def _joined(laws: Sequence[Powers]) -> Powers:
    values = {name: side_by_side([getattr(law, name) for law in laws]) for name in FIELDS}
    return Powers(edges=np.concatenate([law.edges for law in laws]), **values)


def _summed(laws: Powers) -> Powers:
    """The laws of each edge added up to one; they have no least flow."""
    order = np.argsort(laws.edges, kind="stable")
    edges, starts = np.unique(laws.edges[order], return_index=True)
    values = {
        name: np.asfortranarray(np.add.reduceat(getattr(laws, name)[..., order], starts, axis=-1)) for name in FIELDS
    }
    return Powers(edges=edges, **values)
