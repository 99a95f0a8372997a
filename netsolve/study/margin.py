"""How far each part may foul, wear or close before the first need is missed, and what one would read then."""

from __future__ import annotations

from collections.abc import Iterable, Iterator, Sequence
from dataclasses import asdict, dataclass
from typing import Any

import numpy as np

from netsolve.circuit import Circuit, Row
from netsolve.component import Opening
from netsolve.contract.declare import Declared, Quantity
from netsolve.progress import counted
from netsolve.reading.written import keys
from netsolve.result import RowResult
from netsolve.study.allowed import edge
from netsolve.study.axes import Axis
from netsolve.study.crossings import Cool, Crossing, Need, crossings, needs_of
from netsolve.study.one_row import row_at
from netsolve.study.settable import Settable, number_now, text_of
from netsolve.study.sweep import Sweep, sweep

POINTS = 33
"""Values from what a part is now to its worst that are tried before the limit is closed in upon."""


@dataclass(frozen=True)
class Reading:
    """What a technician would read at a limit: gauge pressures in Pa, the flow of the need's run in m3/s.

    `through` is the part with the need, or the cooler of the oil. `pump` is the pump with the lowest pressure at its
    inlet; `joint` the one where the run begins, None where it begins outside. A 10 L bucket fills in `bucket` s.
    """

    through: str
    flow: float
    bucket: float | None
    pump: str | None
    pump_inlet_pressure: float | None
    joint: str | None
    joint_pressure: float | None


@dataclass(frozen=True)
class Margin:
    """How far one parameter of a part may go from what it is `now` towards its `worst`, SI.

    At the `limit` the first need (a part's `min_flow` or `max_flow`) is missed, in that condition; all of these are
    None where none is missed before the worst. `left` is the share of the way.
    """

    part: str
    parameter: str
    kind: str
    change: str
    now: float
    worst: float
    limit: float | None = None
    left: float | None = None
    condition: str | None = None
    need: str | None = None
    bound: str | None = None
    reading: Reading | None = None


TOO_HOT = "too hot"
"""Stands for a verdict where an oil settles above its limit, or its alarm."""


@dataclass(frozen=True)
class Missed:
    """A need that is missed already, so that there is no margin to speak of: flow in m3/s; of an oil K, `TOO_HOT`."""

    change: str
    condition: str
    need: str
    verdict: str
    flow: float


@dataclass(frozen=True)
class Margins:
    """The margins of every change, the least first; and the needs that are missed as things stand."""

    margins: tuple[Margin, ...]
    missed: tuple[Missed, ...]


def margin(circuit: Circuit, conditions: Sequence[str], changes: Sequence[str]) -> Margins:
    """The margins of every fitted part that fouls, wears or closes, under each of the changes."""
    margins: list[Margin] = []
    missed: list[Missed] = []
    for change in changes:
        situations = [(condition, change) for condition in conditions]
        settings = list(_wearing(circuit.row(*situations[0], {})))
        found = [_margin(circuit, situations, each) for each in counted(settings, "parts", len(settings))]
        margins += sorted(filter(None, found), key=lambda each: 2.0 if each.left is None else each.left)
        missed += [each for situation in situations for each in _missed(circuit, situation)]
    return Margins(tuple(margins), tuple(missed))


def margins_to_dict(found: Margins) -> dict[str, Any]:
    """The margins as plain data, SI."""
    margins = [asdict(each) for each in found.margins]
    for each in margins:
        reading = each["reading"]
        each["reading"] = reading and {_READING_KEYS[name]: value for name, value in reading.items()}
    missed = [
        {(_amount_of(each) if name == "flow" else name): value for name, value in asdict(each).items()}
        for each in found.missed
    ]
    return {"margins": margins, "missed": missed}


def _amount_of(missed: Missed) -> str:
    """The key under which what it gets stands."""
    return "temperature_k" if missed.verdict == TOO_HOT else "flow_m3_s"


_READING_KEYS = {
    "through": "through",
    "flow": "flow_m3_s",
    "bucket": "bucket_of_10_l_s",
    "pump": "pump",
    "pump_inlet_pressure": "pump_inlet_pressure_pa",
    "joint": "joint",
    "joint_pressure": "joint_pressure_pa",
}


def _wearing(row: Row) -> Iterator[Settable]:
    """The parameters that have a worst, of all that is fitted."""
    things: list[tuple[str, Declared]] = [(part.name, part.component) for part in row.parts.values() if part.fitted]
    things += [(place.name, place.joint) for place in row.places.values()]
    for name, record in things:
        for parameter, spec in keys(type(record)).items():
            if isinstance(spec, Quantity) and spec.worst is not None:
                yield Settable(f"{name}.{parameter}", spec)


def _margin(circuit: Circuit, situations: Sequence[tuple[str, str]], setting: Settable) -> Margin | None:
    """The margin of one parameter; None where it has no value, or is at its worst."""
    now = number_now(circuit.row(*situations[0], {}), setting)
    worst = setting.spec.worst if isinstance(setting.spec, Quantity) else None
    if now is None or worst is None:
        return None
    worst = edge(circuit, [setting], situations[0], now, worst)
    if worst == now:
        return None
    values = tuple(np.linspace(min(now, worst), max(now, worst), POINTS).tolist())
    axis = Axis({setting.path: values}, {setting.path: setting.kind})
    tried = sweep(circuit, [axis], situations)
    lost = [each for each in crossings(tried, axis, needs_of(tried)) if _loses(tried, each, now, worst)]
    part, _, parameter = setting.path.partition(".")
    bare = Margin(part, parameter, setting.kind, situations[0][1], now, worst)
    first = min(lost, key=lambda each: abs((each.value or now) - now), default=None)
    if first is None or first.value is None or not isinstance(first.goal, Need | Cool):
        return bare
    row = row_at(circuit, first.condition, first.change, {setting.path: text_of(first.value, setting.kind)})
    state = circuit.row(first.condition, first.change, {})
    return Margin(
        part,
        parameter,
        setting.kind,
        first.change,
        now,
        worst,
        first.value,
        (first.value - now) / (worst - now),
        first.condition,
        first.goal.about,
        first.goal.bound,
        _reading(row, state, _watched(state, first.goal.about)),
    )


def _loses(tried: Sweep, each: Crossing, now: float, worst: float) -> bool:
    """Whether a need that is met now is missed beyond a crossing, seen from now."""
    start = len(tried.axes[0]) * tried.situations.index((each.condition, each.change))
    place = start if worst > now else start + len(tried.axes[0]) - 1
    met = tried.column(np.nan, lambda group: each.goal.excess(group.table))[place] >= 0
    return bool(met) and each.rises == (worst < now)


def _watched(state: Row, about: str) -> str:
    """The part to look at: for an oil the first of its coolers that is fitted."""
    coolers = (part.name for part in state.parts.values() if part.fitted and part.cools == about)
    return about if about in state.parts else next(coolers, "")


def _reading(row: RowResult, state: Row, need: str) -> Reading | None:
    if not row.settled or not need:
        return None
    part, run = row.part(need), state.runs[row.part(need).run]
    flow = abs(part.flow or 0.0)
    inside = not isinstance(state.places[run.source.joint].joint, Opening)
    port = row.joints[run.source.joint].ports.get(run.source.port) if inside else None
    pumps = [each for each in row.parts.values() if "pump" in state.parts[each.name].component.roles]
    read = [each for each in pumps if each.fitted and each.inlet_pressure is not None]
    pump = min(read, key=lambda each: each.inlet_pressure or 0.0, default=None)
    return Reading(
        need,
        flow,
        0.01 / flow if flow else None,
        pump.name if pump else None,
        pump.inlet_pressure if pump else None,
        run.source.joint if port else None,
        port.pressure if port else None,
    )


def _missed(circuit: Circuit, situation: tuple[str, str]) -> Iterable[Missed]:
    row = row_at(circuit, *situation, {})
    for part in row.parts.values():
        if part.min_flow is None and part.max_flow is None:
            continue
        if part.verdict not in (None, "served", "marginal"):
            yield Missed(situation[1], situation[0], part.name, part.verdict, part.flow or 0.0)
    for oil in row.oils.values():
        for bound in (oil.limit, oil.alarm):
            if bound is not None and (oil.plateau or 0.0) > bound:
                yield Missed(situation[1], situation[0], oil.name, TOO_HOT, oil.plateau or 0.0)
                break
