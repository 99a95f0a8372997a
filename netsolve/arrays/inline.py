"""The parts along runs, as columns, and the bores at the ends of runs that a joint without one borrows from them."""

from __future__ import annotations

from collections.abc import Sequence
from dataclasses import dataclass, field
from functools import cached_property
from itertools import chain
from operator import attrgetter

import numpy as np

from netsolve.arrays.slots import Slots, column, in_rows, places, some
from netsolve.arrays.stack import Floats, Ints, begun
from netsolve.circuit import Row, bore_fields
from netsolve.component import Component


@dataclass(frozen=True)
class Inline:
    """All parts in the order of their runs; `edges` (parts,) says in which. `laws` as `Slots.records`."""

    rows: int
    runs: int
    names: Sequence[str]
    edges: Ints
    laws: Sequence[Component]
    weights: Floats
    _numbers: dict[tuple[type[Component], str], Floats] = field(default_factory=dict, init=False, compare=False)

    @classmethod
    def of(cls, rows: Sequence[Row]) -> Inline:
        """The parts of these rows, which all have the same ones."""
        held = [run.parts for run in rows[0].runs.values()]
        names = list(chain.from_iterable(held))
        parts = in_rows([row.parts for row in rows], names)
        return cls(
            rows=len(rows),
            runs=len(held),
            names=names,
            edges=np.repeat(np.arange(len(held)), list(map(len, held))),
            laws=list(map(attrgetter("component"), parts)),
            weights=column(parts, "count", len(rows)) * column(parts, "fitted", len(rows)),
        )

    @property
    def slots(self) -> Slots:
        """Those that are fitted in any row."""
        kept = np.flatnonzero(self.weights.any(axis=0))
        return Slots(self.names, self.edges[None], self.laws, self.weights, np.ones(len(self.names))).among(kept)

    @cached_property
    def inlets(self) -> Floats:
        """The bore of the first part of each run that has one there, (rows, runs) in m; nan where none has."""
        bores = self._bores(outlet=False)
        at = np.where(np.isnan(bores), len(self.names), np.arange(len(self.names)))
        return self._held(bores, np.minimum, at, len(self.names))

    @cached_property
    def outlets(self) -> Floats:
        """The same of the last part of each run, at its outlet."""
        bores = self._bores(outlet=True)
        return self._held(bores, np.maximum, np.where(np.isnan(bores), -1, np.arange(len(self.names))), -1)

    def bores(self, runs: Ints, signs: Floats) -> Floats:
        """The bores (rows, ends) at the sources (1) or targets (-1) of these runs; nan where no part has one."""
        return np.where(signs > 0, self.inlets[:, runs], self.outlets[:, runs])

    def _held(self, bores: Floats, foremost: np.ufunc, at: Ints, none: int) -> Floats:
        """The bores of the foremost parts of each run, which stand at these places; `none` says that there is none."""
        found = np.full((self.rows, self.runs), np.nan)
        if len(self.names):
            holding, starts = begun(self.edges)
            place = foremost.reduceat(at, starts, axis=1)
            taken = np.take_along_axis(bores, np.where(place == none, 0, place), axis=1)
            found[:, holding] = np.where(place == none, np.nan, taken)
        return found

    def _bores(self, *, outlet: bool) -> Floats:
        """The bore of each part at its inlet or outlet, (rows, parts) in m; nan where it has none."""
        bores = np.full(len(self.laws), np.nan)
        for kind, at in places(map(type, self.laws)).items():
            for name in reversed(bore_fields(kind, outlet=outlet)):
                written = self._written(kind, at, name)
                bores[at] = np.where(np.isnan(written), bores[at], written)
        return bores.reshape(-1, self.rows).T

    def _written(self, kind: type[Component], at: Ints, name: str) -> Floats:
        """The numbers in a field of the parts of a kind, which stand at these places; nan where there is none."""
        if (kind, name) not in self._numbers:
            values = list(map(attrgetter(name), some(self.laws, at)))
            if not set(map(type, values)) <= {float, type(None)}:
                values = [value if isinstance(value, float) else None for value in values]
            self._numbers[kind, name] = np.array(values, dtype=float)
        return self._numbers[kind, name]
