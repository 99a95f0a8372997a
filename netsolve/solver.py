"""Arrays to flows and pressures, all rows at once.

Unknowns are one flow for each edge and one total pressure (+ ρ g z) for each node. Newton's method on the balances of
energy and mass, the step from the Schur complement over the nodes (Todini & Pilati 1988, "A gradient algorithm for
the analysis of pipe networks"). Pressures are found as increments: with a shut valve beside a short hose, sums of whole
pressures would lose the mass balance to rounding.
"""

from __future__ import annotations

import os
from collections.abc import Callable, Iterable
from concurrent.futures import Executor, ThreadPoolExecutor
from dataclasses import dataclass, replace
from typing import Any

import numpy as np
import numpy.typing as npt

from netsolve.arrays.stack import Floats, Ints, every, some_columns, some_rows
from netsolve.assemble import Network
from netsolve.component import NO_FLOW
from netsolve.progress import counted
from netsolve.solving.law import SILL, Law
from netsolve.solving.schur import Schur, pinned
from netsolve.solving.step import Point, stepped

MOST_ITERATIONS = 60
BLOCK = 10_000
"""The most rows that are solved together."""

FLOW_TOLERANCE = 1e-9
"""Of the row's largest flow: the mass imbalance, and the flow correction that a settled run may still ask for."""

QUIET = 1e-7
"""Of the row's largest flow: the correction that a run with next to no energy left over may still ask for."""

PATIENCE = 12
"""Steps of a large circuit, each of them dear, after which they are mended too."""

WORTH_DROPPING = 0.5
"""Share of rows that have settled at which the others are taken out to go on alone."""

SOFTER_SILLS = np.geomspace(1e12, SILL, 19)
"""Pa s/m3: by these the crests of rows that would not settle are made easier, down to what they are."""

EPSILON = float(np.finfo(float).eps)

SMALLEST_SCALE = 1e-9
"""m3/s: the flow that stands for the largest one where nothing flows at all."""


@dataclass(frozen=True)
class Solution:
    """flow: (rows, edges) m3/s; pressure: (rows, nodes) total + ρ g z, Pa; the rest (rows,).

    `worst` is the edge with the most energy left over; `imbalance` (Pa) and `mass` (m3/s) are the largest left over.
    """

    flow: Floats
    pressure: Floats
    settled: np.ndarray
    iterations: Ints
    mass: Floats
    imbalance: Floats
    worst: Ints

    def take(self, rows: Ints) -> Solution:
        """The solution of some of the rows."""
        return Solution(*(some_rows(values, rows) for values in self._values()))

    def put(self, rows: Ints, other: Solution) -> Solution:
        """This solution with that of some of the rows put in its place."""
        values = [each.copy(order="K") for each in self._values()]
        for mine, new in zip(values, other._values(), strict=True):
            mine[rows] = new
        return Solution(*values)

    def _values(self) -> Iterable[npt.NDArray[Any]]:
        return (getattr(self, name) for name in Solution.__dataclass_fields__)


def solve(
    network: Network,
    *,
    start: Solution | None = None,
    steps: int | None = None,
    executor: Executor | None = None,
    done: Callable[[int], None] | None = None,
) -> Solution:
    """Flows and pressures of every row, settled or not.

    The search begins from those of `start`, where they are given, whose iterations it goes on counting. After so many
    `steps`, where a number is given, rows that have not settled are left where they stand.

    Rows are worked through in blocks, so that memory stays bounded, by a thread for each processor (numpy works outside
    Python's lock); an `executor` (any of `concurrent.futures`' kind) is dealt the blocks instead. `done` is called with
    the number of rows of each block that is finished.
    """
    blocks = _blocks(network.count)
    if len(blocks) == 1 and executor is None:
        return _solve_block(network, start, steps)
    bare = replace(network, rows=())
    networks, starts = [bare.take(rows) for rows in blocks], [start and start.take(rows) for rows in blocks]
    if executor is not None:
        return _gathered(executor.map(_solve_block, networks, starts, [steps] * len(blocks)), len(blocks), done)

    def solved(rows: Ints) -> Solution:
        return _solve_block(bare.take(rows), start and start.take(rows), steps)

    with ThreadPoolExecutor(os.cpu_count()) as threads:
        return _gathered(threads.map(solved, blocks), len(blocks), done)


def _blocks(count: int) -> list[Ints]:
    """The rows in blocks alike in size, so many that no processor has one more to do than another."""
    needed = max(1, -(-count // BLOCK))
    if needed == 1:
        return [np.arange(count)]
    processors = os.cpu_count() or 1
    return list(np.array_split(np.arange(count), -(-needed // processors) * processors))


def _gathered(solutions: Iterable[Solution], count: int, done: Callable[[int], None] | None) -> Solution:
    """The solutions of blocks as one."""
    solved = []
    for solution in counted(solutions, "blocks of rows", count):
        solved.append(solution)
        if done is not None:
            done(len(solution.flow))
    fields = Solution.__dataclass_fields__
    return Solution(*(np.concatenate([getattr(each, name) for each in solved]) for name in fields))


def _solve_block(network: Network, start: Solution | None = None, steps: int | None = None) -> Solution:
    rows = network.count
    flow, pressure = _beginning(network, start)
    left = Solution(flow, pressure, np.zeros(rows, dtype=bool), *_nothing_left(rows))
    if start is not None:
        left.iterations[:] = start.iterations
    pins, schur, law = _prepared(network)
    going = np.arange(rows)
    _iterated(left, going, Point.at(law, flow, pressure), schur, pins, most=steps)
    if steps is not None:
        return left
    _with_plain_steps(left, law, schur, pins)
    if len(network.crests):
        _by_softer_crests(left, law, schur, pins)
    return left


def _prepared(network: Network) -> tuple[np.ndarray, Schur, Law]:
    """What follows from the arrays alone, kept with them: another solve of the same network need not work it out."""
    if "pattern" not in network.kept:
        network.kept["pattern"] = pinned(network), Schur.of(network)
    if "law" not in network.kept:
        network.kept["law"] = Law.of(network)
    return *network.kept["pattern"], network.kept["law"]


def _beginning(network: Network, start: Solution | None = None) -> tuple[Floats, Floats]:
    """The flows and pressures that the search begins from: those of `start`, where it has got anywhere."""
    flow, pressure = np.where(network.carries, network.speed_area, 0.0), np.where(network.fixed, network.level, 0.0)
    if start is None:
        return flow, pressure
    known = np.isfinite(start.flow.sum(axis=1, keepdims=True) + start.pressure.sum(axis=1, keepdims=True))
    return np.where(known, start.flow, flow), np.where(known, start.pressure, pressure)


def _iterated(
    left: Solution,
    going: Ints,
    point: Point,
    schur: Schur,
    pins: np.ndarray,
    *,
    patience: int | None = None,
    most: int | None = None,
) -> None:
    """Step these rows until they settle or have had the most steps, and write down where they stand.

    Steps are mended after so many; at once where none is said, but in large circuits, where each is dear.
    """
    patience = patience if patience is not None else PATIENCE if schur.sparse else 0
    pins = some_rows(pins, going)
    most = MOST_ITERATIONS if most is None else most
    for iteration in range(most + 1):
        settled, astray = _settled(point), ~np.isfinite(point.flow).all(axis=1)
        finished = settled | astray
        over = iteration == most or every(finished)
        if over or np.count_nonzero(finished):
            _note(left, going, point, settled, finished | over)
            if over:
                break
            if settled.mean() > WORTH_DROPPING or astray.any():
                kept = np.flatnonzero(~finished)
                going, point = going[kept], point.take(point.law.take(kept), kept)
                pins = some_rows(pins, kept)
        left.iterations[going] += ~left.settled[going]
        point = stepped(schur, pins, point, balanced=iteration > 0, mend=iteration >= patience)


def _with_plain_steps(left: Solution, law: Law, schur: Schur, pins: np.ndarray) -> None:
    """Rows that would not settle begin anew with steps that are not mended: tees may lead a mended one astray."""
    rows = np.flatnonzero(~left.settled)
    if len(rows):
        flow, pressure = (some_rows(each, rows) for each in _beginning(law.network))
        again = Point.at(law.take(rows), flow, pressure)
        _iterated(left, rows, again, schur, pins, patience=MOST_ITERATIONS)


def _by_softer_crests(left: Solution, law: Law, schur: Schur, pins: np.ndarray) -> None:
    """Rows whose crests kept changing sides begin anew with crests that hold the water back, made easier bit by bit."""
    rows = np.flatnonzero(~left.settled)
    if not len(rows):
        return
    flow, pressure = (some_rows(each, rows) for each in _beginning(law.network))
    for sill in SOFTER_SILLS:
        left.settled[rows] = False
        softened = replace(law.take(rows), sill=float(sill))
        _iterated(left, rows, Point.at(softened, flow, pressure), schur, pins)
        flow, pressure = some_rows(left.flow, rows), some_rows(left.pressure, rows)


def _nothing_left(rows: int) -> tuple[Ints, Floats, Floats, Ints]:
    return np.zeros(rows, dtype=np.intp), np.zeros(rows), np.zeros(rows), np.zeros(rows, dtype=np.intp)


def _settled(point: Point) -> np.ndarray:
    """Judged edge by edge: a shut run's pressure error means nothing, a free run's flow error neither."""
    scale = np.maximum(np.abs(point.flow).max(axis=1, initial=0.0), SMALLEST_SCALE)[:, None]
    next_to_none = FLOW_TOLERANCE * scale
    balanced: np.ndarray = (np.abs(point.mass) <= next_to_none).all(axis=1)
    if not np.count_nonzero(balanced):
        return balanced
    law, left, asked = point.law, np.abs(point.energy), np.abs(point.asked)
    fits = asked <= next_to_none
    if every(fits):
        return balanced
    still = fits | _still(point, left, asked <= QUIET * scale)
    balanced &= still.all(axis=1)
    if not np.count_nonzero(balanced):
        return balanced
    fits |= still & _small(point, left, np.abs(law.difference(point.pressure)))
    if not every(fits.all(axis=1) | ~balanced):  # the largest term costs another look at every curve
        fits |= still & _small(point, left, law.largest(point.flow))
    return np.asarray(fits.all(axis=1) & balanced)


def _still(point: Point, left: Floats, quiet: np.ndarray) -> np.ndarray:
    """Whether the energy left over moves nothing to speak of, or is rounding; over a crest, that it moves no water."""
    network, sizes = point.law.network, 8 * EPSILON * np.abs(point.pressure)
    at_source, at_target = some_columns(sizes, network.source), some_columns(sizes, network.target)
    still: np.ndarray = quiet | (left <= 100 * np.maximum(at_source, at_target))
    if len(network.crests):
        rounding = sizes.max(axis=1, initial=0.0)[:, None]
        still[:, network.crests] = left[:, network.crests] <= point.law.sill * NO_FLOW + rounding
    return still


def _small(point: Point, left: Floats, largest: Floats) -> np.ndarray:
    """Whether the energy left over is nothing beside the largest term; a crest has no terms."""
    small: np.ndarray = left <= 1e-3 + 1e-7 * largest
    if len(point.law.network.crests):
        small[:, point.law.network.crests] = True
    return small


def _note(left: Solution, rows: Ints, point: Point, settled: np.ndarray, told: np.ndarray) -> None:
    """Write down where the rows that are `told` stand; a row that had settled goes on standing where it did."""
    new = np.flatnonzero(told & ~left.settled[rows])
    rows, amount = rows[new], np.abs(some_rows(point.energy, new))
    left.flow[rows], left.pressure[rows] = some_rows(point.flow, new), some_rows(point.pressure, new)
    left.settled[rows] = settled[new]
    left.mass[rows] = np.abs(some_rows(point.mass, new)).max(axis=1, initial=0.0)
    left.imbalance[rows] = amount.max(axis=1, initial=0.0)
    left.worst[rows] = amount.argmax(axis=1) if amount.shape[1] else 0
