"""The curves of edges by themselves, without joints and crests: what a run takes by its own flow."""

from __future__ import annotations

from dataclasses import dataclass

import numpy as np

from netsolve.arrays.stack import Floats, Ints, Stack
from netsolve.assemble import Network, water_of
from netsolve.solving.frictions import Frictions, frictions
from netsolve.solving.powers import Powers, powers
from netsolve.water import Water

STUB = 100.0
"""Pa s/m3 in every edge, so that no slope is ever zero: 0.1 Pa at 1 L/s."""


@dataclass(frozen=True)
class Curves:
    """`sums` are the laws that are sums of powers, added up, and the frictions; `inline` and `ends` all other laws."""

    sums: tuple[Powers | Frictions, ...]
    inline: tuple[Stack, ...]
    ends: tuple[Stack, ...]
    water: Water

    @classmethod
    def of(cls, network: Network) -> Curves:
        """The curves of a network, for all rows."""
        water = network.water
        known = []
        for each in network.inline:
            known.append((each, each.record.friction(each.filled(water)), each.record.quadratic(each.filled(water))))
        known += [(each, None, each.record.end_quadratic(each.filled(water))) for each in network.ends]
        rubbing = [(stack, law) for stack, law, _ in known if law is not None]
        quadratic = [(stack, law) for stack, _, law in known if law is not None]
        other = {id(stack) for stack, *laws in known if laws == [None, None]}
        inline, ends = (tuple(each for each in some if id(each) in other) for some in (network.inline, network.ends))
        few = network.count == 1
        return cls((*powers(quadratic, few=few), *frictions(rubbing, few=few)), inline, ends, water)

    def take(self, rows: Ints) -> Curves:
        """The curves in some of the rows."""
        return Curves(
            tuple(law.take(rows) for law in self.sums),
            tuple(stack.take(rows) for stack in self.inline),
            tuple(stack.take(rows) for stack in self.ends),
            water_of(self.water, rows),
        )

    def among(self, edges: Ints, count: int) -> Curves:
        """The curves of some of `count` edges alone, which are counted anew."""
        place = np.full(count, -1, dtype=np.intp)
        place[edges] = np.arange(len(edges))
        sums = [law.among(place) for law in self.sums]
        inline, ends = ([stack.among(place) for stack in some] for some in (self.inline, self.ends))
        return Curves(
            tuple(law for law in sums if law.edges.size),
            tuple(stack for stack in inline if stack.edges.size),
            tuple(stack for stack in ends if stack.edges.size),
            self.water,
        )

    def at(self, flow: Floats) -> tuple[Floats, Floats]:
        """What each edge takes at a flow, Pa, and how steeply that rises."""
        slope = np.empty_like(flow)
        slope.fill(STUB)
        return self.lost(flow, slope), slope

    def lost(self, flow: Floats, slope: Floats | None = None) -> Floats:
        """What each edge takes at a flow, Pa; how steeply that rises is added to `slope`. All (rows, edges)."""
        total = STUB * flow
        for law in self.sums:
            law.add(total, flow, slope)
        for stack in self.inline:
            stack.add(total, part_terms(stack, flow, self.water))
            if slope is not None:
                stack.add(slope, stack.weighted(stack.record.slope(stack.along(flow), stack.filled(self.water))))
        for stack in self.ends:
            stack.add(total, end_terms(stack, flow, self.water))
            if slope is not None:
                stack.add(slope, stack.weighted(stack.record.end_slope(stack.along(flow), stack.filled(self.water))))
        return total


def part_terms(stack: Stack, flow: Floats, water: Water) -> Floats:
    """What each part of the stack takes along its run, Pa: (rows, slots)."""
    return stack.weighted(stack.signs * stack.record.pressure_drop(stack.along(flow), stack.filled(water)))


def end_terms(stack: Stack, flow: Floats, water: Water) -> Floats:
    """What each end of the stack takes along its run, Pa: (rows, slots)."""
    return stack.weighted(stack.signs * stack.record.end_loss(stack.along(flow), stack.filled(water)))


def joint_terms(stack: Stack, flow: Floats, water: Water) -> Floats:
    """What each path of the joints of the stack takes, Pa: (paths, rows, slots)."""
    return stack.weighted(stack.record.pressure_drop(through_paths(stack, flow), stack.filled(water)))


def through_paths(stack: Stack, flow: Floats) -> Floats:
    """The flow along each path of the joints of the stack, (paths, rows, slots)."""
    return flow.T.take(stack.edges, axis=0).swapaxes(1, 2)
