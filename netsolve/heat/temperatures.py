"""Temperatures along the water: mixing where runs meet, pickup in coolers, and what that takes out of each oil.

Everything is linear in the temperatures, so a row is one small system of equations. The water has the density, heat
capacity and viscosity of the circuit's water throughout, however warm it gets; what a run holds is warm at once.
"""

from __future__ import annotations

import math
from collections.abc import Iterator, Mapping, Sequence
from dataclasses import dataclass
from functools import cached_property

import numpy as np

from netsolve.arrays.stack import Floats, Ints
from netsolve.circuit import Part, Row, Run
from netsolve.component import NO_FLOW, Opening
from netsolve.contract.cooling import Cooling

USUAL_TEMPERATURE = 288.15
"""K: of a liquid that is known by its numbers and does not say."""

_SPARSE = 400
"""Joints from which on a sparse solver is quicker."""

_NOTHING = 1e-13
"""m3/s: what rounding leaves of a flow."""


@dataclass(frozen=True)
class Passage:
    """A part with water in it: the temperatures before and after it, and what is taken up (W).

    All three are weights (1 + oils,): a constant, and so much for each kelvin of each oil, above the water's own.
    """

    before: Floats
    after: Floats
    taken: Floats


@dataclass(frozen=True)
class Response:
    """How the water's temperatures answer to those of the oils, in one row; weights as in `Passage`.

    `joints` are the water that leaves each joint, `ends` what arrives at each opening; nan where nothing fixes them.
    """

    row: Row
    flows: Mapping[str, float]
    joints: Mapping[str, Floats]
    ends: Mapping[str, Floats]
    passages: Mapping[str, Passage]

    @cached_property
    def water(self) -> float:
        """Temperature of the water that comes in, K."""
        return water_temperature(self.row)

    def uptake(self, oil: str) -> Floats:
        """What the coolers of an oil take out of it, W, as weights (1 + oils,)."""
        coolers = [each for name, each in self.passages.items() if self.row.parts[name].cools == oil]
        return sum((each.taken for each in coolers), np.zeros(1 + len(self.row.oils)))

    def at(self, weights: Floats, oils: Floats) -> float | None:
        """A weighted value with the oils so warm above the water; None where it is not fixed."""
        known, unknown = np.nan_to_num(oils), np.isnan(oils)
        if np.isnan(weights).any() or (np.abs(weights[1:][unknown]) > 1e-12).any():
            return None
        return float(weights[0] + weights[1:] @ known)

    def temperature(self, weights: Floats, oils: Floats) -> float | None:
        """A weighted temperature, K."""
        above = self.at(weights, oils)
        return None if above is None else self.water + above


def water_temperature(row: Row) -> float:
    """Temperature of the water that comes in, K."""
    given = getattr(row.liquid, "temperature", None)
    return USUAL_TEMPERATURE if given is None else float(given)


def rate_of(row: Row) -> float:
    """What a cubic metre of the water holds for each kelvin, J/(m3 K)."""
    return float(row.water.density) * float(row.water.heat_capacity)


def has_heat(row: Row) -> bool:
    """Whether anything in the row has to do with heat."""
    return bool(row.oils) or any(part.cooling is not None for part in row.parts.values())


def response(row: Row, flows: Mapping[str, float]) -> Response:
    """The water's temperatures in a row whose runs have these flows, m3/s."""
    index = {name: place for place, name in enumerate(row.places)}
    size = 1 + len(row.oils)
    walks = [_Walk(row, run, flows.get(run.name, 0.0)) for run in row.runs.values() if not run.blanked]
    walks = [walk for walk in walks if abs(walk.flow) > _NOTHING]
    joints = _joints(row, walks, index, size)
    passages: dict[str, Passage] = {}
    ends: dict[str, Floats] = {}
    for walk in walks:
        start = joints[index[walk.begin]]
        for name, before, after in walk.steps:
            first, last = before.times(start), after.times(start)
            taken = np.zeros(size) if after is before else abs(walk.flow) * rate_of(row) * (last - first)
            passages[name] = Passage(first, last, taken)
        ends[walk.end] = walk.whole.times(start)
    openings = {name for name, place in row.places.items() if isinstance(place.joint, Opening)}
    wet = {joint for walk in walks for joint in (walk.begin, walk.end)}
    return Response(
        row,
        flows,
        {name: joints[index[name]] for name in wet},
        {name: weights for name, weights in ends.items() if name in openings},
        passages,
    )


@dataclass(frozen=True)
class _Change:
    """What happens to the temperature along a stretch: `kept` of it stays, `added` comes to it."""

    kept: float
    added: Floats

    def times(self, weights: Floats) -> Floats:
        return self.kept * weights + self.added

    def then(self, other: _Change) -> _Change:
        return _Change(self.kept * other.kept, other.kept * self.added + other.added)


class _Walk:
    """A run followed in the direction of its flow."""

    def __init__(self, row: Row, run: Run, flow: float) -> None:
        self.flow = flow
        ends = (run.source.joint, run.target.joint)
        self.begin, self.end = ends if flow > 0 else ends[::-1]
        self.steps = list(self._steps(row, run))
        self.whole = self.steps[-1][2] if self.steps else _Change(1.0, np.zeros(1 + len(row.oils)))

    def _steps(self, row: Row, run: Run) -> Iterator[tuple[str, _Change, _Change]]:
        """Each fitted part with what has happened to the temperature before it, and after it."""
        so_far = _Change(1.0, np.zeros(1 + len(row.oils)))
        for name in run.parts if self.flow > 0 else run.parts[::-1]:
            part = row.parts[name]
            if not part.fitted:
                continue
            after = so_far
            for _ in range(part.count if part.cooling and abs(self.flow) >= NO_FLOW else 0):
                after = after.then(_change(row, part, abs(self.flow)))
            yield name, so_far, after
            so_far = after


def _change(row: Row, part: Part, flow: float) -> _Change:
    """What one cooler does to the temperature of the water."""
    added = np.zeros(1 + len(row.oils))
    cooling = part.cooling
    if cooling is None:
        return _Change(1.0, added)
    if cooling.heat is not None:
        added[0] = cooling.heat / (flow * rate_of(row))
        return _Change(1.0, added)
    return _exchange(row, part, cooling, added, flow)


def _exchange(row: Row, part: Part, cooling: Cooling, added: Floats, flow: float) -> _Change:
    """What the water takes up from an oil or from what is outside."""
    rate = flow * rate_of(row)
    if part.cools is not None:
        held = row.oils[part.cools].oil.heat_rate()
        share = cooling.conductance(flow, rate_of(row), held) / rate
        added[1 + list(row.oils).index(part.cools)] = share
        return _Change(1.0 - share, added)
    if cooling.outside is None:
        return _Change(1.0, added)
    share = cooling.conductance(flow, rate_of(row), math.inf) / rate
    added[0] = share * (cooling.outside - water_temperature(row))
    return _Change(1.0 - share, added)


def _joints(row: Row, walks: Sequence[_Walk], index: Mapping[str, int], size: int) -> Floats:
    """The water that leaves each joint, above the water's own temperature, (joints, 1 + oils)."""
    begin = np.array([index[walk.begin] for walk in walks], dtype=np.intp)
    end = np.array([index[walk.end] for walk in walks], dtype=np.intp)
    flow = np.array([abs(walk.flow) for walk in walks])
    kept = np.array([walk.whole.kept for walk in walks])
    added = np.array([walk.whole.added for walk in walks]).reshape(-1, size)
    fresh = [max(float(np.max(place.joint.inflow())), 0.0) for place in row.places.values()]
    into = np.bincount(end, flow, len(index)) + fresh
    openings = np.array([isinstance(place.joint, Opening) for place in row.places.values()])
    fixed = openings | (into == 0)
    share = np.where(fixed[end], 0.0, flow / into[end])
    brought = np.zeros((len(index), size))
    np.add.at(brought, end, share[:, None] * added)
    linked = np.bincount(end, share * kept, len(index))
    anchored = _anchored(fixed | (linked < 1.0 - 1e-12), begin, end)
    links = np.where(anchored[end], share * kept, 0.0)
    weights = _solved(links, begin, end, brought)
    weights[~anchored] = np.nan
    return weights


def _anchored(sure: np.ndarray, begin: Ints, end: Ints) -> np.ndarray:
    """Which temperatures something fixes: those that are sure, and all that flows on from them."""
    found, before = sure.copy(), -1
    while found.sum() != before:
        before = found.sum()
        np.logical_or.at(found, end, found[begin])
    return found


def _solved(links: Floats, begin: Ints, end: Ints, brought: Floats) -> Floats:
    """The temperatures x of x[end] = sum of links x[begin] + brought."""
    count = len(brought)
    if count < _SPARSE:
        matrix = np.eye(count)
        np.add.at(matrix, (end, begin), -links)
        return np.asarray(np.linalg.solve(matrix, brought), dtype=np.float64)
    from scipy.sparse import csc_array, eye_array
    from scipy.sparse.linalg import splu

    sparse = eye_array(count, format="csc") - csc_array((links, (end, begin)), shape=(count, count))
    solution: Floats = splu(sparse.tocsc()).solve(brought)
    return solution
