"""What every need gets in very many rows, as columns: the same verdicts that a row put together by itself has."""

from __future__ import annotations

from collections.abc import Callable, Iterator, Mapping, Sequence
from dataclasses import dataclass

import numpy as np

from netsolve.arrays.stack import Floats
from netsolve.assemble import Network, node_of
from netsolve.circuit import Row, Run
from netsolve.component import NO_FLOW, Opening
from netsolve.heat.heat import Heat
from netsolve.heat.needed import Fed, needed
from netsolve.judging.verdicts import AIR_TIGHT, MARGIN
from netsolve.solver import Solution
from netsolve.water import GRAVITY


@dataclass(frozen=True)
class NeedColumns:
    """One part's flow and bounds (m3/s, nan where there is none) and verdict in every row."""

    flow: Floats
    min_flow: Floats
    max_flow: Floats
    verdict: np.ndarray


@dataclass(frozen=True)
class Table:
    """Rows that were solved together: their states, and the numbers that differ between them, by path.

    `again` solves other values of these numbers; `heat` has the temperatures.
    """

    network: Network
    solution: Solution
    rows: Sequence[Row]
    columns: Mapping[str, Floats]
    again: Callable[[Mapping[str, Floats]], Table]
    heat: Heat

    def varies(self, *parameters: str) -> bool:
        """Whether any parameter of these names differs between rows, or nobody knows."""
        return not self.columns or any(path.partition(".")[2] in parameters for path in self.columns)


def carried(table: Table, name: str) -> Floats:
    """What a part or run carries along its run, m3/s: less than nothing where it is reversed.

    nan where the row did not settle, or the part is not fitted.
    """
    part = table.rows[0].parts.get(name)
    run = table.rows[0].runs[part.run if part else name]
    if part is not None and not part.fitted:
        return np.full(table.network.count, np.nan)
    flow = _flow(table, run)
    return np.abs(flow) if run.either else flow


def need_columns(table: Table) -> dict[str, NeedColumns]:
    """The columns of every fitted part that has a need in any of the rows."""
    found: dict[str, NeedColumns] = {}
    for run in table.rows[0].runs.values():
        bounds = {name: _bounds(table, name) for name in run.parts if table.rows[0].parts[name].fitted}
        needed = {name: each for name, each in bounds.items() if not np.isnan(each).all()}
        if needed:
            flow = _flow(table, run)
            stopped = _stopped(table, run, flow)
            for name, (low, high) in needed.items():
                found[name] = NeedColumns(flow, low, high, _verdict(flow, low, high, stopped))
    return found


def _bounds(table: Table, name: str) -> Floats:
    """Least and most flow of a part in every row, nan where there is none: (2, rows)."""
    return np.array([bound(table, name, field) for field in ("min_flow", "max_flow")])


def bound(table: Table, name: str, field: str) -> Floats:
    """The `min_flow` or `max_flow` of a part in every row, m3/s; nan where it has none, infinite if none would do."""
    count = table.network.count
    if field == "min_flow" and table.rows[0].parts[name].need_from_heat:
        return _from_heat(table, name)
    if f"{name}.{field}" in table.columns:
        return table.columns[f"{name}.{field}"]
    states = [table.rows[0]] * count if table.columns else table.rows
    return np.array([getattr(row.parts[name], field) for row in states], dtype=float)


def _from_heat(table: Table, name: str) -> Floats:
    """The least flow that follows from heat in every row; nan where the row has none, infinite if none would do."""
    found = (needed(row, name, _fed(table, index)) for index, row in enumerate(table.rows))
    return np.array([np.nan if each is None else each.least_flow for each in found])


def _fed(table: Table, index: int) -> dict[str, Fed]:
    """The water that comes to every cooler in a row."""
    row, heat = table.rows[index], table.heat
    found = {}
    for name, part in row.parts.items():
        if part.cooling is not None:
            flow = float(table.solution.flow[index, table.network.edge_index[part.run]])
            warm = float(heat.inlet_temperature(name)[index])
            found[name] = Fed(abs(flow), float(heat.stated.water[index]) if np.isnan(warm) else warm)
    return found


def _flow(table: Table, run: Run) -> Floats:
    """The flow of a run; none where it is too little to count, nan where the row did not settle."""
    flow = table.solution.flow[:, table.network.edge_index[run.name]]
    return np.where(table.solution.settled, np.where(np.abs(flow) < NO_FLOW, 0.0, flow), np.nan)


def _verdict(flow: Floats, low: Floats, high: Floats, stopped: np.ndarray) -> np.ndarray:
    amount = np.abs(flow)
    with np.errstate(invalid="ignore"):  # a bound that is not there bounds nothing
        found = np.where(amount < low * (1 + MARGIN), "marginal", "served").astype(object)
        found[amount > high] = "overfed"
        found[amount < low] = "starved"
    found[np.isnan(low) & np.isnan(high) | np.isnan(flow)] = ""
    return np.where(stopped != "", stopped, found)


def _stopped(table: Table, run: Run, flow: Floats) -> np.ndarray:
    """The word for each row where the run as a whole is reversed, shut or dry; else empty."""
    words = np.full(len(flow), "", dtype=object)
    if run.blanked:
        words[:] = "shut"
        return words
    if not run.either:
        words[flow < 0] = "reversed"
    still = np.flatnonzero(flow == 0)
    if len(still):
        words[still] = np.where(
            _closed(table, run)[still], "shut", np.where(_air(table, run, still), "reversed", "dry")
        )
    return words


def _closed(table: Table, run: Run) -> np.ndarray:
    """Whether any fitted part of the run is shut by its own settings, in every row."""
    closed = np.zeros(table.network.count, dtype=bool)
    for stack in table.network.inline:
        shape = (table.network.count, len(stack.names))
        shut = np.broadcast_to(stack.record.closed(), shape) & (np.broadcast_to(stack.weights, shape) > 0)
        closed |= shut[:, [name in run.parts for name in stack.names]].any(axis=1)
    return closed


def _air(table: Table, run: Run, still: np.ndarray) -> np.ndarray:
    """Whether air would come in at the open end, in these rows without flow: see `verdicts.draws_air`."""
    air, passes = np.zeros(len(still), dtype=bool), _passes(table, run.source.joint, still)
    for place, (row, index) in enumerate(zip(_states(table, run, still), still, strict=True)):
        joint = row.places[run.target.joint].joint
        if isinstance(joint, Opening) and bool(joint.one_way()):
            inside, outside = (
                table.solution.pressure[index, table.network.node_index[node_of(row, end)]]
                - float(row.water.density) * GRAVITY * (row.places[end.joint].height or 0.0)
                for end in (run.source, run.target)
            )
            air[place] = passes[place] and inside < outside - AIR_TIGHT
    return air


def _passes(table: Table, joint: str, still: np.ndarray) -> np.ndarray:
    """Whether water passes a joint, in these rows."""
    beside = [run for run in table.rows[0].runs.values() if joint in (run.source.joint, run.target.joint)]
    passes: np.ndarray = np.any([_flow(table, run)[still] != 0.0 for run in beside], axis=0)
    return passes


def _states(table: Table, run: Run, still: np.ndarray) -> Iterator[Row]:
    """The states of these rows; that of the first for all, where what is asked of it is the same in all."""
    same = not table.varies("height", "level", "into", "temperature", "salinity", "density", "concentration")
    for index in still:
        yield table.rows[0 if same else int(index)]
