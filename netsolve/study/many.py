"""Very many rows of one condition and change: settings as columns of numbers, answers as arrays."""

from __future__ import annotations

from collections.abc import Callable, Mapping, Sequence
from concurrent.futures import Executor
from dataclasses import dataclass, replace

import numpy as np

from netsolve.arrays.stack import Floats
from netsolve.assemble import Network, assemble
from netsolve.circuit import AS_FOUND, Circuit, Row
from netsolve.component import NO_FLOW
from netsolve.contract.declare import values_of
from netsolve.contract.waters import Liquid
from netsolve.heat.heat import Heat
from netsolve.heat.stated import Stated, spread, stated
from netsolve.solver import Solution
from netsolve.solving.varied import NotProportionalError, reach, varied
from netsolve.study.settable import settable, text_of
from netsolve.warmed import solve_warmed
from netsolve.water import Water


@dataclass(frozen=True)
class Columns:
    """Settings of many rows: SI numbers (rows,) by path, the kind of each, and texts that are the same in all rows."""

    values: Mapping[str, Floats]
    kinds: Mapping[str, str]
    alike: Mapping[str, str]


@dataclass(frozen=True)
class Many:
    """The answers of very many rows, as arrays (rows,); nan where a row did not settle.

    Temperatures and duties are nan where nothing has to do with heat.
    """

    network: Network
    run_of: Mapping[str, str]
    solution: Solution
    heat: Heat

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

    def inlet_temperature(self, part: str) -> Floats:
        """Of the water that comes to a part, K."""
        return self._settled(self.heat.inlet_temperature(part))

    def outlet_temperature(self, part: str) -> Floats:
        """Of the water that leaves a part, K."""
        return self._settled(self.heat.outlet_temperature(part))

    def duty(self, part: str) -> Floats:
        """What the water takes up in a cooler, W; nan for a part that is none."""
        return self._settled(self.heat.duty(part))

    def temperature(self, joint: str) -> Floats:
        """Of the water that has met at a joint, K."""
        return self._settled(self.heat.temperature(joint))

    def mixed_temperature(self, joint: str) -> Floats:
        """Of gas and water together at an injection, K, without any evaporation."""
        return self._settled(self.heat.mixed_temperature(joint))

    def plateau(self, oil: str) -> Floats:
        """Where an oil settles, K; nan where nothing takes its heat away."""
        return self._settled(self.heat.plateau(oil))

    def peak(self, oil: str) -> Floats:
        """The highest temperature that an oil with bursts reaches from cold, K; nan where it has none."""
        return self._settled(self.heat.peak(oil))

    def cooler_duty(self, oil: str) -> Floats:
        """What the coolers of an oil take out of it once it has settled, W."""
        return self._settled(self.heat.cooler_duty(oil))

    def time_to_alarm(self, oil: str) -> Floats:
        """From cold until an oil's alarm, s; infinite where it is never reached, nan where it has none."""
        return self._settled(self.heat.time_to_alarm(oil))

    def time_without_water(self, oil: str) -> Floats:
        """From where an oil has settled until its alarm once the water stops, s; infinite and nan as above."""
        return self._settled(self.heat.time_without_water(oil))

    def _settled(self, values: Floats) -> Floats:
        return np.where(self.settled, values, np.nan)


def solve_many(
    circuit: Circuit,
    settings: Mapping[str, Sequence[float] | Floats],
    *,
    condition: str | None = None,
    change: str = AS_FOUND,
    alike: Mapping[str, str] | None = None,
    executor: Executor | None = None,
    done: Callable[[int], None] | None = None,
) -> Many:
    """One row for each place of the columns: `{"main.speed": […], "feed hose.bore": […]}`, in SI, all of one length.

    `alike` are further settings as text, such as words, the same in every row; with columns they come first.

    ValueError where the columns differ in length, CircuitError where a setting or a value of it cannot be.
    """
    known = {path: settable(circuit, path) for path in settings}
    kinds = {path: each.kind if each else "" for path, each in known.items()}
    columns = Columns({path: np.asarray(values, dtype=float) for path, values in settings.items()}, kinds, alike or {})
    if len({len(values) for values in columns.values.values()}) != 1:
        raise ValueError("the columns of settings are not all of one length")
    condition = condition or circuit.conditions[0]
    try:
        network, said = _spread_out(circuit, columns, condition, change)
    except NotProportionalError:
        network = assemble(_one_by_one(circuit, columns, condition, change))
        said = stated(network.rows)
    runs = {name: part.run for name, part in circuit.as_found.parts.items()}
    network, solution, heat = solve_warmed(network, said, executor=executor, done=done)
    return Many(network, runs, solution, heat)


def _spread_out(circuit: Circuit, columns: Columns, condition: str, change: str) -> tuple[Network, Stated]:
    """The rows as columns of one, and what they say of heat; NotProportionalError where a setting does more."""
    middle = {path: float(values[0]) for path, values in columns.values.items()}
    base = _row(circuit, columns, middle, condition, change)
    fields: dict[tuple[str, str], Floats] = {}
    water: dict[str, Floats] = {}
    for path, values in columns.values.items():
        ends = float(values.min()), float(values.max())
        rows = [_row(circuit, columns, middle | {path: end}, condition, change) for end in ends]
        if ends[0] == ends[1]:
            continue
        found = reach((rows[0], rows[1]), ends)
        if found.water:
            water[path.partition(".")[2].strip()] = values
        for field, factor in found.factors.items():
            if field in fields:
                raise NotProportionalError(f"two settings reach the same {field[1]}")
            fields[field] = factor * values
    count = len(next(iter(columns.values.values())))
    network, liquid = assemble([base]), _liquid(base, water) if water else None
    said = spread(base, count, fields, liquid)
    if not fields and liquid is None:
        return replace(network, rows=()).take(np.zeros(count, dtype=np.intp)), said
    return varied(network, fields, None if liquid is None else _waters(liquid, count)), said


def _liquid(base: Row, columns: Mapping[str, Floats]) -> Liquid:
    """The record of the water with columns (rows,) for some of its fields."""
    if not isinstance(base.liquid, Liquid):
        raise NotProportionalError("the water is not known by its record")
    found: Liquid = type(base.liquid).model_construct(**values_of(base.liquid) | dict(columns))
    return found


def _waters(liquid: Liquid, count: int) -> Water:
    """The water of every row, fields (rows, 1)."""
    properties, fields = liquid.water(), Water.__dataclass_fields__
    columns = {name: np.broadcast_to(np.ravel(getattr(properties, name)), (count,)) for name in fields}
    return Water(**{name: column[:, None].copy() for name, column in columns.items()})


def _one_by_one(circuit: Circuit, columns: Columns, condition: str, change: str) -> list[Row]:
    paths = list(columns.values)
    places = zip(*columns.values.values(), strict=True)
    return [_row(circuit, columns, dict(zip(paths, place, strict=True)), condition, change) for place in places]


def _row(circuit: Circuit, columns: Columns, values: Mapping[str, float], condition: str, change: str) -> Row:
    texts = {path: text_of(float(value), columns.kinds[path]) for path, value in values.items()}
    return circuit.row(condition, change, {**columns.alike, **texts})
