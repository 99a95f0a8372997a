"""A circuit's rows to arrays: which edge joins which nodes, and stacks of like laws along the edges."""

from __future__ import annotations

from collections.abc import Iterator, Sequence
from dataclasses import dataclass, field, replace
from functools import cached_property
from typing import Any

import numpy as np

from netsolve.arrays.openings import bore_at, end_slots, mouth_slots, opening_level
from netsolve.arrays.stack import Floats, Ints, Slot, Stack, some_rows, stacks
from netsolve.circuit import End, Place, Row
from netsolve.component import Crest, Opening
from netsolve.water import Water

NO_CREST = -np.inf
"""m: the height of a crest whose vent does not work; the water always stands above it."""


@dataclass(frozen=True)
class Network:
    """The arrays of a circuit. The runs are the first edges, the paths of joints the others.

    source, target: node of each edge (edges,). carries: (rows, edges), False where a run is blanked.
    fixed: (nodes,) True at openings; level: (rows, nodes) the total pressure + ρ g z there, Pa.
    crests: the edges that are crests; crest: (rows, crests) their height, m, NO_CREST where there is none.
    inflow: (rows, nodes) m3/s. inline, ends: stacks of one path; joints: stacks of joints with paths.
    water: fields scalar or (rows, 1). `speed_area`: (edges,) m2, where a flow of 1 m/s is meant.
    `kept`: what a later step worked out from the others and would have to work out again.
    """

    rows: Sequence[Row]
    edges: tuple[str, ...]
    nodes: tuple[str, ...]
    source: Ints
    target: Ints
    carries: np.ndarray
    fixed: np.ndarray
    level: Floats
    inflow: Floats
    inline: tuple[Stack, ...]
    ends: tuple[Stack, ...]
    joints: tuple[Stack, ...]
    crests: Ints
    crest: Floats
    water: Water
    speed_area: Floats
    kept: dict[str, Any] = field(default_factory=dict, init=False, repr=False, compare=False)

    @cached_property
    def node_index(self) -> dict[str, int]:
        """The place of each node by its name."""
        return {name: index for index, name in enumerate(self.nodes)}

    @cached_property
    def edge_index(self) -> dict[str, int]:
        """The place of each edge by its name."""
        return {name: index for index, name in enumerate(self.edges)}

    @property
    def count(self) -> int:
        """How many rows there are."""
        return len(self.carries)

    def take(self, rows: Ints) -> Network:
        """The arrays of some of the rows."""
        return replace(
            self,
            rows=tuple(self.rows[row] for row in rows) if self.rows else (),
            carries=some_rows(self.carries, rows),
            level=some_rows(self.level, rows),
            inflow=some_rows(self.inflow, rows),
            inline=tuple(stack.take(rows) for stack in self.inline),
            ends=tuple(stack.take(rows) for stack in self.ends),
            joints=tuple(stack.take(rows) for stack in self.joints),
            crest=some_rows(self.crest, rows),
            water=water_of(self.water, rows),
        )


def node_of(row: Row, end: End) -> str:
    """The node at which a run ends: a named port has its own, all others share the joint's."""
    joint = row.places[end.joint].joint
    return f"{end.joint}.{end.port}" if joint.paths else end.joint


def assemble(rows: Sequence[Row]) -> Network:
    """The arrays for these rows, which all have the same joints and runs."""
    first = rows[0]
    nodes = list(dict.fromkeys(_nodes(first)))
    index = {name: place for place, name in enumerate(nodes)}
    paths = [(name, path) for name, place in first.places.items() for path in place.joint.paths]
    ends = [(node_of(first, run.source), node_of(first, run.target)) for run in first.runs.values()]
    ends += [(f"{name}.{start}", f"{name}.{stop}") for name, (start, stop) in paths]
    edges = [*first.runs, *(f"{name}: {start} to {stop}" for name, (start, stop) in paths)]
    carries = np.ones((len(rows), len(edges)), dtype=bool, order="F")
    for place, name in enumerate(first.runs):
        carries[:, place] = [not row.runs[name].blanked for row in rows]
    water = _stacked_water([row.water for row in rows])
    level, fixed = _levels(rows, index)
    return Network(
        rows=tuple(rows),
        edges=tuple(edges),
        nodes=tuple(nodes),
        source=np.array([index[start] for start, _ in ends], dtype=np.intp),
        target=np.array([index[stop] for _, stop in ends], dtype=np.intp),
        carries=carries,
        fixed=fixed,
        level=level,
        inflow=_inflow(rows, index),
        inline=stacks([*_inline(rows), *mouth_slots(rows)]),
        ends=stacks(end_slots(rows)),
        joints=stacks(_joints(rows, len(first.runs))),
        crests=_crest_edges(first),
        crest=_crest_heights(rows),
        water=water,
        speed_area=_areas(first, len(edges)),
    )


def _nodes(row: Row) -> Iterator[str]:
    for name, place in row.places.items():
        if place.joint.paths:
            yield from (f"{name}.{port}" for port in place.joint.ports)
        else:
            yield name


def _inline(rows: Sequence[Row]) -> Iterator[Slot]:
    for edge, run in enumerate(rows[0].runs.values()):
        for name in run.parts:
            parts = [row.parts[name] for row in rows]
            weights = [float(part.count) if part.fitted else 0.0 for part in parts]
            if any(weights):
                yield Slot(name, (edge,), [part.component for part in parts], weights)


def _joints(rows: Sequence[Row], first_edge: int) -> Iterator[Slot]:
    edge = first_edge
    for name, place in rows[0].places.items():
        count = len(place.joint.paths)
        if count and not isinstance(place.joint, Crest):
            records = [row.places[name].joint for row in rows]
            yield Slot(name, tuple(range(edge, edge + count)), records, [1.0] * len(rows))
        edge += count


def _crest_edges(row: Row) -> Ints:
    edges, edge = [], len(row.runs)
    for place in row.places.values():
        edges += [edge] if isinstance(place.joint, Crest) else []
        edge += len(place.joint.paths)
    return np.array(edges, dtype=np.intp)


def _crest_heights(rows: Sequence[Row]) -> Floats:
    """The height of each crest in every row, (rows, crests) in m."""
    crests = [[place for place in row.places.values() if isinstance(place.joint, Crest)] for row in rows]
    return np.array([[_crest(place) for place in places] for places in crests], dtype=float)


def _crest(place: Place) -> float:
    works = isinstance(place.joint, Crest) and bool(place.joint.breaks())
    return float(place.height or 0.0) if works else NO_CREST


def _levels(rows: Sequence[Row], index: dict[str, int]) -> tuple[Floats, np.ndarray]:
    level = np.zeros((len(rows), len(index)), order="F")
    fixed = np.zeros(len(index), dtype=bool)
    for name, place in rows[0].places.items():
        if isinstance(place.joint, Opening):
            fixed[index[name]] = True
            level[:, index[name]] = [opening_level(row.places[name].joint, row.water) for row in rows]
    return level, fixed


def _inflow(rows: Sequence[Row], index: dict[str, int]) -> Floats:
    inflow = np.zeros((len(rows), len(index)), order="F")
    for name, place in rows[0].places.items():
        if not place.joint.paths:
            inflow[:, index[name]] = [float(row.places[name].joint.inflow()) for row in rows]
    return inflow


def _areas(row: Row, edges: int) -> Floats:
    """The flow area of each edge, of the first part that has a bore; 2 cm2 where none has."""
    areas = np.full(edges, 2e-4)
    for edge, run in enumerate(row.runs.values()):
        bores = (bore_at(row, name, outlet=False) for name in run.parts)
        bore = next((each for each in bores if each is not None), None)
        if bore is not None:
            areas[edge] = np.pi / 4 * bore**2
    return areas


def _stacked_water(waters: list[Water]) -> Water:
    if len(set(map(id, waters))) == 1:
        return waters[0]
    fields = Water.__dataclass_fields__
    return Water(**{name: np.array([[getattr(water, name)] for water in waters], dtype=float) for name in fields})


def water_of(water: Water, rows: Ints) -> Water:
    """The water in some of the rows."""
    if np.ndim(water.density) == 0:
        return water
    return Water(**{name: getattr(water, name)[rows] for name in Water.__dataclass_fields__})
