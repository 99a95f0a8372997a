"""The curves of all edges in some rows: drops, conductances, and the differences and sums over the graph."""

from __future__ import annotations

from collections.abc import Iterator, Sequence
from dataclasses import dataclass, replace
from functools import cached_property

import numpy as np

from netsolve.arrays.stack import Floats, Ints, Stack, Sums, some_columns, some_rows
from netsolve.assemble import Network, water_of
from netsolve.solving.curves import STUB, Curves, end_terms, joint_terms, part_terms, through_paths
from netsolve.water import GRAVITY, Water

SILL = 1e3
"""Pa s/m3: the resistance of a crest to water that goes over it."""

BELOW = 1e-14
"""m3/s/Pa: what is left of a crest's conductance while the water stands below it."""


FEW = 100
"""Numbers up to which a call of numpy costs more than what it works out."""


@dataclass(frozen=True)
class Conductance:
    """How flows answer, (rows, edges): to the pressure at the source, at the target, to an energy left over.

    The three are alike but for crests. `coupled` (rows, couplings) is what an edge answers to another of its joint.
    """

    source: Floats
    target: Floats
    own: Floats
    coupled: Floats


@dataclass(frozen=True)
class Law:
    """A network's curves for some of its rows; every method takes and gives arrays (rows, edges) or (rows, nodes).

    `rows` says which they are, None for all; `own` are the curves of edges by themselves.
    """

    network: Network
    rows: Ints | None
    own: Curves
    joints: tuple[Stack, ...]
    carries: np.ndarray
    inflow: Floats
    crest: Floats
    water: Water
    sill: float = SILL

    @classmethod
    def of(cls, network: Network) -> Law:
        """The curves for all rows."""
        return cls(
            network=network,
            rows=None,
            own=Curves.of(network),
            joints=network.joints,
            carries=network.carries,
            inflow=network.inflow,
            crest=network.crest * (network.water.density * GRAVITY),
            water=network.water,
        )

    def take(self, rows: Ints) -> Law:
        """The curves for some of the rows, in their order and each once: the same law where these are all."""
        if len(rows) == len(self.carries):
            return self
        return replace(
            self,
            rows=rows if self.rows is None else self.rows[rows],
            own=self.own.take(rows),
            joints=tuple(stack.take(rows) for stack in self.joints),
            carries=some_rows(self.carries, rows),
            inflow=some_rows(self.inflow, rows),
            crest=some_rows(self.crest, rows),
            water=water_of(self.water, rows),
        )

    @cached_property
    def inline(self) -> tuple[Stack, ...]:
        """The stacks of all parts, whatever the form of their laws."""
        return tuple(each if self.rows is None else each.take(self.rows) for each in self.network.inline)

    @cached_property
    def ends(self) -> tuple[Stack, ...]:
        """The stacks of all ends of runs, whatever the form of their laws."""
        return tuple(each if self.rows is None else each.take(self.rows) for each in self.network.ends)

    @cached_property
    def alone(self) -> np.ndarray:
        """(edges,) False for the paths of joints, whose curves are not of their own flow alone."""
        alone = np.ones(len(self.network.edges), dtype=bool)
        for stack in self.joints:
            alone[stack.edges] = False
        alone[self.network.crests] = False
        return alone

    @cached_property
    def lone(self) -> np.ndarray:
        """(rows, edges) True where an edge carries by a curve of its own flow alone."""
        return np.asarray(self.carries & self.alone)

    def lone_curves(self, wanted: np.ndarray) -> tuple[Ints, Curves]:
        """The curves of the lone edges that are wanted (rows, edges) in any row, and which edges these are.

        All lone ones where they are few numbers, which are worked out as quickly as fewer.
        """
        if wanted.size <= FEW:
            return self._lone_curves
        edges = np.flatnonzero(wanted.any(axis=0))
        return edges, self.own.among(edges, wanted.shape[1])

    @cached_property
    def _lone_curves(self) -> tuple[Ints, Curves]:
        edges = np.flatnonzero(self.alone)
        return edges, self.own.among(edges, len(self.alone))

    def drops(self, flow: Floats) -> Floats:
        """The total pressure that each edge loses, Pa."""
        return self.joined(flow, self.own.lost(flow))

    def curves(self, flow: Floats) -> tuple[Floats, Floats]:
        """The total pressure that each edge loses, Pa, and how steeply that rises, without joints and crests."""
        drop, slope = self.own.at(flow)
        return self.joined(flow, drop), slope

    def joined(self, flow: Floats, drop: Floats) -> Floats:
        """What edges lose by themselves, made to what they lose with the joints and crests; `drop` is used up."""
        for stack in self.joints:
            drop[:, stack.edges] += joint_terms(stack, flow, self.water).swapaxes(0, 1)
        if len(self.network.crests):
            drop[:, self.network.crests] = self.sill * flow[:, self.network.crests]
        return drop

    def largest(self, flow: Floats) -> Floats:
        """The largest single term in what each edge loses, Pa."""
        largest = np.abs(STUB * flow)
        for stack, terms in self._terms(flow):
            stack.raise_to(largest, np.abs(terms))
        for stack in self.joints:
            lost = np.abs(np.moveaxis(joint_terms(stack, flow, self.water), 0, 1))
            largest[:, stack.edges] = np.maximum(largest[:, stack.edges], lost)
        return largest

    def _terms(self, flow: Floats) -> Iterator[tuple[Stack, Floats]]:
        yield from ((stack, part_terms(stack, flow, self.water)) for stack in self.inline)
        yield from ((stack, end_terms(stack, flow, self.water)) for stack in self.ends)

    @cached_property
    def _all_carry(self) -> bool:
        return bool(self.carries.all())

    def carried(self, values: Floats) -> Floats:
        """Values (rows, edges), 0 where nothing is carried."""
        return values if self._all_carry else np.where(self.carries, values, 0.0)

    def conductance(self, flow: Floats, slope: Floats, covered: tuple[Floats, Floats]) -> Conductance:
        """The inverse of the slopes at these flows, 0 where nothing is carried; `covered` as `Law.covered` gives it."""
        own = 1.0 / slope
        couplings = []
        for stack in self.joints:
            diagonal, outer = self._joint_inverse(stack, flow, slope)
            for path, edges in enumerate(stack.edges):
                own[:, edges] = diagonal[path]
            couplings += outer
        crests = self.network.crests
        if len(crests):
            own[:, crests] = 1.0 / self.sill
        own = self.carried(own)
        coupled = np.concatenate(couplings, axis=1) if couplings else np.zeros((len(flow), 0))
        if not len(crests):
            return Conductance(own, own, own, coupled)
        source, target = own.copy(), own.copy()
        source[:, crests] *= covered[0]
        target[:, crests] *= covered[1]
        return Conductance(source, target, own, coupled)

    def steepened(self, conductance: Conductance, edges: Ints, slope: Floats) -> Conductance:
        """The conductance with other slopes (rows, some edges) of edges that are neither crests nor of joints."""
        other = 1.0 / slope if self._all_carry else np.where(self.carries[:, edges], 1.0 / slope, 0.0)
        own = conductance.own.copy(order="K")
        own[:, edges] = other
        if conductance.source is conductance.own:
            return Conductance(own, own, own, conductance.coupled)
        source, target = conductance.source.copy(order="K"), conductance.target.copy(order="K")
        source[:, edges] = target[:, edges] = other
        return Conductance(source, target, own, conductance.coupled)

    def _joint_inverse(self, stack: Stack, flow: Floats, slope: Floats) -> tuple[list[Floats], list[Floats]]:
        """A joint's block turned round: its diagonal by path, the rest by coupling, each (rows, slots)."""
        block = stack.record.jacobian(through_paths(stack, flow), stack.filled(self.water))
        paths = range(len(stack.edges))
        own = through_paths(stack, slope)
        matrix = [[block[i, j] + own[i] if i == j else block[i, j] for j in paths] for i in paths]
        turned = inverse(matrix)
        return [turned[i][i] for i in paths], [turned[i][j] for i in paths for j in paths if i != j]

    def covered(self, pressure: Floats) -> tuple[Floats, Floats]:
        """For each crest 1 where the water stands above it at its source, and at its target, else next to nothing."""
        crests = self.network.crests
        if not len(crests):
            return self.crest, self.crest
        ends = self.network.source[crests], self.network.target[crests]
        above = [np.where(pressure[:, end] > self.crest, 1.0, BELOW * self.sill) for end in ends]
        return above[0], above[1]

    def drive(self, pressure: Floats, covered: tuple[Floats, Floats] | None = None) -> Floats:
        """What drives each edge, Pa: the difference of its ends, for a crest that of what stands above it."""
        driven = self.difference(pressure)
        crests = self.network.crests
        if len(crests):
            source, target = covered or self.covered(pressure)
            level = np.where(np.isfinite(self.crest), self.crest, 0.0)
            over = source * (pressure[:, self.network.source[crests]] - level)
            driven[:, crests] = over - target * (pressure[:, self.network.target[crests]] - level)
        return driven

    def asked(self, conductance: Conductance, energy: Floats) -> Floats:
        """The change of flow that energies left over ask for, m3/s."""
        return self._coupled(conductance, conductance.own * energy, energy)

    def answer(self, conductance: Conductance, rise: Floats) -> Floats:
        """The change of flow that a rise of pressures (rows, nodes) brings, m3/s."""
        fall = self.difference(rise)
        if conductance.source is conductance.target:
            return self._coupled(conductance, conductance.own * fall, fall)
        source, target = rise[:, self.network.source], rise[:, self.network.target]
        return self._coupled(conductance, conductance.source * source - conductance.target * target, fall)

    def _coupled(self, conductance: Conductance, flow: Floats, energy: Floats) -> Floats:
        to, of = self._coupled_edges
        if len(of.columns):
            to.add(flow, conductance.coupled * some_columns(energy, of.columns))
        return flow

    def asked_transposed(self, conductance: Conductance, flow: Floats) -> Floats:
        """The transpose of `asked`: edges to edges."""
        result = conductance.own * flow
        to, of = self._coupled_edges
        of.add(result, conductance.coupled * flow[:, to.columns])
        return result

    def answer_transposed(self, conductance: Conductance, flow: Floats) -> Floats:
        """The transpose of `answer`: edges to nodes."""
        source, target = conductance.source * flow, conductance.target * flow
        to, of = self._coupled_edges
        answering = conductance.coupled * flow[:, to.columns]
        of.add(source, answering)
        of.add(target, answering)
        return node_sums(self.network, source, target)

    @cached_property
    def _coupled_edges(self) -> tuple[Sums, Sums]:
        """Of each column of `Conductance.coupled` the edge that answers and the edge that it answers to."""
        pairs = couplings(self.network)
        none = np.zeros(0, dtype=np.intp)
        to, of = (np.concatenate([none, *(pair[side] for pair in pairs)]) for side in (0, 1))
        return Sums(to), Sums(of)

    def difference(self, pressure: Floats) -> Floats:
        """Pressure at the source less that at the target of each edge."""
        network = self.network
        if network.incidence is not None and len(pressure) < len(network.edges):
            return np.asarray(pressure.dot(network.incidence.T))
        return np.asarray(pressure[:, network.source] - pressure[:, network.target])

    def mass(self, flow: Floats) -> Floats:
        """What leaves each node less what is fed in there; nothing is asked of an opening."""
        left = node_sums(self.network, flow) - self.inflow
        return np.where(self.network.fixed, 0.0, left)


def inverse(matrix: Sequence[Sequence[Floats]]) -> Sequence[Sequence[Floats]]:
    """The inverse of a square matrix whose entries are arrays of one shape."""
    if len(matrix) == 2:
        (a, b), (c, d) = matrix
        part = 1.0 / (a * d - b * c)
        less = -part
        return (d * part, b * less), (c * less, a * part)
    stacked = np.linalg.inv(np.moveaxis(np.array(matrix), (0, 1), (-2, -1)))
    return [list(row) for row in np.moveaxis(stacked, (-2, -1), (0, 1))]


def couplings(network: Network) -> list[tuple[Ints, Ints]]:
    """Pairs of edges coupled in joints, in the order of `Conductance.coupled`: the pairs of paths of each stack."""
    pairs = []
    for stack in network.joints:
        paths = range(len(stack.edges))
        pairs += [(stack.edges[i], stack.edges[j]) for i in paths for j in paths if i != j]
    return pairs


def node_sums(network: Network, flow: Floats, arriving: Floats | None = None) -> Floats:
    """What leaves each node into its edges less what arrives (the same, unless given), (rows, nodes)."""
    if arriving is None and network.incidence is not None and len(flow) < len(network.edges):
        return np.asarray(flow.dot(network.incidence))
    left = np.zeros((len(flow), len(network.nodes)), order="F")
    Sums(network.source).add(left, flow)
    Sums(network.target).add(left, -(flow if arriving is None else arriving))
    return left
