"""The joints of rows as columns: their nodes and paths, and what they hold, feed in and cost."""

from __future__ import annotations

from collections.abc import Callable, Iterator, Sequence
from dataclasses import dataclass
from functools import cached_property
from operator import attrgetter

import numpy as np

from netsolve.arrays.openings import costs_nothing, opening_level
from netsolve.arrays.slots import Slots, in_rows, of_slots, some, stacks
from netsolve.arrays.stack import Floats, Ints, Stack
from netsolve.circuit import Row, Run
from netsolve.component import Crest, Joint, Opening
from netsolve.water import Water


@dataclass(frozen=True)
class Joints:
    """`laws` as `Slots.records`. A joint without paths has one node, another one for each port.

    names, kinds, paths: name, class and number of paths of each joint. nodes: their names, in the order of the joints;
    first_node, first_edge: (joints,) where those of each begin.
    """

    rows: int
    names: Sequence[str]
    laws: Sequence[Joint]
    kinds: Sequence[type[Joint]]
    paths: Ints
    nodes: Sequence[str]
    first_node: Ints
    first_edge: Ints

    @classmethod
    def of(cls, rows: Sequence[Row]) -> Joints:
        """The joints of these rows, which all have the same ones."""
        names = list(rows[0].places)
        laws = list(map(attrgetter("joint"), in_rows([row.places for row in rows], names)))
        kinds: list[type[Joint]] = list(map(type, laws[:: len(rows)]))
        ports = {kind: kind.ports if kind.paths else ("",) for kind in set(kinds)}
        paths, counts = _numbers(kinds, lambda kind: len(kind.paths)), _numbers(kinds, lambda kind: len(ports[kind]))
        nodes = names
        if paths.any():
            nodes = [
                f"{name}.{port}" if port else name
                for name, kind in zip(names, kinds, strict=True)
                for port in ports[kind]
            ]
        first_edge = len(rows[0].runs) + np.cumsum(paths) - paths
        return cls(len(rows), names, laws, kinds, paths, nodes, np.cumsum(counts) - counts, first_edge)

    @cached_property
    def _index(self) -> dict[str, int]:
        return {name: joint for joint, name in enumerate(self.names)}

    def at(self, runs: Sequence[Run]) -> tuple[Ints, Ints]:
        """The joints and the nodes at which each run has its source and its target, by number: (runs, 2)."""
        names = [end.joint for run in runs for end in (run.source, run.target)]
        joints = np.fromiter(map(self._index.__getitem__, names), dtype=np.intp, count=len(names))
        nodes = self.first_node[joints]
        for place in np.flatnonzero(self.paths[joints]).tolist():
            run = runs[place // 2]
            port = (run.target if place % 2 else run.source).port
            nodes[place] += self.kinds[joints[place]].ports.index(port)
        return joints.reshape(-1, 2), nodes.reshape(-1, 2)

    def through(self) -> Iterator[tuple[str, int, int]]:
        """Name of each path, and the nodes between which it lies."""
        for joint in np.flatnonzero(self.paths).tolist():
            node = {port: self.first_node[joint] + place for place, port in enumerate(self.kinds[joint].ports)}
            for start, stop in self.kinds[joint].paths:
                yield f"{self.names[joint]}: {start} to {stop}", node[start], node[stop]

    @cached_property
    def crests(self) -> Ints:
        """Those that the water goes over."""
        over = {kind: issubclass(kind, Crest) for kind in set(self.kinds)}
        return np.flatnonzero([over[kind] for kind in self.kinds])

    def _slots(self, joints: Ints, edges: Ints) -> Slots:
        """Some of them, in these edges."""
        every = np.ones((self.rows, len(joints)))
        return Slots(some(self.names, joints), edges, of_slots(self.laws, joints, self.rows), every, every[0])

    def split(self) -> tuple[Stack, ...]:
        """Those with paths, but for crests, in stacks of as many paths."""
        split = self.paths.copy()
        split[self.crests] = 0
        found: list[Stack] = []
        for count in np.unique(split[split > 0]).tolist():
            joints = np.flatnonzero(split == count)
            found += stacks(self._slots(joints, self.first_edge[joints] + np.arange(count)[:, None]))
        return tuple(found)

    @cached_property
    def whole(self) -> tuple[Stack, ...]:
        """Those without paths, in stacks whose `edges` are the numbers of the joints."""
        joints = np.flatnonzero(self.paths == 0)
        return stacks(self._slots(joints, joints[None]))

    def levels(self, water: Water) -> tuple[Floats, np.ndarray]:
        """The level of each node, (rows, nodes) in Pa, and at which nodes one is held."""
        level, fixed = np.zeros((self.rows, len(self.nodes)), order="F"), np.zeros(len(self.nodes), dtype=bool)
        for stack in self.whole:
            if isinstance(stack.record, Opening):
                nodes = self.first_node[stack.edges[0]]
                fixed[nodes] = True
                level[:, nodes] += stack.weighted(np.asarray(opening_level(stack.record, water)))
        return level, fixed

    @cached_property
    def costly(self) -> np.ndarray:
        """(joints,) whether a run may lose pressure at its end there."""
        costly = np.zeros(len(self.names), dtype=bool)
        for stack in self.whole:
            if not costs_nothing(stack.record):
                costly[stack.edges[0]] = True
        return costly

    def inflow(self) -> Floats:
        """What is fed in at each node, (rows, nodes) in m3/s."""
        inflow = np.zeros((self.rows, len(self.nodes)), order="F")
        inflow[:, self.first_node] = self._answers("inflow", Joint)
        return inflow

    @cached_property
    def one_way(self) -> Floats:
        """(rows, joints) 1 where water can only leave."""
        return self._answers("one_way", Opening)

    def _answers(self, hook: str, base: type[Joint]) -> Floats:
        """What joints without paths answer, (rows, joints); 0 for all that have what the base class says."""
        own = {
            kind
            for kind in set(self.kinds)
            if issubclass(kind, base) and not kind.paths and getattr(kind, hook) is not getattr(base, hook)
        }
        if not own:
            return np.zeros((self.rows, len(self.names)))
        asked = {id(law): law for law in self.laws if type(law) in own}
        answers = {key: float(getattr(law, hook)()) for key, law in asked.items()}
        return np.array([answers.get(id(law), 0.0) for law in self.laws]).reshape(-1, self.rows).T


def _numbers(kinds: Sequence[type[Joint]], ask: Callable[[type[Joint]], int]) -> Ints:
    """What is asked of each kind, once for all that are alike."""
    told = {kind: ask(kind) for kind in set(kinds)}
    return np.fromiter(map(told.__getitem__, kinds), dtype=np.intp, count=len(kinds))
