"""The curves of all edges in some rows: drops, conductances, and the differences and sums over the graph."""

from __future__ import annotations

from collections.abc import Iterator, Sequence
from dataclasses import dataclass, replace
from functools import cached_property

import numpy as np

from netsolve.arrays.stack import Floats, Ints, Stack, add_at, some_rows
from netsolve.assemble import Network, water_of
from netsolve.laws.friction import Friction
from netsolve.laws.quadratic import Quadratic
from netsolve.solving.frictions import Frictions, frictions
from netsolve.solving.powers import Powers, powers
from netsolve.water import GRAVITY, Water

STUB = 100.0
"""Pa s/m3 in every edge, so that no slope is ever zero: 0.1 Pa at 1 L/s."""

SILL = 1e3
"""Pa s/m3: the resistance of a crest to water that goes over it."""

BELOW = 1e-14
"""m3/s/Pa: what is left of a crest's conductance while the water stands below it."""


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
    """A network's curves for some of its rows; every method takes and gives arrays (rows, edges) or (rows, nodes)."""

    network: Network
    inline: tuple[Stack, ...]
    ends: tuple[Stack, ...]
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
            inline=network.inline,
            ends=network.ends,
            joints=network.joints,
            carries=network.carries,
            inflow=network.inflow,
            crest=network.crest * (network.water.density * GRAVITY),
            water=network.water,
        )

    def take(self, rows: Ints) -> Law:
        """The curves for some of the rows."""
        return replace(
            self,
            inline=tuple(stack.take(rows) for stack in self.inline),
            ends=tuple(stack.take(rows) for stack in self.ends),
            joints=tuple(stack.take(rows) for stack in self.joints),
            carries=some_rows(self.carries, rows),
            inflow=some_rows(self.inflow, rows),
            crest=some_rows(self.crest, rows),
            water=water_of(self.water, rows),
        )._with_sums_of(self, rows)

    def _with_sums_of(self, other: Law, rows: Ints) -> Law:
        """This law with the sums of another one that it is some rows of, so that they are not worked out anew."""
        self.__dict__["sums"] = tuple(each.take(rows) for each in other.sums)
        pairs = zip((*other.inline, *other.ends), (*self.inline, *self.ends), strict=True)
        mine = {id(theirs): ours for theirs, ours in pairs}
        self.__dict__["others"] = tuple(tuple(mine[id(each)] for each in some) for some in other.others)
        return self

    @cached_property
    def sums(self) -> tuple[Powers | Frictions, ...]:
        """The laws that are sums of powers, added up, and the frictions, side by side."""
        quadratic = [(stack, law) for stack, _, law in self._known if law is not None]
        friction = [(stack, law) for stack, law, _ in self._known if law is not None]
        return (*powers(quadratic), *frictions(friction))

    @cached_property
    def _known(self) -> list[tuple[Stack, Friction | None, Quadratic | None]]:
        """The stacks whose law is friction and powers, with these."""
        found: list[tuple[Stack, Friction | None, Quadratic | None]] = [
            (stack, stack.record.friction(self.water), stack.record.quadratic(self.water)) for stack in self.inline
        ]
        found += [(stack, None, stack.record.end_quadratic(self.water)) for stack in self.ends]
        return [each for each in found if each[1] is not None or each[2] is not None]

    @cached_property
    def others(self) -> tuple[tuple[Stack, ...], tuple[Stack, ...]]:
        """The stacks of parts and of ends whose laws are of another form."""
        known = {id(stack) for stack, *_ in self._known}
        inline, ends = ([each for each in some if id(each) not in known] for some in (self.inline, self.ends))
        return tuple(inline), tuple(ends)

    @cached_property
    def alone(self) -> np.ndarray:
        """(edges,) False for the paths of joints, whose curves are not of their own flow alone."""
        alone = np.ones(len(self.network.edges), dtype=bool)
        for stack in self.joints:
            alone[stack.edges] = False
        alone[self.network.crests] = False
        return alone

    def drops(self, flow: Floats) -> Floats:
        """The total pressure that each edge loses, Pa."""
        return self._lost(flow, None)

    def curves(self, flow: Floats) -> tuple[Floats, Floats]:
        """The total pressure that each edge loses, Pa, and how steeply that rises, without joints and crests."""
        slope = np.full_like(flow, STUB)
        return self._lost(flow, slope), slope

    def _lost(self, flow: Floats, slope: Floats | None) -> Floats:
        total = STUB * flow
        for law in self.sums:
            law.add(total, flow, slope)
        inline, ends = self.others
        for stack in inline:
            stack.add(total, part_terms(stack, flow, self.water))
            if slope is not None:
                stack.add(slope, stack.weighted(stack.record.slope(stack.along(flow), self.water)))
        for stack in ends:
            stack.add(total, end_terms(stack, flow, self.water))
            if slope is not None:
                stack.add(slope, stack.weighted(stack.record.end_slope(stack.along(flow), self.water)))
        for stack in self.joints:
            lost = self.joint_drops(stack, flow)
            for path, edges in enumerate(stack.edges):
                total[:, edges] += lost[path]
        total[:, self.network.crests] = self.sill * flow[:, self.network.crests]
        return total

    def largest(self, flow: Floats) -> Floats:
        """The largest single term in what each edge loses, Pa."""
        largest = np.abs(STUB * flow)
        for stack, terms in self._terms(flow):
            stack.raise_to(largest, np.abs(terms))
        for stack in self.joints:
            lost = np.abs(np.moveaxis(self.joint_drops(stack, flow), 0, 1))
            largest[:, stack.edges] = np.maximum(largest[:, stack.edges], lost)
        return largest

    def _terms(self, flow: Floats) -> Iterator[tuple[Stack, Floats]]:
        yield from ((stack, part_terms(stack, flow, self.water)) for stack in self.inline)
        yield from ((stack, end_terms(stack, flow, self.water)) for stack in self.ends)

    def joint_drops(self, stack: Stack, flow: Floats) -> Floats:
        """What the paths of a stack of joints lose, Pa: (paths, rows, slots)."""
        lost: Floats = stack.weights * stack.record.pressure_drop(np.moveaxis(flow[:, stack.edges], 1, 0), self.water)
        return lost

    def conductance(self, flow: Floats, slope: Floats, covered: tuple[Floats, Floats]) -> Conductance:
        """The inverse of the slopes at these flows, 0 where nothing is carried; `covered` as `Law.covered` gives it."""
        own = 1.0 / slope
        couplings = []
        for stack in self.joints:
            own[:, stack.edges], outer = self._joint_inverse(stack, flow, slope)
            couplings.append(outer)
        crests = self.network.crests
        own[:, crests] = 1.0 / self.sill
        own = np.where(self.carries, own, 0.0)
        coupled = np.concatenate(couplings, axis=1) if couplings else np.zeros((len(flow), 0))
        if not len(crests):
            return Conductance(own, own, own, coupled)
        source, target = own.copy(), own.copy()
        source[:, crests] *= covered[0]
        target[:, crests] *= covered[1]
        return Conductance(source, target, own, coupled)

    def _joint_inverse(self, stack: Stack, flow: Floats, slope: Floats) -> tuple[Floats, Floats]:
        """A joint's block turned round: its diagonal (rows, paths, slots), the rest (rows, couplings)."""
        block = stack.record.jacobian(np.moveaxis(flow[:, stack.edges], 1, 0), self.water)
        paths = range(len(stack.edges))
        matrix = [[block[i, j] + (slope[:, stack.edges[i]] if i == j else 0.0) for j in paths] for i in paths]
        turned = inverse(matrix)
        outer = [turned[i][j] for i in paths for j in paths if i != j]
        return np.stack([turned[i][i] for i in paths], axis=1), np.concatenate(outer, axis=1)

    def covered(self, pressure: Floats) -> tuple[Floats, Floats]:
        """For each crest 1 where the water stands above it at its source, and at its target, else next to nothing."""
        crests = self.network.crests
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
        source, target = rise[:, self.network.source], rise[:, self.network.target]
        return self._coupled(conductance, conductance.source * source - conductance.target * target, source - target)

    def _coupled(self, conductance: Conductance, flow: Floats, energy: Floats) -> Floats:
        for column, to, of in self._columns():
            flow[:, to] += conductance.coupled[:, column] * energy[:, of]
        return flow

    def asked_transposed(self, conductance: Conductance, flow: Floats) -> Floats:
        """The transpose of `asked`: edges to edges."""
        result = conductance.own * flow
        for column, to, of in self._columns():
            result[:, of] += conductance.coupled[:, column] * flow[:, to]
        return result

    def answer_transposed(self, conductance: Conductance, flow: Floats) -> Floats:
        """The transpose of `answer`: edges to nodes."""
        source, target = conductance.source * flow, conductance.target * flow
        for column, to, of in self._columns():
            source[:, of] += conductance.coupled[:, column] * flow[:, to]
            target[:, of] += conductance.coupled[:, column] * flow[:, to]
        return node_sums(self.network, source, target)

    def _columns(self) -> Iterator[tuple[slice, Ints, Ints]]:
        """The columns of `Conductance.coupled` for each pair of coupled edges."""
        column = 0
        for to, of in couplings(self.network):
            yield slice(column, column + len(to)), to, of
            column += len(to)

    def difference(self, pressure: Floats) -> Floats:
        """Pressure at the source less that at the target of each edge."""
        result: Floats = pressure[:, self.network.source] - pressure[:, self.network.target]
        return result

    def mass(self, flow: Floats) -> Floats:
        """What leaves each node less what is fed in there; nothing is asked of an opening."""
        left = node_sums(self.network, flow) - self.inflow
        return np.where(self.network.fixed, 0.0, left)


def inverse(matrix: Sequence[Sequence[Floats]]) -> Sequence[Sequence[Floats]]:
    """The inverse of a square matrix whose entries are arrays of one shape."""
    if len(matrix) == 2:
        (a, b), (c, d) = matrix
        part = 1.0 / (a * d - b * c)
        return (d * part, -b * part), (-c * part, a * part)
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
    left = np.zeros((len(flow), len(network.nodes)), order="F")
    add_at(left, network.source, flow)
    add_at(left, network.target, -(flow if arriving is None else arriving))
    return left


def part_terms(stack: Stack, flow: Floats, water: Water) -> Floats:
    """What each part of the stack takes along its run, Pa: (rows, slots)."""
    return stack.weighted(stack.signs * stack.record.pressure_drop(stack.along(flow), water))


def end_terms(stack: Stack, flow: Floats, water: Water) -> Floats:
    """What each end of the stack takes along its run, Pa: (rows, slots)."""
    return stack.weighted(stack.signs * stack.record.end_loss(stack.along(flow), water))
