"""The heat of a row by name: temperatures of parts and joints, duties, and what becomes of each oil."""

from __future__ import annotations

import math
from collections.abc import Mapping
from dataclasses import dataclass, field
from typing import Any

from netsolve.arrays.stack import Floats
from netsolve.circuit import Row
from netsolve.heat.temperatures import Response, has_heat, rate_of, response
from netsolve.heat.warming import Warming, warming
from netsolve.laws.thermal import mixed

GAS = 1100.0
"""J/(kg K), of diesel exhaust gas at 200 to 500 degC; from memory."""


@dataclass(frozen=True, slots=True)
class OilResult:
    """A charge of oil in a row: K, s and W; `cooler_duty` is what its coolers take once it has settled.

    `plateau` is None where nothing takes its heat away. The times are None where there is no alarm or it is never
    reached: from cold, and after the water has stopped, from where the oil has settled.
    """

    name: str
    plateau: float | None
    time_to_alarm: float | None
    time_without_water: float | None
    heat: float
    cooler_duty: float | None
    alarm: float | None = None
    limit: float | None = None


@dataclass(frozen=True)
class Heat:
    """Temperatures (K) and duties (W) of a row, in the names of the records that they go into; empty without heat."""

    parts: Mapping[str, Mapping[str, Any]] = field(default_factory=dict)
    joints: Mapping[str, Mapping[str, Any]] = field(default_factory=dict)
    oils: Mapping[str, OilResult] = field(default_factory=dict)


def heat_of(row: Row, flows: Mapping[str, float]) -> Heat:
    """The heat of a row whose runs have these flows, m3/s."""
    if not has_heat(row):
        return Heat()
    answer = response(row, flows)
    warmed = warming(answer)
    settled = warmed.settled
    return Heat(
        {name: _part(name, answer, settled) for name in answer.passages},
        {name: _joint(name, answer, settled) for name in answer.joints},
        {name: _oil(place, answer, warmed) for place, name in enumerate(row.oils)},
    )


def _part(name: str, answer: Response, oils: Floats) -> Mapping[str, float | None]:
    passage = answer.passages[name]
    works = answer.row.parts[name].cooling is not None
    return {
        "inlet_temperature": answer.temperature(passage.before, oils),
        "outlet_temperature": answer.temperature(passage.after, oils),
        "duty": answer.at(passage.taken, oils) if works else None,
    }


def _joint(name: str, answer: Response, oils: Floats) -> Mapping[str, float | None]:
    water = answer.temperature(answer.ends.get(name, answer.joints[name]), oils)
    return {"temperature": water, "mixed_temperature": _mixed(name, answer, water)}


def _mixed(name: str, answer: Response, water: float | None) -> float | None:
    """Gas and water together, without any evaporation: what is too hot for that would boil some of the water away."""
    joint = answer.row.places[name].joint
    gas, hot = getattr(joint, "gas_flow", None), getattr(joint, "gas_temperature", None)
    flow = arriving(name, answer)
    if gas is None or hot is None or water is None or gas + flow <= 0.0:
        return None
    return float(mixed((gas * GAS, flow * rate_of(answer.row)), (hot, water)))


def arriving(name: str, answer: Response) -> float:
    """What the runs bring to a joint, m3/s; below zero where they take more away."""
    runs = answer.row.runs.values()
    brought = sum(answer.flows.get(run.name, 0.0) for run in runs if run.target.joint == name)
    return brought - sum(answer.flows.get(run.name, 0.0) for run in runs if run.source.joint == name)


def _oil(place: int, answer: Response, warmed: Warming) -> OilResult:
    charge = warmed.charges[place]
    plateau, alarm = float(warmed.settled[place]), charge.oil.alarm
    stopped = warmed.without_water()
    return OilResult(
        charge.name,
        None if math.isnan(plateau) else answer.water + plateau,
        None if alarm is None else _known(warmed.time_to(place, alarm)),
        None if alarm is None else _known(stopped.time_to(place, alarm)),
        charge.oil.mean_heat(),
        answer.at(answer.uptake(charge.name), warmed.settled),
        alarm,
        charge.oil.limit,
    )


def _known(time: float) -> float | None:
    return time if math.isfinite(time) else None
