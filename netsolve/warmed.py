"""Flows and temperatures that agree: the water is as thin in each part as it is warm there.

The viscosity follows the temperature, which follows the flow: a fixed point, found by solving the network with the
viscosities of the temperatures that the last flows gave. A tenth more viscosity changes a flow by some hundredths at
most while it is turbulent, so that little of the error before it is left by each pass. The density, and with it the
weight of the water, stays that of the water that comes in: of sea water from 15 to 35 degC it falls by 0.6 %, which is
some 0.3 % of a flow.
"""

from __future__ import annotations

from collections.abc import Callable, Iterator, Sequence
from concurrent.futures import Executor
from dataclasses import replace
from typing import NamedTuple

import numpy as np

from netsolve.arrays.stack import Floats, Ints, Stack
from netsolve.assemble import Network
from netsolve.heat.heat import Heat
from netsolve.heat.stated import Stated, has_heat, stated
from netsolve.solver import Solution, solve
from netsolve.solving.curves import end_terms, joint_terms, part_terms
from netsolve.water import Water

AGREED = 1e-3
"""Of the viscosity anywhere in a row: by how much it may still differ from that of the temperature there."""

NEAR = 2
"""So many steps bring the flows near enough for a first look at the temperatures."""

FELT = 0.05
"""A law that takes less than this share more of water that is twice as thick is left as it is."""

WITHOUT_HASTE = 3
"""Passes after which a row goes only half of the way, since it seems to be thrown from side to side."""

MOST_PASSES = 30

_TRIED = (5e-5, 1e-3, -5e-5, -1e-3)
"""m3/s: flows at which a law is asked whether viscosity means anything to it."""

Viscosities = dict[int, Floats]
"""Viscosity of the water in the slots of some stacks, by their place: (rows, slots) in Pa s."""


class Warmed(NamedTuple):
    """A network with the viscosities of its temperatures, its solution, and its heat."""

    network: Network
    solution: Solution
    heat: Heat


def solve_rows(
    network: Network, *, executor: Executor | None = None, done: Callable[[int], None] | None = None
) -> Warmed | tuple[Network, Solution, None]:
    """The network solved, with the heat that its rows say something of; None where none does."""
    if any(map(has_heat, network.rows)):
        return solve_warmed(network, stated(network.rows), executor=executor, done=done)
    return network, solve(network, executor=executor, done=done), None


def solve_warmed(
    network: Network,
    said: Stated,
    *,
    executor: Executor | None = None,
    done: Callable[[int], None] | None = None,
) -> Warmed:
    """The network solved, whose rows say this of heat; `executor` and `done` as in `solve`.

    A row whose flows and temperatures come to no agreement counts as one that did not settle.
    """
    felt = _felt(network) if said.warm.any() else []
    if not felt:
        solution = solve(network, executor=executor, done=done)
        return Warmed(network, solution, _heat(network, solution, said))
    near = solve(network, steps=NEAR, executor=executor)
    used = _viscosities(network, felt, _heat(network, near, said))
    thin = network.thinned(used)
    solution = solve(thin, start=near, executor=executor, done=done)
    for number in range(MOST_PASSES):
        heat = _heat(network, solution, said)
        found = _viscosities(network, felt, heat)
        going = np.flatnonzero(_apart(used, found) > AGREED)
        if not len(going):
            break
        _nearer(used, found, going, haste=number < WITHOUT_HASTE)
        thin = network.thinned(used)
        again = solve(thin.take(going), start=solution.take(going), executor=executor)
        solution = solution.put(going, again)
    else:
        solution.settled[going] = False
    return Warmed(thin, solution, heat)


def _heat(network: Network, solution: Solution, said: Stated) -> Heat:
    """The heat of rows that flow like this, settled or not."""
    runs = len(said.row.runs)
    return Heat(said, np.where(network.carries[:, :runs], solution.flow[:, :runs], 0.0))


def _felt(network: Network) -> list[int]:
    """The places of the stacks to whose laws viscosity means something."""

    def moved(terms: Callable[[Stack, Floats, Water], Floats], stack: Stack) -> bool:
        thin, twice = (terms(stack, flows, water) for water in (one.water, thick))
        alike = np.moveaxis(np.abs([twice - thin, thin]), -2, 1).reshape(2, len(flows), -1).max(axis=2)
        return bool((alike[0] > FELT * alike[1]).any())

    one, flows = network.take(np.zeros(1, dtype=np.intp)), np.repeat([_TRIED], len(network.edges), axis=0).T
    thick = replace(one.water, viscosity=2.0 * one.water.viscosity)
    return [place for place, (stack, terms) in enumerate(_laws(one)) if moved(terms, stack)]


def _laws(network: Network) -> Iterator[tuple[Stack, Callable[[Stack, Floats, Water], Floats]]]:
    """All stacks, and how to ask each for what its slots take."""
    yield from ((stack, part_terms) for stack in network.inline)
    yield from ((stack, end_terms) for stack in network.ends)
    yield from ((stack, joint_terms) for stack in network.joints)


def _viscosities(network: Network, felt: Sequence[int], heat: Heat) -> Viscosities:
    """The viscosity of the water as warm as it is; as it comes in where none passes."""
    found, usual = {}, np.ravel(network.water.viscosity)
    for place in felt:
        warmth = np.array([_warmth(heat, name) for name in network.stacks[place].names])
        viscosity = heat.stated.viscosity_at(warmth)
        found[place] = np.where(np.isnan(viscosity), usual, viscosity).T
    return found


def _warmth(heat: Heat, name: str) -> Floats:
    """The temperature of the water in a part, at the end of a run or at a joint, (rows,) in K."""
    row = heat.stated.row
    if name in row.parts:
        if name not in heat.stated.coolers:
            return heat.inlet_temperature(name)
        return (heat.inlet_temperature(name) + heat.outlet_temperature(name)) / 2.0
    if name in row.places:
        return heat.temperature(name)
    run, _, end = name.rpartition(".")
    return heat.end_temperature(run, target=end == "to")


def _apart(used: Viscosities, found: Viscosities) -> Floats:
    """The largest share by which any viscosity of a row differs, (rows,)."""
    each = [np.abs(found[place] / values - 1.0).max(axis=1) for place, values in used.items()]
    largest: Floats = np.max(each, axis=0)
    return largest


def _nearer(used: Viscosities, found: Viscosities, rows: Ints, *, haste: bool) -> None:
    """Bring the viscosities of some rows to those found, or without haste half of the way."""
    for place, values in used.items():
        new = found[place][rows]
        values[rows] = new if haste else np.sqrt(values[rows] * new)
