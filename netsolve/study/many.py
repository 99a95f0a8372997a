"""Very many rows of one condition and change: settings as columns of numbers, answers as arrays."""

from __future__ import annotations

from collections.abc import Callable, Mapping, Sequence
from concurrent.futures import Executor
from dataclasses import dataclass, replace
from typing import Any

import numpy as np

from netsolve.assemble import Network, assemble
from netsolve.circuit import AS_FOUND, Circuit, Row
from netsolve.component import NO_FLOW
from netsolve.declare import Declared, Quantity, values_of
from netsolve.solver import Solution, solve
from netsolve.stack import Floats
from netsolve.units import written
from netsolve.varied import NotProportionalError, reach, varied
from netsolve.water import Water
from netsolve.waters import Liquid
from netsolve.written import keys


@dataclass(frozen=True)
class Many:
    """The answers of very many rows, as arrays (rows,); nan where a row did not settle."""

    network: Network
    run_of: Mapping[str, str]
    solution: Solution

    @property
    def settled(self) -> np.ndarray:
        """Whether each row settled."""
        return self.solution.settled

    def flow(self, name: str) -> Floats:
        """The flow through a run or a part, m3/s; 0 where it carries none. KeyError for an unknown name."""
        edge = self.network.edge_index[self.run_of.get(name, name)]
        flow = self.solution.flow[:, edge]
        return np.where(self.settled, np.where(np.abs(flow) < NO_FLOW, 0.0, flow), np.nan)

    def total_pressure(self, node: str) -> Floats:
        """Total pressure + ρ g z at a joint, or a port of one that has its own (`tee-off.branch`), Pa gauge."""
        return np.where(self.settled, self.solution.pressure[:, self.network.node_index[node]], np.nan)


def solve_many(
    circuit: Circuit,
    settings: Mapping[str, Sequence[float] | Floats],
    *,
    condition: str | None = None,
    change: str = AS_FOUND,
    executor: Executor | None = None,
    done: Callable[[int], None] | None = None,
) -> Many:
    """One row for each place of the columns: `{"main.speed": […], "feed hose.bore": […]}`, in SI, all of one length.

    ValueError where the columns differ in length, CircuitError where a setting or a value of it cannot be.
    """
    columns = {path: np.asarray(values, dtype=float) for path, values in settings.items()}
    if len({len(values) for values in columns.values()}) != 1:
        raise ValueError("the columns of settings are not all of one length")
    condition = condition or circuit.conditions[0]
    try:
        network = _spread_out(circuit, columns, condition, change)
    except NotProportionalError:
        network = assemble(_one_by_one(circuit, columns, condition, change))
    runs = {name: part.run for name, part in circuit.as_found.parts.items()}
    return Many(network, runs, solve(network, executor=executor, done=done))


def _spread_out(circuit: Circuit, columns: Mapping[str, Floats], condition: str, change: str) -> Network:
    """The rows as columns of one; NotProportionalError where a setting does more than that."""
    middle = {path: float(values[0]) for path, values in columns.items()}
    base = _row(circuit, middle, condition, change)
    fields: dict[tuple[str, str], Floats] = {}
    water: dict[str, Floats] = {}
    for path, values in columns.items():
        ends = float(values.min()), float(values.max())
        rows = [_row(circuit, middle | {path: end}, condition, change) for end in ends]
        if ends[0] == ends[1]:
            continue
        found = reach((rows[0], rows[1]), ends)
        if found.water:
            water[path.partition(".")[2].strip()] = values
        for field, factor in found.factors.items():
            if field in fields:
                raise NotProportionalError(f"two settings reach the same {field[1]}")
            fields[field] = factor * values
    count = len(next(iter(columns.values())))
    network = assemble([base])
    if not fields and not water:
        return replace(network, rows=()).take(np.zeros(count, dtype=np.intp))
    return varied(network, fields, _waters(circuit, base, water) if water else None)


def _waters(circuit: Circuit, base: Row, columns: Mapping[str, Floats]) -> Water:
    """The water of every row, fields (rows, 1)."""
    liquid = base.liquid
    if not isinstance(liquid, Liquid):
        raise NotProportionalError("the water is not known by its record")
    values: dict[str, Any] = values_of(liquid) | {name: column[:, None] for name, column in columns.items()}
    properties = type(liquid).model_construct(**values).water()
    count = len(next(iter(columns.values())))
    fields = Water.__dataclass_fields__
    return Water(**{name: np.broadcast_to(getattr(properties, name), (count, 1)).copy() for name in fields})


def _one_by_one(circuit: Circuit, columns: Mapping[str, Floats], condition: str, change: str) -> list[Row]:
    paths = list(columns)
    places = zip(*columns.values(), strict=True)
    return [_row(circuit, dict(zip(paths, map(float, place), strict=True)), condition, change) for place in places]


def _row(circuit: Circuit, values: Mapping[str, float], condition: str, change: str) -> Row:
    texts = {path: written(value, _kind(circuit, path)) for path, value in values.items()}
    return circuit.row(condition, change, texts)


def _kind(circuit: Circuit, path: str) -> str:
    """The kind of quantity that a setting is; `number` where the path names nothing, which the reader then tells."""
    name, _, parameter = path.partition(".")
    row = circuit.as_found
    things: dict[str, Any] = {name: part.component for name, part in row.parts.items()}
    things |= {name: place.joint for name, place in row.places.items()} | dict(row.engines) | {"water": row.liquid}
    thing = things.get(name.strip())
    spec = keys(type(thing)).get(parameter.strip()) if isinstance(thing, Declared) else None
    if spec is None and parameter.strip() in ("min_flow", "max_flow"):
        return "flow"
    return spec.kind if isinstance(spec, Quantity) else "number"
