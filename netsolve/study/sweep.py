"""Rows over values: every combination of the settings, crossed with conditions and changes."""

from __future__ import annotations

import csv
import math
from collections.abc import Callable, Iterator, Mapping, Sequence
from dataclasses import dataclass, field, replace
from functools import cached_property, partial
from itertools import chain, product
from math import prod
from pathlib import Path
from typing import Any

import numpy as np

from netsolve.answer import answer
from netsolve.arrays.stack import Floats, Ints
from netsolve.assemble import assemble
from netsolve.circuit import Circuit, Row
from netsolve.findings import judge
from netsolve.heat.stated import stated
from netsolve.problems import CircuitError, Problem
from netsolve.reading.assumed import si_symbol
from netsolve.result import Result, RowResult, Rows
from netsolve.study.axes import Axis
from netsolve.study.many import solve_many
from netsolve.study.settable import Value, text_of
from netsolve.study.verdict_columns import NeedColumns, Table, carried, need_columns
from netsolve.warmed import solve_warmed

MOST_ROWS = 200_000


@dataclass(frozen=True)
class Group:
    """Rows that were solved together, and where they stand among the rows of the sweep."""

    condition: str
    change: str
    places: Ints
    table: Table
    rows: Sequence[RowResult]

    @cached_property
    def needs(self) -> dict[str, NeedColumns]:
        """The columns of every part with a need."""
        return need_columns(self.table)


@dataclass(frozen=True)
class Sweep(Result):
    """The result of a sweep: its rows in the order of the situations, then of the axes, the last one fastest.

    A situation is a condition under a change; each has a row for each of the `combinations` of values (SI).
    """

    axes: tuple[Axis, ...] = ()
    situations: tuple[tuple[str, str], ...] = ()
    combinations: Sequence[Mapping[str, Value]] = field(default=(), repr=False)
    groups: tuple[Group, ...] = field(default=(), repr=False)

    @property
    def shape(self) -> tuple[int, ...]:
        """How many values each axis has."""
        return tuple(len(axis) for axis in self.axes)

    @cached_property
    def needs(self) -> tuple[str, ...]:
        """The names of the parts that have a need in any of the rows."""
        wanted = {name for group in self.groups for name in group.needs}
        return tuple(name for name in self.circuit.as_found.parts if name in wanted)

    @cached_property
    def settled(self) -> np.ndarray:
        """Whether each row settled: (rows,)."""
        return self.column(False, lambda group: group.table.solution.settled)

    def flow(self, part: str) -> Floats:
        """The flow of a part with a need in every row, m3/s; nan where the row did not settle or it is not fitted."""
        return self._of_need(part, "flow")

    def carried(self, name: str) -> Floats:
        """What a part or run carries along its run in every row, m3/s: less than nothing where it is reversed."""
        return self.column(np.nan, lambda group: carried(group.table, name))

    def verdict(self, part: str) -> np.ndarray:
        """The verdict of a part with a need in every row; empty where the row did not settle or it is not fitted."""
        return self.column("", lambda group: group.needs[part].verdict if part in group.needs else "")

    def bound(self, part: str, name: str) -> Floats:
        """The `min_flow` or `max_flow` of a part in every row, m3/s; nan where it has none."""
        return self._of_need(part, name)

    @cached_property
    def oils(self) -> tuple[str, ...]:
        """The names of the oils in any of the rows."""
        return tuple(dict.fromkeys(name for group in self.groups for name in group.table.heat.stated.names))

    def plateau(self, oil: str) -> Floats:
        """Where an oil settles in every row, K; nan where the row did not settle, or the oil does not."""
        return self._of_oil(oil, lambda group: group.table.heat.plateau(oil))

    def time_to_alarm(self, oil: str) -> Floats:
        """From cold until an oil's alarm in every row, s; infinite where it is never reached, nan where it has none."""
        return self._of_oil(oil, lambda group: group.table.heat.time_to_alarm(oil))

    def oil_bound(self, oil: str, name: str) -> Floats:
        """The `limit` or `alarm` of an oil in every row, K; nan where it has none."""
        return self._of_oil(oil, lambda group: group.table.heat.stated.oils[oil].field(name))

    def _of_oil(self, oil: str, of: Callable[[Group], Floats]) -> Floats:
        def there(group: Group) -> Any:
            known = oil in group.table.heat.stated.names
            return np.where(group.table.solution.settled, of(group), np.nan) if known else np.nan

        return self.column(np.nan, there)

    def _of_need(self, part: str, name: str) -> Floats:
        return self.column(np.nan, lambda group: getattr(group.needs[part], name) if part in group.needs else np.nan)

    def column(self, blank: Any, of: Callable[[Group], Any]) -> np.ndarray:
        """What there is in each group, (rows of it,) or one value for all, put together in the order of the rows."""
        whole = np.full(len(self.rows), blank, dtype=object if blank == "" else type(blank))
        for group in self.groups:
            whole[group.places] = of(group)
        return whole

    def lines(self) -> Iterator[dict[str, Any]]:
        """One mapping for each row, SI: what was set, flow and verdict of each part with a need, each oil."""
        flows = {name: self.flow(name).tolist() for name in self.needs}
        verdicts = {name: self.verdict(name).tolist() for name in self.needs}
        oils = {name: (self.plateau(name).tolist(), self.time_to_alarm(name).tolist()) for name in self.oils}
        kinds = {path: kind for axis in self.axes for path, kind in axis.kinds.items()}
        heads = {path: f"{path} {si_symbol(kind) if kind else ''}".strip() for path, kind in kinds.items()}
        places = product(self.situations, self.combinations)
        for row, ((condition, change), values) in enumerate(places):
            line: dict[str, Any] = {"condition": condition, "change": change}
            line |= {heads[path]: value for path, value in values.items()}
            line["settled"] = bool(self.settled[row])
            for name in self.needs:
                line[f"{name} flow m3/s"] = None if math.isnan(flows[name][row]) else flows[name][row]
                line[f"{name} verdict"] = verdicts[name][row] or None
            for name, (plateau, time) in oils.items():
                line[f"{name} settles K"] = _finite(plateau[row])
                line[f"{name} alarm s"] = _finite(time[row])
            yield line

    def to_csv(self, path: str | Path) -> None:
        """Write one line for each row, SI units in the header: what was set, flow and verdict of each need."""
        with Path(path).open("w", newline="", encoding="utf-8") as file:
            lines = self.lines()
            first = next(lines)
            writer = csv.DictWriter(file, first)
            writer.writeheader()
            writer.writerow(first)
            writer.writerows(lines)

    def to_pandas(self) -> Any:
        """A pandas DataFrame of the same lines as `to_csv`; ImportError where pandas is not installed."""
        import pandas

        return pandas.DataFrame(list(self.lines()))


def _finite(value: float) -> float | None:
    return value if math.isfinite(value) else None


Judge = Callable[[Result], Result]


def sweep(
    circuit: Circuit, axes: Sequence[Axis], situations: Sequence[tuple[str, str]], judged: Judge = judge
) -> Sweep:
    """Solve every combination of the axes' values in every situation (condition, change); `judged` adds the verdicts.

    CircuitError where a combination cannot be, or there are too many rows.
    """
    each = prod(map(len, axes))
    count = len(situations) * each
    if count > MOST_ROWS:
        message = f"{count:,} rows are asked for, more than {MOST_ROWS:,}"
        raise CircuitError([Problem("too-large", message, "take fewer values, or one --condition and --change")])
    groups = tuple(
        Group(*situation, place * each + places, table, _rows(circuit, table, judged))
        for place, situation in enumerate(situations)
        for places, table in _tables(circuit, axes, *situation)
    )
    owners = np.empty((count, 2), dtype=np.intp)
    for number, group in enumerate(groups):
        owners[group.places] = np.stack([np.full(len(group.places), number), np.arange(len(group.places))], axis=1)
    combinations = [dict(chain.from_iterable(pairs)) for pairs in product(*map(_pairs, axes))]

    def row(place: int) -> RowResult:
        group, within = owners[place]
        found: RowResult = groups[group].rows[within]
        return replace(found, settings=combinations[place % each])

    def state(place: int) -> Row:
        group, within = owners[place]
        found: Row = groups[group].table.rows[within]
        return found

    return Sweep(
        circuit,
        Rows(count, row),
        Rows(count, state),
        axes=tuple(axes),
        situations=tuple(situations),
        combinations=combinations,
        groups=groups,
    )


def _pairs(axis: Axis) -> list[list[tuple[str, Value]]]:
    return [[(path, values[place]) for path, values in axis.values.items()] for place in range(len(axis))]


def _rows(circuit: Circuit, table: Table, judged: Judge) -> Rows[RowResult]:
    """The rows of a table, put together when they are looked at."""
    made: list[Sequence[RowResult]] = []

    def row(place: int) -> RowResult:
        if not made:
            network = replace(table.network, rows=table.rows)
            made.append(judged(answer(circuit, network, table.solution, table.heat)).rows)
        found: RowResult = made[0][place]
        return found

    return Rows(table.network.count, row)


def _tables(circuit: Circuit, axes: Sequence[Axis], condition: str, change: str) -> Iterator[tuple[Ints, Table]]:
    """The rows of one situation: for each combination of words those that differ in numbers alone, and their places."""
    index = np.indices(tuple(map(len, axes))).reshape(len(axes), -1)
    numbers = [place for place, axis in enumerate(axes) if axis.is_continuous]
    words = [place for place, axis in enumerate(axes) if not axis.is_continuous]
    if not numbers:
        yield np.arange(index.shape[1]), _one_by_one(circuit, axes, index, condition, change)
        return
    kinds = {path: kind for place in numbers for path, kind in axes[place].kinds.items()}
    for combination in product(*(range(len(axes[place])) for place in words)):
        alike = _texts([axes[place] for place in words], combination)
        places = np.flatnonzero((index[words].T == combination).all(axis=1))
        columns = {
            path: np.array(values, dtype=float)[index[place, places]]
            for place in numbers
            for path, values in axes[place].values.items()
        }
        yield places, solved(circuit, columns, kinds=kinds, alike=alike, condition=condition, change=change)


def _texts(axes: Sequence[Axis], places: Sequence[int]) -> dict[str, str]:
    """What is set at these places of the axes, as text."""
    return dict(chain.from_iterable(axis.texts(place).items() for axis, place in zip(axes, places, strict=True)))


def _one_by_one(circuit: Circuit, axes: Sequence[Axis], index: Ints, condition: str, change: str) -> Table:
    """The rows of combinations of words."""
    rows = [circuit.row(condition, change, _texts(axes, places)) for places in index.T.tolist()]
    network = assemble(rows)

    def again(columns: Mapping[str, Floats]) -> Table:
        raise ValueError("words have no values in between")

    network, solution, heat = solve_warmed(network, stated(rows))
    return Table(network, solution, rows, {}, again, heat)


def solved(
    circuit: Circuit,
    columns: Mapping[str, Floats],
    *,
    kinds: Mapping[str, str],
    alike: Mapping[str, str],
    condition: str,
    change: str,
) -> Table:
    """The rows of columns of SI numbers, solved; their states are made when they are looked at."""

    def state(row: int) -> Row:
        texts = {path: text_of(float(values[row]), kinds[path]) for path, values in columns.items()}
        return circuit.row(condition, change, {**alike, **texts})

    many = solve_many(circuit, columns, condition=condition, change=change, alike=alike)
    again = partial(solved, circuit, kinds=kinds, alike=alike, condition=condition, change=change)
    return Table(many.network, many.solution, Rows(many.network.count, state), columns, again, many.heat)
