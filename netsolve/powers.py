"""The quadratic laws of all edges, added up once for a solve: what is left of many parts is a few numbers an edge."""

from __future__ import annotations

from collections.abc import Iterable, Sequence
from dataclasses import dataclass, replace

import numpy as np

from netsolve.quadratic import Quadratic
from netsolve.stack import Floats, Ints, Stack, add_at, repeated, some_rows

FIELDS = ("constant", "linear", "square", "linear_back", "square_back", "least")


@dataclass(frozen=True)
class Powers:
    """Laws c + b q + a q max(|q|, least), two-sided, at some edges; arrays (laws,) or (rows, laws)."""

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
        return replace(self, **{name: some_rows(value, rows) for name, value in values.items() if value.ndim == 2})

    def add(self, total: Floats, values: Floats) -> None:
        """Add values (rows, laws) to a total (rows, edges), each to its law's edge."""
        add_at(total, self.edges, values)

    def drops(self, flow: Floats) -> Floats:
        """What each law takes, Pa: (rows, laws)."""
        through = flow[:, self.edges]
        forward = through > 0
        held = np.maximum(np.abs(through), self.least)
        linear = np.where(forward, self.linear, self.linear_back)
        square = np.where(forward, self.square, self.square_back)
        lost: Floats = self.constant + through * (linear + square * held)
        return lost

    def slopes(self, flow: Floats) -> Floats:
        """The derivative of each law, Pa s/m3: (rows, laws)."""
        through = flow[:, self.edges]
        forward, size = through > 0, np.abs(through)
        power = np.where(size > self.least, 2.0 * size, self.least)
        linear = np.where(forward, self.linear, self.linear_back)
        slopes: Floats = linear + np.where(forward, self.square, self.square_back) * power
        return slopes


def powers(pairs: Iterable[tuple[Stack, Quadratic]], edges: int) -> tuple[Powers, ...]:
    """The laws of the stacks: those without a least flow added up for each edge, the others each at its own."""
    laws = [_of(stack, quadratic) for stack, quadratic in pairs]
    plain = [law for law in laws if not law.least.any()]
    held = [law for law in laws if law.least.any()]
    found = []
    if plain:
        found.append(_summed(_joined(plain)))
    if held:
        found.append(_joined(held))
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
    values = {name: _side_by_side([getattr(law, name) for law in laws]) for name in FIELDS}
    return Powers(edges=np.concatenate([law.edges for law in laws]), **values)


def _summed(laws: Powers) -> Powers:
    """The laws of each edge added up to one; they have no least flow."""
    order = np.argsort(laws.edges, kind="stable")
    edges, starts = np.unique(laws.edges[order], return_index=True)
    values = {
        name: np.asfortranarray(np.add.reduceat(getattr(laws, name)[..., order], starts, axis=-1)) for name in FIELDS
    }
    return Powers(edges=edges, **values)


def _side_by_side(columns: Sequence[Floats]) -> Floats:
    rows = max((len(each) for each in columns if each.ndim == 2), default=0)
    if not rows:
        return np.concatenate(columns)
    return np.asfortranarray(np.concatenate([each if each.ndim == 2 else repeated(each, rows) for each in columns], axis=1))
