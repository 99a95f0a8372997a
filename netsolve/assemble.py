"""A circuit's rows to arrays: which edge joins which nodes, and stacks of like laws along the edges."""

from __future__ import annotations

from collections.abc import Mapping, Sequence
from dataclasses import dataclass, field, replace
from functools import cached_property
from typing import Any

import numpy as np

from netsolve.arrays.ends import Ends
from netsolve.arrays.inline import Inline
from netsolve.arrays.joints import Joints
from netsolve.arrays.slots import in_rows, stacks
from netsolve.arrays.stack import MOST_IN_TABLE, Floats, Ints, Stack, some_rows
from netsolve.circuit import End, Place, Row
from netsolve.component import Crest
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

    @cached_property
    def incidence(self) -> Floats | None:
        """(edges, nodes) 1 at the source of each edge and -1 at its target; None where that would be a large table."""
        edges, nodes = len(self.edges), len(self.nodes)
        if edges * nodes > MOST_IN_TABLE:
            return None
        table = np.zeros((edges, nodes))
        table[np.arange(edges), self.source] += 1.0
        table[np.arange(edges), self.target] -= 1.0
        return table

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

    @property
    def stacks(self) -> tuple[Stack, ...]:
        """All stacks: those along runs, at their ends, and of joints."""
        return (*self.inline, *self.ends, *self.joints)

    def thinned(self, fluids: Mapping[int, tuple[Floats, Floats]]) -> Network:
        """The same with other water in some stacks, by their place in `stacks`: `density` and `viscosity` of them."""
        thin = [
            replace(each, density=fluids[at][0], viscosity=fluids[at][1]) if at in fluids else each
            for at, each in enumerate(self.stacks)
        ]
        inline, ends = len(self.inline), len(self.inline) + len(self.ends)
        thinner = replace(self, inline=tuple(thin[:inline]), ends=tuple(thin[inline:ends]), joints=tuple(thin[ends:]))
        thinner.kept.update((name, value) for name, value in self.kept.items() if name == "pattern")
        return thinner


def node_of(row: Row, end: End) -> str:
    """The node at which a run ends: a named port has its own, all others share the joint's."""
    joint = row.places[end.joint].joint
    return f"{end.joint}.{end.port}" if joint.paths else end.joint


def assemble(rows: Sequence[Row]) -> Network:
    """The arrays for these rows, which all have the same joints and runs."""
    runs, names = list(rows[0].runs.values()), list(rows[0].runs)
    joints, inline = Joints.of(rows), Inline.of(rows)
    at, nodes = joints.at(runs)
    ends, paths = Ends(names, at, joints), list(joints.through())
    water = _stacked_water([row.water for row in rows])
    level, fixed = joints.levels(water)
    return Network(
        rows=tuple(rows),
        edges=(*names, *(name for name, _, _ in paths)),
        nodes=tuple(joints.nodes),
        source=np.concatenate([nodes[:, 0], np.array([start for _, start, _ in paths], dtype=np.intp)]),
        target=np.concatenate([nodes[:, 1], np.array([stop for _, _, stop in paths], dtype=np.intp)]),
        carries=_carries(rows, names, len(paths)),
        fixed=fixed,
        level=level,
        inflow=joints.inflow(),
        inline=(*stacks(inline.slots), *ends.mouths()),
        ends=ends.stacks(inline),
        joints=joints.split(),
        crests=joints.first_edge[joints.crests],
        crest=_crest_heights(rows, [joints.names[crest] for crest in joints.crests]),
        water=water,
        speed_area=_areas(inline, len(paths)),
    )


def _carries(rows: Sequence[Row], runs: Sequence[str], paths: int) -> np.ndarray:
    """(rows, edges) False where a run is blanked."""
    held = in_rows([row.runs for row in rows], runs)
    blanked = np.array([run.blanked for run in held], dtype=bool).reshape(-1, len(rows))
    return np.concatenate([~blanked, np.ones((paths, len(rows)), dtype=bool)]).T


def _crest_heights(rows: Sequence[Row], crests: Sequence[str]) -> Floats:
    """The height of each crest in every row, (rows, crests) in m."""
    heights = np.array([[_crest(row.places[name]) for name in crests] for row in rows], dtype=float)
    return heights.reshape(len(rows), len(crests))


def _crest(place: Place) -> float:
    works = isinstance(place.joint, Crest) and bool(place.joint.breaks())
    return float(place.height or 0.0) if works else NO_CREST


def _areas(inline: Inline, paths: int) -> Floats:
    """The flow area of each edge, of the first part that has a bore in the first row; 2 cm2 where none has."""
    bores = np.concatenate([inline.inlets[0], np.full(paths, np.nan)])
    return np.where(np.isnan(bores), 2e-4, np.pi / 4 * bores**2)


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
