"""The circuits of the package solved a second time, by equations written separately from netsolve.

Every circuit here is a tree: one sea inlet, from which the water runs to its outlets. The unknowns are the
flows out of the outlets alone. A run carries the sum of what leaves behind it, so that mass is conserved by
construction; what must vanish is the sum of energy along each path from the sea to an outlet.

Units SI, pressures gauge. An *energy* is total pressure + rho g z.
"""

from __future__ import annotations

import copy
from collections.abc import Iterator, Mapping, Sequence
from dataclasses import dataclass, field
from pathlib import Path
from typing import Any

import numpy as np
import yaml
from scipy.optimize import root

from tests.circuits.independent_laws import (
    GRAVITY,
    LAWS,
    SEAT_IN,
    State,
    Thing,
    exit_loss,
    outlet_energy,
    plain_k,
    sea_energy,
    tee,
    value,
    water_of,
)

STUB = 100.0  # Pa s/m3, along every run and every path of a tee
OUTLETS = ("discharge", "exhaust_injection")


@dataclass
class Row:
    """One condition under one change. `heavier` multiplies the losses of the things it names."""

    state: State
    joints: dict[str, dict[str, Any]]
    parts: dict[str, dict[str, Any]]
    runs: dict[str, dict[str, Any]]
    heavier: Mapping[str, float] = field(default_factory=dict)

    @property
    def sea(self) -> str:
        """The one inlet."""
        (name,) = (name for name, joint in self.joints.items() if joint["type"] == "sea_inlet")
        return name

    def leaving(self, joint: str) -> Iterator[tuple[str, str, str]]:
        """Name, port and target of each open run that starts at a joint."""
        for name, run in self.runs.items():
            start, _, port = run["from"].partition(".")
            if start == joint and not run.get("blanked", False):
                yield name, port, run["to"].partition(".")[0]

    def outlets(self, joint: str) -> list[str]:
        """The outlets that can be reached down the open runs from a joint, itself if it is one."""
        if self.joints[joint]["type"] in OUTLETS:
            return [joint]
        return [outlet for _, _, target in self.leaving(joint) for outlet in self.outlets(target)]

    def fitted(self, run: str) -> list[str]:
        """The parts that stand in a run."""
        names = [name for each in self.runs[run].get("parts", []) for name in each]
        return [name for name in names if self.parts[name].get("fitted", True)]


@dataclass(frozen=True)
class Answer:
    """Flows by run, and total pressures at the ports of the tee at its own height."""

    flows: dict[str, float]
    ports: dict[tuple[str, str], float]


def read(path: Path) -> dict[str, Any]:
    """A circuit file, as plain tables; by libyaml, as the pure reader stumbles over `idle?}`."""
    document: dict[str, Any] = yaml.load(path.read_text(encoding="utf-8"), Loader=yaml.CSafeLoader)
    return document


def make_row(document: Thing, condition: str, change: str) -> Row:
    """The circuit under a condition and a change; a change follows those that it builds on."""
    table = copy.deepcopy(dict(document))
    parts = {
        name: part for run in table["runs"].values() for each in run.get("parts", []) for name, part in each.items()
    }
    (engine,) = table["engines"].values()
    row = Row(State(water_of(table["water"]), engine), table["joints"], parts, table["runs"])
    _set(table, parts, table["conditions"][condition])
    for each in _steps(table.get("changes", {}), change):
        _set(table, parts, each.get("set", {}))
        for part in _listed(each.get("fit", [])):
            parts[part]["fitted"] = True
        for run in _listed(each.get("blank", [])):
            table["runs"][run]["blanked"] = True
        for run in _listed(each.get("open", [])):
            table["runs"][run]["blanked"] = False
    return row


def _steps(changes: Thing, name: str) -> list[Thing]:
    if name not in changes:
        assert name == "as found"
        return []
    return [step for base in _listed(changes[name].get("also", [])) for step in _steps(changes, base)] + [changes[name]]


def _set(table: Thing, parts: Thing, settings: Mapping[str, Any]) -> None:
    for path, setting in settings.items():
        name, _, parameter = path.rpartition(".")
        ({**table["engines"], **table["joints"], **parts}[name])[parameter] = setting


def _listed(names: str | Sequence[str]) -> Sequence[str]:
    return [names] if isinstance(names, str) else names


def end_bore(row: Row, run: str, *, first: bool) -> float:
    """The bore at the start or the end of a run, fitted or not."""
    names = [name for each in row.runs[run]["parts"] for name in each]
    bores = [value(row.parts[name]["bore"]) for name in names if "bore" in row.parts[name]]
    return bores[0 if first else -1]


@dataclass
class Walk:
    """Energies from the sea down to the outlets, at given flows out of them."""

    row: Row
    out: Mapping[str, float]
    flows: dict[str, float] = field(default_factory=dict)
    gaps: dict[str, float] = field(default_factory=dict)
    ports: dict[tuple[str, str], float] = field(default_factory=dict)

    def whole(self) -> Walk:
        """Go all the way."""
        sea = self.row.sea
        ((run, _, target),) = self.row.leaving(sea)
        flow = sum(self.out[outlet] for outlet in self.row.outlets(target))
        self._down(run, target, self._heavier(sea) * sea_energy(self.row.joints[sea], flow, self.row.state))
        return self

    def _heavier(self, name: str) -> float:
        return self.row.heavier.get(name, 1.0)

    def _down(self, run: str, target: str, energy: float) -> None:
        flow = self.flows[run] = sum(self.out[outlet] for outlet in self.row.outlets(target))
        energy -= STUB * flow
        for name in self.row.fitted(run):
            part = self.row.parts[name]
            energy -= self._heavier(name) * LAWS[part["type"]](part, flow, self.row.state)
        kind = self.row.joints[target]["type"]
        if kind == "tee":
            assert self.row.runs[run]["to"] == f"{target}.common"
            self._through_tee(target, energy)
        elif kind == "manifold":
            self._through_manifold(target, run, flow, energy)
        else:
            joint = self.row.joints[target]
            end = outlet_energy(joint, flow, self.row.state) + self._heavier(target) * exit_loss(
                joint, flow, self.row.state
            )
            self.gaps[target] = energy - end

    def _through_tee(self, name: str, energy: float) -> None:
        legs = {port: (run, target) for run, port, target in self.row.leaving(name)}
        flow = dict.fromkeys(("straight", "branch"), 0.0)
        for port, (_, target) in legs.items():
            flow[port] = sum(self.out[outlet] for outlet in self.row.outlets(target))
        drops = tee(self.row.joints[name], flow["straight"], flow["branch"], self.row.state)
        level = self.row.state.water.density * GRAVITY * value(self.row.joints[name]["height"])
        self.ports[name, "common"] = energy - level
        for port, drop in zip(("straight", "branch"), drops, strict=True):
            behind = energy - self._heavier(name) * drop - STUB * flow[port]
            self.ports[name, port] = behind - level
            if port in legs:
                self._down(*legs[port], behind)

    def _through_manifold(self, name: str, run: str, flow: float, energy: float) -> None:
        """An exit into the chamber and an entrance into each run, where they count."""
        counted = self._heavier(name) * (self.row.joints[name].get("losses") == "entrance")
        if counted:
            energy -= counted * plain_k(flow, end_bore(self.row, run, first=False), 1.0, self.row.state.water)
        for following, _, target in self.row.leaving(name):
            behind = energy
            if counted:
                onward = sum(self.out[outlet] for outlet in self.row.outlets(target))
                bore = end_bore(self.row, following, first=True)
                k = 0.5 if onward > 0.0 else 1.0
                behind -= counted * plain_k(onward, bore, k, self.row.state.water)
            self._down(following, target, behind)


_FLOW, _SEAT, _ENERGY = 1e-3, 1e4, 1e3
_LARGEST_GAP = 1e-6  # Pa: 1e-13 m3/s at the flattest slope met, that of the pumps and coolers
_STARTS = ((1.0, 0.3), (0.3, 0.3), (3.0, 0.05), (1.0, -0.1))


def _flow(unknown: float) -> float:
    """The flow by its unknown: L/s outwards; inwards the pull on a shut seat in units of 10 kPa."""
    return unknown * _FLOW if unknown > 0.0 else unknown * _SEAT / SEAT_IN


def solve(row: Row) -> Answer:
    """Flows and tee pressures of a row, the same from several starts; AssertionError where they differ or fail."""
    names = row.outlets(row.sea)

    def gaps(unknowns: Any) -> list[float]:
        walk = Walk(row, {name: _flow(float(each)) for name, each in zip(names, unknowns, strict=True)}).whole()
        return [walk.gaps[name] / _ENERGY for name in names]

    found = []
    for first, others in _STARTS:
        start = [first] + [others] * (len(names) - 1)
        unknowns = root(gaps, start, method="hybr", tol=1e-13).x
        if max(map(abs, gaps(unknowns))) * _ENERGY < _LARGEST_GAP:
            found.append([_flow(float(each)) for each in unknowns])
    assert len(found) >= 2, f"only {len(found)} of {len(_STARTS)} starts came to a solution"
    assert np.ptp(found, axis=0).max() < 1e-9 * np.max(found), "the starts came to different solutions"
    walk = Walk(row, dict(zip(names, found[0], strict=True))).whole()
    return Answer({name: walk.flows.get(name, 0.0) for name in row.runs}, walk.ports)
