"""Where a flow crosses what is wanted of it along an axis of a sweep: the root is found, not read off the grid."""

from __future__ import annotations

from collections.abc import Iterator, Mapping, Sequence
from dataclasses import dataclass
from typing import Any, Protocol

import numpy as np

from netsolve.arrays.stack import Floats, Ints
from netsolve.problems import CircuitError
from netsolve.study.axes import Axis
from netsolve.study.settable import Value
from netsolve.study.sweep import Group, Sweep
from netsolve.study.verdict_columns import Table, bound, carried

TOLERANCES = {"xatol": 0.0, "xrtol": 1e-8, "fatol": 1e-7, "frtol": 0.0}
"""Of the value, and of what is wanted."""

MOST_STEPS = 60


class Goal(Protocol):
    """What is wanted of a flow, or of an oil: `excess` (rows,) is how much there is above it, in shares of it."""

    @property
    def about(self) -> str:
        """The part, run or oil that it is wanted of."""

    def excess(self, table: Table) -> Floats:
        """nan where there is nothing to say."""


@dataclass(frozen=True)
class Need:
    """The least or the most flow of a part, `min_flow` or `max_flow`."""

    about: str
    bound: str

    def excess(self, table: Table) -> Floats:
        """How much more than the least, or less than the most, it gets."""
        wanted = bound(table, self.about, self.bound)
        sign = 1.0 if self.bound == "min_flow" else -1.0
        with np.errstate(divide="ignore", invalid="ignore"):
            excess = sign * (carried(table, self.about) - wanted) / wanted
        return np.where(np.isinf(wanted), -1.0, excess)


PLENTY = 10.0
"""K: a temperature so far from what is wanted is as far off as a flow that is twice what is wanted."""


@dataclass(frozen=True)
class Cool:
    """An oil is to settle below its `limit` or its `alarm`."""

    about: str
    bound: str

    def excess(self, table: Table) -> Floats:
        """How far below it settles."""
        return (oil_bound(table, self.about, self.bound) - table.heat.plateau(self.about)) / PLENTY


def oil_bound(table: Table, oil: str, bound: str) -> Floats:
    """The limit or the alarm of an oil in every row, K; nan where it has none."""
    return table.heat.stated.oils[oil].field(bound)


@dataclass(frozen=True)
class Crossing:
    """A value (SI) of the axis at which a goal is just met; `rises` where it is met by more, not by less.

    The value is None where none in between can be, as of what comes in whole numbers.
    `settings` are those of the other axes; `between` are the neighbouring values of the sweep.
    """

    condition: str
    change: str
    settings: Mapping[str, Value]
    goal: Goal
    path: str
    value: float | None
    between: tuple[float, float]
    rises: bool


def needs_of(sweep: Sweep) -> list[Need | Cool]:
    """The goals that are the needs of a sweep's parts, and the limits and alarms of its oils."""
    both = (Need(part, name) for part in sweep.needs for name in ("min_flow", "max_flow"))
    flows = [each for each in both if not np.isnan(sweep.bound(each.about, each.bound)).all()]
    cool = (Cool(oil, name) for oil in sweep.oils for name in ("limit", "alarm"))
    return [*flows, *(each for each in cool if np.isfinite(sweep.oil_bound(each.about, each.bound)).any())]


def crossings(sweep: Sweep, axis: Axis, goals: Sequence[Goal]) -> list[Crossing]:
    """Every crossing of a goal between two neighbouring values of an axis of numbers, in the order of the rows."""
    return [each for group in sweep.groups for each in _in_group(sweep, group, axis, goals)]


def _in_group(sweep: Sweep, group: Group, axis: Axis, goals: Sequence[Goal]) -> Iterator[Crossing]:
    table = group.table
    before, after = _neighbours(table.columns, axis)
    excess = np.stack([goal.excess(table) for goal in goals]) if goals else np.empty((0, table.network.count))
    enough = excess >= 0
    known = np.isfinite(excess)
    changes = (enough[:, before] != enough[:, after]) & known[:, before] & known[:, after]
    which, pair = np.nonzero(changes)
    if not len(which):
        return
    starts, stops = before[pair], after[pair]
    values = _roots(table, axis, goals, which, starts, stops)
    column = table.columns[axis.path]
    for goal, start, stop, value in zip(which, starts, stops, values, strict=True):
        set_there = sweep.combinations[group.places[start] % len(sweep.combinations)]
        yield Crossing(
            group.condition,
            group.change,
            {path: each for path, each in set_there.items() if path not in axis.values},
            goals[int(goal)],
            axis.path,
            float(value) if np.isfinite(value) else None,
            (float(column[start]), float(column[stop])),
            bool(enough[goal, stop]),
        )


def _neighbours(columns: Mapping[str, Floats], axis: Axis) -> tuple[Ints, Ints]:
    """The rows that differ in the axis alone and stand side by side along it: those before, and those after."""
    others = [values for path, values in columns.items() if path not in axis.values]
    along = columns[axis.path]
    line = np.zeros(len(along), dtype=np.intp)
    if others:
        line = np.unique(np.stack(others, axis=1), axis=0, return_inverse=True)[1].reshape(-1)
    order = np.lexsort((along, line))
    before, after = order[:-1], order[1:]
    beside = (line[before] == line[after]) & (along[before] < along[after])
    return before[beside], after[beside]


def _roots(table: Table, axis: Axis, goals: Sequence[Goal], which: Ints, starts: Ints, stops: Ints) -> Floats:
    """The values of the axis at which the excess of each goal is nothing; where it jumps, at which it does."""
    from scipy.optimize import elementwise

    search: Any = elementwise.find_root

    def excess(value: Floats, element: Floats) -> Floats:
        wanted = np.ravel(element).astype(np.intp)
        rows = starts[wanted]
        columns = {path: np.ravel(value) if path in axis.values else each[rows] for path, each in table.columns.items()}
        solved = table.again(columns)
        found = np.stack([goal.excess(solved) for goal in goals])
        return np.asarray(found[which[wanted], np.arange(len(wanted))].reshape(np.shape(value)))

    column = table.columns[axis.path]
    elements = np.arange(len(which), dtype=float)
    ends = column[starts], column[stops]
    try:
        found = search(excess, ends, args=(elements,), tolerances=TOLERANCES, maxiter=MOST_STEPS)
    except CircuitError:  # some values in between cannot be, as half a part
        return np.full(len(which), np.nan)
    return np.asarray(found.x, dtype=float)
