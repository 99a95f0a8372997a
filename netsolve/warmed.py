"""Flows and temperatures that agree: the water is as thin and as light in each part as it is warm there.

Viscosity and density follow the temperature, which follows the flow: a fixed point, found by solving the network with
the water that the last flows warmed. A tenth more viscosity changes a flow by some hundredths at most while it is
turbulent, so that little of the error before it is left by each pass.

Flows count in volumes of the water that comes in, of density ρ0. Where it has become lighter, ρ, it is faster by ρ0/ρ,
the mass being the same; a law that is given the density ρ0²/ρ and the viscosity μ ρ0/ρ with the flow as it is counted
then has the true Reynolds number and the true loss. What a column of water weighs stays that of the water that comes
in: from 15 to 35 degC sea water gets lighter by 0.6 %, 60 Pa for each metre.
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

AGREED = 0.05
"""K: by how much the temperature that the water of any part is taken to have may differ from the one that it gets."""

NEAR = 2
"""So many steps bring the flows near enough for a first look at the temperatures."""

FELT = 0.01
"""A law that takes less than this share less of water that is 20 K warmer is left with the water that comes in."""

_WARMER = (0.994, 0.64)
"""By what density and viscosity of sea water change from 15 to 35 degC: Sharqawy et al. (2010)."""

WITHOUT_HASTE = 3
"""Passes after which a row goes only half of the way, since it seems to be thrown from side to side."""

MOST_PASSES = 30

_TRIED = (5e-5, 1e-3, -5e-5, -1e-3)
"""m3/s: flows at which a law is asked whether viscosity means anything to it."""

Warmths = dict[int, Floats]
"""Temperature of the water in the slots of some stacks, by their place: (rows, slots) in K."""


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
    taken = _warmths(network, felt, _heat(network, near, said))
    warm = _warmed(network, taken, said)
    solution = solve(warm, start=near, executor=executor, done=done)
    for number in range(MOST_PASSES):
        heat = _heat(network, solution, said)
        got = _warmths(network, felt, heat)
        going = np.flatnonzero(_apart(taken, got) > AGREED)
        if not len(going):
            break
        _nearer(taken, got, going, share=1.0 if number < WITHOUT_HASTE else 0.5)
        warm = _warmed(network, taken, said)
        again = solve(warm.take(going), start=solution.take(going), executor=executor)
        solution = solution.put(going, again)
    else:
        solution.settled[going] = False
    return Warmed(warm, solution, heat)


def _heat(network: Network, solution: Solution, said: Stated) -> Heat:
    """The heat of rows that flow like this, settled or not."""
    runs = len(said.row.runs)
    return Heat(said, np.where(network.carries[:, :runs], solution.flow[:, :runs], 0.0))


def _felt(network: Network) -> list[int]:
    """The places of the stacks to whose laws it means something how warm the water is."""

    def moved(terms: Callable[[Stack, Floats, Water], Floats], stack: Stack) -> bool:
        cold, warm = (terms(stack, flows, water) for water in (one.water, warmer))
        alike = np.moveaxis(np.abs([warm - cold, cold]), -2, 1).reshape(2, len(flows), -1).max(axis=2)
        return bool((alike[0] > FELT * alike[1]).any())

    one, flows = network.take(np.zeros(1, dtype=np.intp)), np.repeat([_TRIED], len(network.edges), axis=0).T
    lighter, thinner = _WARMER
    warmer = replace(one.water, density=one.water.density / lighter, viscosity=one.water.viscosity * thinner / lighter)
    return [place for place, (stack, terms) in enumerate(_laws(one)) if moved(terms, stack)]


def _laws(network: Network) -> Iterator[tuple[Stack, Callable[[Stack, Floats, Water], Floats]]]:
    """All stacks, and how to ask each for what its slots take."""
    yield from ((stack, part_terms) for stack in network.inline)
    yield from ((stack, end_terms) for stack in network.ends)
    yield from ((stack, joint_terms) for stack in network.joints)


def _warmths(network: Network, felt: Sequence[int], heat: Heat) -> Warmths:
    """How warm the water is; as it comes in where none passes."""
    found = {}
    for place in felt:
        warmth = np.array([_warmth(heat, name) for name in network.stacks[place].names])
        found[place] = np.where(np.isnan(warmth), heat.stated.water, warmth).T
    return found


def _warmed(network: Network, warmths: Warmths, said: Stated) -> Network:
    """The network with water as light and thin as these temperatures make it."""
    fluids, usual = {}, [np.ravel(each) for each in (network.water.density, network.water.viscosity)]
    for place, temperature in warmths.items():
        told = said.fluid_at(temperature.T)
        density, viscosity = (np.where(np.isnan(each), *pair) for each, *pair in zip(told, usual, told, strict=True))
        lighter = usual[0] / density
        fluids[place] = (usual[0] * lighter).T, (viscosity * lighter).T
    return network.thinned(fluids)


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


def _apart(taken: Warmths, got: Warmths) -> Floats:
    """The most by which any temperature of a row differs, (rows,) in K."""
    largest: Floats = np.max([np.abs(got[place] - values).max(axis=1) for place, values in taken.items()], axis=0)
    return largest


def _nearer(taken: Warmths, got: Warmths, rows: Ints, *, share: float) -> None:
    """Bring the temperatures of some rows nearer to those that they get, all of the way or a share of it."""
    for place, values in taken.items():
        values[rows] += share * (got[place][rows] - values[rows])
