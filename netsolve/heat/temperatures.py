"""Temperatures along the water: mixing where runs meet, pickup in coolers, and what that takes out of each oil.

Everything is linear in the temperatures, so each row is one small system of equations, and all rows are solved at once.
The water has the density and heat capacity of the circuit's water throughout, however warm it gets; what a run holds is
warm at once.
"""

from __future__ import annotations

import math
from collections.abc import Iterator
from dataclasses import dataclass, field
from functools import cached_property
from typing import Any

import numpy as np

from netsolve.arrays.stack import Floats, Ints
from netsolve.circuit import Run
from netsolve.component import NO_FLOW
from netsolve.heat.stated import Stated

_SPARSE = 400
"""Joints from which on a sparse solver is quicker."""

_BLOCK = 4_000_000
"""Numbers in the matrices that are worked on at once."""

_NOTHING = 1e-13
"""m3/s: what rounding leaves of a flow."""


@dataclass(frozen=True)
class Change:
    """What happens to the temperature along a stretch: `kept` (rows,) of it stays, `added` comes to it.

    `added` are weights (rows, 1 + oils): a constant, and so much for each kelvin of each oil, above the water's own.
    """

    kept: Floats
    added: Floats

    def times(self, weights: Floats) -> Floats:
        """The weights of the temperature at the end of the stretch, from those at its beginning."""
        return self.kept[:, None] * weights + self.added

    def then(self, other: Change, where: np.ndarray) -> Change:
        """This and then another, in some of the rows."""
        if not where.any():
            return self
        last = Change(self.kept * other.kept, other.kept[:, None] * self.added + other.added)
        if where.all():
            return last
        return Change(np.where(where, last.kept, self.kept), np.where(where[:, None], last.added, self.added))


@dataclass(frozen=True)
class Passages:
    """A run's coolers in both directions: what has happened to the water by each of them, counted from either end."""

    run: Run
    place: int
    coolers: tuple[str, ...]
    along: tuple[Change, ...]
    against: tuple[Change, ...]


@dataclass(frozen=True)
class Response:
    """How the water's temperatures answer to those of the oils; weights (rows, 1 + oils) as in `Change`.

    `flow` is (rows, runs) in m3/s, 0 where there is next to none; `joints` (rows, joints, 1 + oils) are the water that
    leaves each joint, nan where nothing fixes it.
    """

    stated: Stated
    flow: Floats
    source: Ints
    target: Ints
    runs: tuple[Passages, ...]
    joints: Floats
    _passages: dict[tuple[int, int, int], Floats] = field(default_factory=dict, init=False, repr=False, compare=False)

    @cached_property
    def place_of(self) -> dict[str, tuple[Passages, int]]:
        """Each part's run, and how many coolers stand before it."""
        found: dict[str, tuple[Passages, int]] = {}
        for each in self.runs:
            passed = 0
            for name in each.run.parts:
                found[name] = each, passed
                passed += name in each.coolers
        return found

    def before(self, part: str) -> Floats:
        """The water that comes to a part; nan where none does."""
        return self._at(part, after=False)

    def after(self, part: str) -> Floats:
        """The water that leaves a part; nan where none does."""
        return self._at(part, after=True)

    def at_end(self, run: str, *, target: bool) -> Floats:
        """The water in the end of a run, at its source or its target."""
        each = self.runs[list(self.stated.row.runs).index(run)]
        count = len(each.coolers)
        return self._passed(each, count if target else 0, 0 if target else count)

    def _at(self, part: str, *, after: bool) -> Floats:
        each, passed = self.place_of[part]
        behind = len(each.coolers) - passed - (part in each.coolers)
        more = int(after and part in each.coolers)
        weights = self._passed(each, passed + more, behind + more)
        return np.where(self.stated.fitted[part][:, None], weights, np.nan)

    def _passed(self, each: Passages, along: int, against: int) -> Floats:
        """The water of a run that has passed so many of its coolers, by the direction of its flow; kept."""
        key = each.place, along, against
        if key not in self._passages:
            self._passages[key] = self._past(each, along, against)
        return self._passages[key]

    def _past(self, each: Passages, along: int, against: int) -> Floats:
        flow = self.flow[:, each.place]
        begin = np.where(flow > 0, self.source[each.place], self.target[each.place])
        start = self.joints[np.arange(len(flow)), begin]
        way, back = each.along[along], each.against[against]
        forward = flow > 0
        kept, added = np.where(forward, way.kept, back.kept), np.where(forward[:, None], way.added, back.added)
        return np.where((flow != 0)[:, None], kept[:, None] * start + added, np.nan)

    def taken(self, part: str) -> Floats:
        """What the water takes up in a part, W."""
        flow = np.abs(self.flow[:, self.place_of[part][0].place])
        taken = (flow * self.stated.rate)[:, None] * (self.after(part) - self.before(part))
        idle = np.where((flow > 0.0) & self.stated.fitted[part], 0.0, np.nan)
        return np.where((flow >= NO_FLOW)[:, None], taken, idle[:, None])

    def uptake(self, oil: str) -> Floats:
        """What the coolers of an oil take out of it, W."""
        total = np.zeros((self.stated.count, self.joints.shape[2]))
        for name in self.stated.coolers:
            if self.stated.row.parts[name].cools == oil:
                wet = self.stated.fitted[name] & (self.flow[:, self.place_of[name][0].place] != 0)
                total += np.where(wet[:, None], self.taken(name), 0.0)
        return total

    def at_joint(self, name: str) -> Floats:
        """The water that has met at a joint; at an opening what arrives there, else what comes in."""
        place = list(self.stated.row.places).index(name)
        met = self.joints[:, place]
        wet = ((self.flow != 0) & ((self.source == place) | (self.target == place))).any(axis=1)
        if self.stated.openings[place]:
            met = self._arriving(place, met)
        return np.where(wet[:, None], met, np.nan)

    def _arriving(self, place: int, otherwise: Floats) -> Floats:
        """What runs bring to a joint, mixed."""
        flows, brought = np.zeros(len(self.flow)), np.zeros_like(otherwise)
        for each in self.runs:
            inwards = (self.target[each.place] == place, self.source[each.place] == place)
            if any(inwards):
                flow = self.flow[:, each.place] * (1.0 if inwards[0] else -1.0)
                here = flow > 0
                water = self._passed(each, len(each.coolers), len(each.coolers))
                brought += np.where(here[:, None], flow[:, None] * water, 0.0)
                flows += np.where(here, flow, 0.0)
        some = np.where(flows > 0, flows, 1.0)
        return np.where((flows > 0)[:, None], brought / some[:, None], otherwise)

    def brought(self, name: str) -> Floats:
        """What the runs bring to a joint, m3/s; below zero where they take more away."""
        place = list(self.stated.row.places).index(name)
        arrives: Floats = (self.flow * (self.target == place)).sum(axis=1) - (self.flow * (self.source == place)).sum(
            axis=1
        )
        return arrives

    def at(self, weights: Floats, oils: Floats) -> Floats:
        """Weighted values with the oils (rows, oils) so warm above the water; nan where they are not fixed."""
        unknown = np.isnan(oils)
        lost = ((np.abs(weights[:, 1:]) > 1e-12) & unknown).any(axis=1)
        total = weights[:, 0] + (weights[:, 1:] * np.where(unknown, 0.0, oils)).sum(axis=1)
        return np.where(lost, np.nan, total)

    def temperature(self, weights: Floats, oils: Floats) -> Floats:
        """Weighted temperatures, K."""
        return self.stated.water + self.at(weights, oils)


def response(stated: Stated, flow: Floats) -> Response:
    """The water's temperatures in rows whose runs have these flows (rows, runs), m3/s; nan stands for none."""
    flow = np.where(np.abs(flow) > _NOTHING, flow, 0.0)
    index = {name: place for place, name in enumerate(stated.row.places)}
    source = np.array([index[run.source.joint] for run in stated.row.runs.values()], dtype=np.intp)
    target = np.array([index[run.target.joint] for run in stated.row.runs.values()], dtype=np.intp)
    nothing = Change(np.ones(stated.count), np.zeros((stated.count, 1 + len(stated.oils))))
    runs = tuple(_passages(stated, run, place, flow, nothing) for place, run in enumerate(stated.row.runs.values()))
    return Response(stated, flow, source, target, runs, _joints(stated, flow, source, target, runs))


def _passages(stated: Stated, run: Run, place: int, flow: Floats, nothing: Change) -> Passages:
    coolers = tuple(name for name in run.parts if name in stated.coolers)
    amount = flow[:, place]
    changes = [_change(stated, name, np.abs(amount)) for name in coolers]
    along = _followed(stated, coolers, changes, amount, nothing)
    against = _followed(stated, coolers[::-1], changes[::-1], -amount, nothing)
    return Passages(run, place, coolers, tuple(along), tuple(against))


def _followed(
    stated: Stated, coolers: tuple[str, ...], changes: list[Change], flow: Floats, nothing: Change
) -> Iterator[Change]:
    """What has happened after none of the coolers, after the first, and so on; several alike count one by one."""
    so_far = nothing
    yield so_far
    for name, change in zip(coolers, changes, strict=True):
        working = stated.fitted[name] & (flow >= NO_FLOW)
        for number in range(int(stated.counts[name].max())):
            so_far = so_far.then(change, working & (number < stated.counts[name]))
        yield so_far


def _change(stated: Stated, name: str, flow: Floats) -> Change:
    """What one cooler does to the temperature of the water; nothing without flow."""
    flow = np.maximum(flow, NO_FLOW)
    kept, added = np.ones(stated.count), np.zeros((stated.count, 1 + len(stated.oils)))
    oil = stated.row.parts[name].cools
    for rows, cooling in stated.coolers[name].groups:
        rate = flow[rows] * stated.rate[rows]
        if cooling.heat is not None:
            added[rows, 0] = cooling.heat / rate
        elif oil is not None:
            held = stated.oils[oil].read(lambda each, _: each.heat_rate())[rows]
            share = _share(stated, cooling, flow, rows, held)
            kept[rows], added[rows, 1 + stated.names.index(oil)] = 1.0 - share, share
        elif cooling.outside is not None:
            share = _share(stated, cooling, flow, rows, math.inf)
            kept[rows], added[rows, 0] = 1.0 - share, share * (cooling.outside - stated.water[rows])
    return Change(kept, added)


def _share(stated: Stated, cooling: Any, flow: Floats, rows: Ints, held: Floats | float) -> Floats:
    """The share of the way to the other side's temperature that the water goes."""
    water = stated.rate[rows]
    share: Floats = cooling.conductance(flow[rows], water, held) / (flow[rows] * water)
    return share


def _joints(stated: Stated, flow: Floats, source: Ints, target: Ints, runs: tuple[Passages, ...]) -> Floats:
    """The water that leaves each joint, above the water's own temperature, (rows, joints, 1 + oils)."""
    count, size = len(stated.openings), 1 + len(stated.oils)
    into = np.maximum(stated.inflow, 0.0)
    ends = [(each, *way) for each in runs for way in ((1.0, source, target), (-1.0, target, source))]
    for each, sign, _, end in ends:
        into[:, end[each.place]] += np.maximum(sign * flow[:, each.place], 0.0)
    fixed = stated.openings | (into == 0.0)
    brought, linked = np.zeros((stated.count, count, size)), np.zeros((stated.count, count))
    links: list[tuple[int, int, Floats, np.ndarray]] = []
    for each, sign, begin, end in ends:
        start, stop, amount = int(begin[each.place]), int(end[each.place]), sign * flow[:, each.place]
        wet = amount > 0.0
        if not wet.any():
            continue
        whole = (each.along if sign > 0 else each.against)[-1]
        share = np.where(wet & ~fixed[:, stop], amount / np.where(wet, into[:, stop], 1.0), 0.0)
        if each.coolers:
            brought[:, stop] += share[:, None] * whole.added
        linked[:, stop] += share * whole.kept
        links.append((start, stop, share * whole.kept, wet))
    anchored = _anchored(fixed | (linked < 1.0 - 1e-12), links)
    inner, place = ~stated.openings, np.cumsum(~stated.openings) - 1
    between = [
        (int(place[start]), int(place[stop]), np.where(anchored[:, stop], link, 0.0))
        for start, stop, link, _ in links
        if inner[start] and inner[stop]
    ]
    weights = np.zeros_like(brought)
    weights[:, inner] = _solved(between, brought[:, inner])
    weights[~anchored] = np.nan
    return weights


def _anchored(sure: np.ndarray, links: list[tuple[int, int, Floats, np.ndarray]]) -> np.ndarray:
    """Which temperatures something fixes: those that are sure, and all that flows on from them."""
    found, before = sure.copy(), -1
    while found.sum() != before:
        before = int(found.sum())
        for start, stop, _, wet in links:
            found[:, stop] |= found[:, start] & wet
    return found


def _solved(links: list[tuple[int, int, Floats]], brought: Floats) -> Floats:
    """The temperatures x of x[stop] = sum of links x[start] + brought."""
    rows, count, _ = brought.shape
    if count >= _SPARSE:
        return _solved_sparsely(links, brought)
    solution = np.empty_like(brought)
    step = max(1, _BLOCK // max(count, 1) ** 2)
    for begin in range(0, rows, step):
        some = slice(begin, begin + step)
        matrix = np.zeros((len(brought[some]), count, count))
        matrix[:, np.arange(count), np.arange(count)] = 1.0
        for start, stop, link in links:
            matrix[:, stop, start] -= link[some]
        solution[some] = np.linalg.solve(matrix, brought[some])
    return solution


def _solved_sparsely(links: list[tuple[int, int, Floats]], brought: Floats) -> Floats:
    from scipy.sparse import csc_array, eye_array
    from scipy.sparse.linalg import splu

    rows, count, _ = brought.shape
    starts, stops, solution = [link[0] for link in links], [link[1] for link in links], np.empty_like(brought)
    for row in range(rows):
        matrix = csc_array(([link[2][row] for link in links], (stops, starts)), shape=(count, count))
        solution[row] = splu((eye_array(count, format="csc") - matrix).tocsc()).solve(brought[row])
    return solution
