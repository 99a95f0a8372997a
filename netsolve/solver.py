"""Arrays to flows and pressures, all rows at once.

Unknowns are one flow for each edge and one total pressure (+ ρ g z) for each node. Newton's method on the balances of
energy and mass, the step from the Schur complement over the nodes (the global gradient form: Todini & Pilati 1988,
"A gradient algorithm for the analysis of pipe networks"), damped by a line search on the slope of the content
(Cherry 1951, Phil. Mag. 42, 1161; Millar 1951, Phil. Mag. 42, 1150), which rises along the step because every curve
rises. Pressures are found as increments: with a shut valve beside a short hose, sums of whole pressures would lose the
mass balance to rounding.
"""

from __future__ import annotations

from dataclasses import dataclass

import numpy as np

from netsolve.assemble import Network
from netsolve.law import Law
from netsolve.schur import Schur, pinned
from netsolve.stack import Floats, Ints

MOST_ITERATIONS = 100
FLOW_TOLERANCE = 1e-9
"""Of the largest flow in the row: the mass imbalance, and the flow correction that a settled run may still ask for."""

ENOUGH = 1 / 3
LONGEST = 4.0
MOST_TRIALS = 40
SMALLEST_SCALE = 1e-9
"""m3/s: the flow that stands for the largest one where nothing flows at all."""


@dataclass(frozen=True)
class Solution:
    """flow: (rows, edges) m3/s; pressure: (rows, nodes) total + ρ g z, Pa; the rest (rows,).

    `worst` is the edge with the most energy left over, `imbalance` (Pa) and `mass` (m3/s) the largest left over.
    """

    flow: Floats
    pressure: Floats
    settled: np.ndarray
    iterations: Ints
    mass: Floats
    imbalance: Floats
    worst: Ints


@dataclass
class _Balance:
    """What is left over at a point: the energy of each edge, the mass of each node, and whether that is nothing."""

    energy: Floats
    mass: Floats
    settled: np.ndarray
    inverse: Floats


def solve(network: Network) -> Solution:
    """Flows and pressures of every row, settled or not."""
    rows = len(network.rows)
    flow = np.where(network.carries, network.speed_area, 0.0)
    pressure = np.where(network.fixed, network.level, 0.0)
    pins = pinned(network)
    iterations = np.zeros(rows, dtype=np.intp)
    left = _Left(rows)
    active = np.arange(rows)
    law = Law.of(network, active)
    schur = Schur.of(network)
    for iteration in range(MOST_ITERATIONS + 1):
        here = flow[active], pressure[active]
        balance = _balance(law, *here)
        left.note(active, balance)
        going = ~balance.settled
        if iteration == MOST_ITERATIONS or not going.any():
            break
        if not going.all():
            active = active[going]
            law = Law.of(network, active)
            here = flow[active], pressure[active]
            balance = _balance(law, *here)
        flow[active], pressure[active] = _step(law, schur, pins[active], balance, *here, search=iteration > 0)
        iterations[active] += 1
    return Solution(flow, pressure, left.settled, iterations, left.mass, left.energy, left.worst)


class _Left:
    """What was left over in each row when it was last looked at."""

    def __init__(self, rows: int) -> None:
        self.settled = np.zeros(rows, dtype=bool)
        self.mass = np.zeros(rows)
        self.energy = np.zeros(rows)
        self.worst = np.zeros(rows, dtype=np.intp)

    def note(self, rows: Ints, balance: _Balance) -> None:
        amount = np.abs(balance.energy)
        self.settled[rows] = balance.settled
        self.mass[rows] = np.abs(balance.mass).max(axis=1, initial=0.0)
        self.energy[rows] = amount.max(axis=1, initial=0.0)
        self.worst[rows] = amount.argmax(axis=1) if amount.shape[1] else 0


def _balance(law: Law, flow: Floats, pressure: Floats) -> _Balance:
    """The imbalances, judged edge by edge: a shut run's pressure error means nothing, a free run's flow error neither."""
    drop, largest = law.drops(flow)
    inverse = law.inverse(flow)
    energy = np.where(law.carries, drop - law.difference(pressure), 0.0)
    mass = law.mass(flow)
    scale = np.maximum(np.abs(flow).max(axis=1, initial=0.0), SMALLEST_SCALE)[:, None]
    largest = np.maximum(largest, np.abs(law.difference(pressure)))
    fits = (np.abs(energy) <= 1e-3 + 1e-7 * largest) | (np.abs(law.times(inverse, energy)) <= FLOW_TOLERANCE * scale)
    settled = fits.all(axis=1) & (np.abs(mass) <= FLOW_TOLERANCE * scale).all(axis=1)
    return _Balance(energy, mass, settled, inverse)


def _step(
    law: Law, schur: Schur, pins: np.ndarray, balance: _Balance, flow: Floats, pressure: Floats, *, search: bool
) -> tuple[Floats, Floats]:
    """One damped Newton step. After the first the flows balance, so the content's slope along the step is known."""
    step, rise = _newton(law, schur, pins, balance.energy, balance.mass, balance.inverse)
    if not search:
        return flow + step, pressure + rise
    asked = law.difference(pressure + rise)
    wild = _wild(law, flow, step, asked)
    if wild.any():
        base = _on_curve(law, flow, step, asked, wild)
        drop, _ = law.drops(base)
        energy = np.where(law.carries, drop - law.difference(pressure), 0.0)
        other, raised = _newton(law, schur, pins, energy, law.mass(base), law.inverse(base))
        other = base + other - flow
        at_start = np.where(law.carries, law.drops(flow)[0] - law.difference(pressure + raised), 0.0)
        falls = (wild.any(axis=1) & ((other * at_start).sum(axis=1) < 0))[:, None]
        step, rise = np.where(falls, other, step), np.where(falls, raised, rise)
    return flow + _length(law, flow, step, pressure + rise)[:, None] * step, pressure + rise


def _newton(
    law: Law, schur: Schur, pins: np.ndarray, energy: Floats, mass: Floats, inverse: Floats
) -> tuple[Floats, Floats]:
    """The changes of flow and pressure that would leave nothing over if the curves were straight."""
    rise = schur.pressures(law, inverse, pins, law.times(inverse, energy), mass)
    return law.times(inverse, law.difference(rise) - energy), rise


WILD = 0.5


def _wild(law: Law, flow: Floats, step: Floats, asked: Floats) -> np.ndarray:
    """The edges whose tangent misleads: at the end of the step most of their imbalance would still be there."""
    before = np.abs(law.drops(flow)[0] - asked)
    after = np.abs(law.drops(flow + step)[0] - asked)
    worth = np.abs(step) * after
    return law.carries & (after > WILD * before) & (worth > 1e-3 * worth.max(axis=1, initial=0.0)[:, None]) & (after > 1e-3 + 1e-7 * np.abs(asked))


def _on_curve(law: Law, flow: Floats, step: Floats, asked: Floats, wild: np.ndarray) -> Floats:
    """For wild edges the flow at which their curve gives the pressure asked for, else the flow as it is."""
    low, high = np.zeros_like(flow), np.ones_like(flow)
    at_low = law.drops(flow)[0] - asked
    at_high = law.drops(flow + step)[0] - asked
    sign = np.sign(at_low)
    beyond = wild & (at_high * at_low > 0)
    high = np.where(beyond, 4.0, high)
    for turn in range(6):
        share = at_low / np.where(at_low == at_high, 1.0, at_low - at_high)
        share = np.where(turn % 2 == 1, 0.5, np.clip(share, 0.02, 0.98))
        middle = np.where(beyond, high, low + (high - low) * share)
        value = np.where(wild, law.drops(flow + np.where(wild, middle, 0.0) * step)[0] - asked, 0.0)
        same = value * sign > 0
        low, at_low = np.where(same, middle, low), np.where(same, value, at_low)
        high, at_high = np.where(same, np.where(beyond, 4.0 * high, high), middle), np.where(same, at_high, value)
        beyond &= same
    best = np.where(np.abs(at_low) < np.abs(at_high), low, high)
    return flow + np.where(wild, best, 0.0) * step


def _length(law: Law, flow: Floats, step: Floats, pressure: Floats) -> Floats:
    """How far to go along the step: where the content's slope has fallen to a small share of what it was.

    The slope is Σ step (h(flow + t step) - Δp); it rises with t. It is bracketed, then found by secant steps, never
    fewer than a bisection every third. Rows where it is at rounding level, or does not fall at first, take t = 1.
    """
    difference = law.difference(pressure)

    def slope(at: Floats) -> Floats:
        drop, _ = law.drops(flow + at[:, None] * step)
        terms: Floats = (step * np.where(law.carries, drop - difference, 0.0)).sum(axis=1)
        return terms

    start = slope(np.zeros(len(flow)))
    noise = 1e-13 * (np.abs(step) * (np.abs(difference) + np.abs(law.drops(flow)[0]))).sum(axis=1)
    goal = np.maximum(ENOUGH * np.abs(start), noise)
    length = np.ones(len(flow))
    value = slope(length)
    low, at_low, high, at_high = np.zeros(len(flow)), start, np.full(len(flow), np.inf), np.ones(len(flow))
    searching = (start < -noise) & (np.abs(value) > goal)
    for turn in range(MOST_TRIALS):
        if not searching.any():
            break
        below, above = searching & (value < 0), searching & (value >= 0)
        low, at_low = np.where(below, length, low), np.where(below, value, at_low)
        high, at_high = np.where(above, length, high), np.where(above, value, at_high)
        length = np.where(searching, _trial(low, at_low, high, at_high, bisect=turn % 3 == 2), length)
        value = slope(length)
        searching &= np.abs(value) > goal
        searching &= (length < LONGEST) | (value > 0)
    return length


def _trial(low: Floats, at_low: Floats, high: Floats, at_high: Floats, *, bisect: bool) -> Floats:
    """The next length: inside the bracket where there is one, else further along the step."""
    bracketed = np.isfinite(high)
    top = np.where(bracketed, high, 2.0 * low)
    share = np.full(len(low), 0.5) if bisect else np.clip(at_low / np.minimum(at_low - at_high, -1e-300), 0.01, 0.99)
    return np.where(bracketed, low + (top - low) * share, np.minimum(2.0 * low, LONGEST))
