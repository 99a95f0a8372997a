"""What would be read in very many rows of one situation: flows and pressures as arrays."""

from __future__ import annotations

from collections.abc import Mapping
from dataclasses import dataclass, replace
from functools import cached_property

import numpy as np

from netsolve.answer import taken
from netsolve.arrays.openings import bore_at
from netsolve.arrays.stack import Floats
from netsolve.assemble import Network, assemble, node_of
from netsolve.circuit import End, Row, Run
from netsolve.component import NO_FLOW
from netsolve.contract.declare import values_of
from netsolve.heat.heat import Heat
from netsolve.heat.stated import spread
from netsolve.reading.heights import part_levels, place_heights
from netsolve.solver import Solution
from netsolve.solving.varied import Columns, varied
from netsolve.study.diagnosis.probe import Probe
from netsolve.study.diagnosis.rows import Cut, cut_at
from netsolve.warmed import solve_warmed
from netsolve.water import GRAVITY

_STEP = 1e-3
"""m: by which a height is moved to see what moves with it."""


@dataclass(frozen=True)
class Seen:
    """A row spread out to columns and solved; every method gives (rows,), nan where a row did not settle."""

    row: Row
    network: Network
    solution: Solution
    heat: Heat
    columns: Columns

    def read(self, probe: Probe) -> Floats:
        """What the probe would show: m3/s, Pa gauge, K, or alarms for each second."""
        if probe.is_warm:
            return self._warm(probe)
        if probe.kind == "opened":
            return self.flow(self.row.parts[probe.names[0]].run)
        if probe.kind == "bucket":
            return np.maximum(self.flow(probe.names[0]), 0.0)
        if probe.kind == "difference":
            return self._level(probe.names[0]) - self._level(probe.names[1])
        pressure = self._gauge(probe.names[0], probe.height)
        return -pressure if probe.kind == "vacuum" else pressure

    def _warm(self, probe: Probe) -> Floats:
        """A temperature, K, or alarms for each second, 1/s; nan where no water passes."""
        name, _, end = probe.names[0].rpartition(".")
        if probe.kind == "alarm":
            with np.errstate(divide="ignore"):
                shown = 1.0 / np.maximum(self.heat.time_to_alarm(probe.names[0]), 1.0)
        elif probe.names[0] in self.row.oils:
            shown = self.heat.plateau(probe.names[0])
        elif not name:
            shown = self.heat.temperature(probe.names[0])
        else:
            shown = self.heat.inlet_temperature(name) if end == "in" else self.heat.outlet_temperature(name)
        return np.where(self.solution.settled, shown, np.nan)

    def flow(self, run: str) -> Floats:
        """The flow of a run, m3/s."""
        flow = self.solution.flow[:, self.network.edge_index[run]]
        return np.where(self.solution.settled, np.where(np.abs(flow) < NO_FLOW, 0.0, flow), np.nan)

    @cached_property
    def _terms(self) -> Mapping[str, Floats]:
        return taken(self.network, self.solution.flow)

    def _gauge(self, place: str, height: float | None) -> Floats:
        """Static gauge pressure at a place, as a gauge at this height, with water in its line, shows it."""
        z = self._heights(place) if height is None else height
        return self._level(place) - self._density * GRAVITY * z

    @property
    def _density(self) -> Floats:
        return np.ravel(np.asarray(self.network.water.density, dtype=float))

    def _level(self, place: str) -> Floats:
        """Static pressure + ρ g z."""
        cut = cut_at(self.row, place)
        run, total = self._at_cut(cut) if isinstance(cut, Cut) else self._at_node(cut)
        speed = self._speed(run, place, cut)
        return np.where(self.solution.settled, total - 0.5 * self._density * speed**2, np.nan)

    def _at_cut(self, cut: Cut) -> tuple[Run, Floats]:
        run = self.row.runs[cut.run]
        level = self._node(node_of(self.row, run.source)) - self._term(f"{run.name}.from")
        return run, level - sum((self._term(name) for name in run.parts[: cut.after]), np.zeros(1))

    def _at_node(self, place: str) -> tuple[Run | None, Floats]:
        """The end of the run at a port that has its own node, or what all runs at a joint share."""
        joint, _, port = place.rpartition(".")
        for run in self.row.runs.values():
            for end, sign in ((run.source, -1.0), (run.target, 1.0)):
                if port and end == End(joint, port) and not run.blanked:
                    loss = self._term(f"{run.name}.{'from' if sign < 0 else 'to'}")
                    return run, self._node(node_of(self.row, end)) + sign * loss
        return None, self._node(place)

    def _speed(self, run: Run | None, place: str, cut: Cut | str) -> Floats:
        """The speed at a place, m/s; none at a joint without ports, where no bore is known."""
        if run is None:
            return np.zeros(1)
        name, _, end = place.rpartition(".")
        own = [bore_at(self.row, name, outlet=end == "out")] if isinstance(cut, Cut) else []
        after = cut.after if isinstance(cut, Cut) else 0 if str(run.source) == place else len(run.parts)
        before = (bore_at(self.row, each, outlet=True) for each in reversed(run.parts[:after]) if self._fitted(each))
        behind = (bore_at(self.row, each, outlet=False) for each in run.parts[after:] if self._fitted(each))
        bore = next((each for each in (*own, *before, *behind) if each is not None), None)
        return np.zeros(1) if bore is None else self.flow(run.name) / (np.pi / 4 * bore**2)

    def _fitted(self, name: str) -> bool:
        return self.row.parts[name].fitted

    def _term(self, name: str) -> Floats:
        return self._terms.get(name, np.zeros(1))

    def _node(self, node: str) -> Floats:
        return self.solution.pressure[:, self.network.node_index[node]]

    def _heights(self, place: str) -> Floats:
        """How high a place is, m, as the heights of joints and parts are off; it follows them straight."""
        written = _height(self.row, place)
        found = np.full(1, written)
        for (name, field), column in self.columns.items():
            if _is_height(self.row, name, field):
                moved = _height(_lifted(self.row, name, field, _STEP), place)
                found = found + (moved - written) / _STEP * (column - _written(self.row, name, field))
        return found


def seen(row: Row, columns: Columns) -> Seen:
    """A row of a situation, spread out to columns of fields of its parts and joints, and solved."""
    network = varied(assemble([row]), columns)
    return Seen(row, *solve_warmed(network, spread(row, network.count, columns)), columns)


def _height(row: Row, place: str) -> float:
    """How high a place is, m."""
    cut = cut_at(row, place)
    if not isinstance(cut, Cut):
        return row.places[place.rpartition(".")[0] or place].height or 0.0
    run = row.runs[cut.run]
    fitted = [name for name in run.parts if row.parts[name].fitted]
    levels = dict(zip(fitted, part_levels(row, run), strict=True))
    name, _, end = place.rpartition(".")
    if name not in levels:
        return 0.0
    return levels[name][0 if end == "in" else 1]


def _is_height(row: Row, name: str, field: str) -> bool:
    """Whether a field says how high a joint or part is."""
    return field == (row.places[name].joint.datum if name in row.places else "height")


def _written(row: Row, name: str, field: str) -> float:
    holder = row.places[name].joint if name in row.places else row.parts[name]
    return float(getattr(holder, field))


def _lifted(row: Row, name: str, field: str, step: float) -> Row:
    """The row with a joint or part higher by so much, and what lies between with it."""
    if name in row.parts:
        part = row.parts[name]
        return replace(row, parts={**row.parts, name: replace(part, height=(part.height or 0.0) + step)})
    joint = row.places[name].joint
    higher = type(joint).model_construct(**values_of(joint) | {field: _written(row, name, field) + step})
    places = {**row.places, name: replace(row.places[name], joint=higher)}
    levels = place_heights(places, row.runs.values())
    return replace(row, places={each: replace(place, height=levels[each]) for each, place in places.items()})
