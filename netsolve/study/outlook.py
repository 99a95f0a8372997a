"""How surely an oil settles where it is said to, and in what water it would not: the range by what is uncertain."""

from __future__ import annotations

import math
from collections.abc import Iterator, Mapping, Sequence
from dataclasses import dataclass, replace
from typing import Any

import numpy as np

from netsolve.circuit import Charge, Part, Row
from netsolve.contract.cooling import Cooling
from netsolve.contract.declare import Declared, Quantity, declared, values_of
from netsolve.heat.heat import Heat, OilResult
from netsolve.heat.needed import Needed, needed
from netsolve.heat.stated import stated, temperature_of
from netsolve.judging.needs import fed
from netsolve.result import RowResult

Range = tuple[float | None, float | None]


@dataclass(frozen=True)
class Outlook:
    """An oil in a row, with ranges (K, s) by the uncertain inputs; None at an end of a time: never.

    `water_at_alarm` and `water_at_limit` are the temperatures of the incoming water (K) at which it settles there, all
    else as it is; None where no water would do. `coolers` says what each cooler must do for the limit.
    """

    oil: OilResult
    plateau: Range
    time_to_alarm: Range
    time_without_water: Range
    water_at_alarm: float | None
    water_at_limit: float | None
    coolers: tuple[Needed, ...] = ()


@dataclass(frozen=True)
class Told:
    """What becomes of one oil in one variant of a row; a time is infinite where never, the plateau nan where none."""

    plateau: float
    to_alarm: float
    without_water: float


def outlooks(row: RowResult, state: Row) -> list[Outlook]:
    """Every oil of a settled row; flows are taken as they are."""
    flows = {name: run.flow or 0.0 for name, run in row.runs.items()}
    return [replace(_outlook(oil, state, flows), coolers=_coolers(oil, row, state)) for oil in row.oils.values()]


def _coolers(oil: OilResult, row: RowResult, state: Row) -> tuple[Needed, ...]:
    """What each of an oil's coolers would have to do for it to settle at its limit."""
    names = [name for name, part in state.parts.items() if part.fitted and part.cools == oil.name]
    return tuple(filter(None, (needed(state, name, fed(row, state)) for name in names)))


def _outlook(oil: OilResult, state: Row, flows: Mapping[str, float]) -> Outlook:
    pairs = list(variants(state, oil.name))
    here, *apart = told([state, *(each for pair in pairs for each in pair)], flows, oil.name)
    pairs_told = list(zip(apart[::2], apart[1::2], strict=True))
    return Outlook(
        oil,
        _apart(here.plateau, [(low.plateau, high.plateau) for low, high in pairs_told]),
        _times(here.to_alarm, [(low.to_alarm, high.to_alarm) for low, high in pairs_told]),
        _times(here.without_water, [(low.without_water, high.without_water) for low, high in pairs_told]),
        _water_at(oil.alarm, here.plateau, state, flows, oil.name),
        _water_at(oil.limit, here.plateau, state, flows, oil.name),
    )


def told(states: Sequence[Row], flows: Mapping[str, float], name: str) -> list[Told]:
    """What becomes of an oil in variants of a row with these flows."""
    flow = np.array([flows.get(run, 0.0) for run in states[0].runs])
    heat = Heat(stated(states), np.tile(flow, (len(states), 1)))
    columns = heat.plateau(name), heat.time_to_alarm(name), heat.time_without_water(name)
    never = [np.where(np.isnan(times), math.inf, times) for times in columns[1:]]
    return [Told(*map(float, each)) for each in zip(columns[0], *never, strict=True)]


def variants(state: Row, name: str) -> Iterator[tuple[Row, Row]]:
    """The row with each uncertain input of an oil and its coolers at the low and the high end of its range."""
    charge = state.oils[name]
    for field, spread in oil_spreads(charge.oil, charge.spreads):
        yield tuple(_with_oil(state, charge, field, sign * spread) for sign in (-1, 1))  # type: ignore[misc]
    for part in state.parts.values():
        if part.fitted and part.cooling is not None and part.cools == name and part.cooling.passes_heat:
            share = spread_of_ua(part)
            yield tuple(_with_ua(state, part, part.cooling, 1 + sign * share) for sign in (-1, 1))  # type: ignore[misc]
            for field, spread in cooling_spreads(part):
                now = getattr(part.cooling, field)
                yield tuple(_with_cooling(state, part, **{field: now + sign * spread}) for sign in (-1, 1))  # type: ignore[misc]


def oil_spreads(record: Declared, written: Mapping[str, float]) -> Iterator[tuple[str, float]]:
    """The fields of a record that are uncertain, with the half width of each: as written, else the usual one."""
    for field, spec in declared(type(record)).items():
        value = getattr(record, field)
        usual = spec.spread if isinstance(spec, Quantity) else None
        if field in written:
            yield field, written[field]
        elif usual and isinstance(value, float) and value:
            yield field, usual * abs(value)


def _with_oil(state: Row, charge: Charge, field: str, more: float) -> Row:
    changed = _changed(charge.oil, **{field: getattr(charge.oil, field) + more})
    return replace(state, oils={**state.oils, charge.name: replace(charge, oil=changed)})


_PASSED = ("ua", "u", "area", "rated_duty")


def cooling_spreads(part: Part) -> Iterator[tuple[str, float]]:
    """The fields of a cooler with a ± behind them, and its half width; but for those of what it passes when clean."""
    for field, width in part.cooling_spreads.items():
        if field not in _PASSED:
            yield field, width


def spread_of_ua(part: Part) -> float:
    """The relative spread of what a cooler passes."""
    written = [
        part.cooling_spreads[field] / value
        for field in _PASSED
        if (value := getattr(part.cooling, field)) and field in part.cooling_spreads
    ]
    usual = declared(Cooling)["ua"]
    return math.hypot(*written) if written else (getattr(usual, "spread", None) or 0.0)


def _with_ua(state: Row, part: Part, cooling: Cooling, times: float) -> Row:
    return _with_cooling(state, part, ua=times * cooling.clean, u=None, rated_duty=None)


def _with_cooling(state: Row, part: Part, **values: Any) -> Row:
    changed = _changed(part.cooling, **values)
    return replace(state, parts={**state.parts, part.name: replace(part, cooling=changed)})


def _changed(record: Any, **values: Any) -> Any:
    """The record with other values, unchecked, without what it had worked out."""
    return type(record).model_construct(**values_of(record) | values)


def _apart(here: float, pairs: list[tuple[float, float]]) -> Range:
    """The range of a value whose inputs are off independently: the root of the sum of squares, each way."""
    if math.isnan(here):
        return None, None
    down = math.hypot(*(here - min(here, *pair) for pair in pairs if not math.isnan(sum(pair))))
    up = math.hypot(*(max(here, *pair) - here for pair in pairs if not math.isnan(sum(pair))))
    return here - down, here + up


def _times(here: float, pairs: list[tuple[float, float]]) -> Range:
    """The range of a time, on the scale of its logarithm; None at the end where it is never."""
    if not 0.0 < here < math.inf:
        soonest = min((min(pair) for pair in pairs), default=here)
        return (soonest if 0.0 < soonest < math.inf else _known(here)), _known(here)
    if any(min(pair) <= 0.0 for pair in pairs):
        return 0.0, _known(max(here, *(max(pair) for pair in pairs)))
    logs = [[math.log(each / here) for each in pair] for pair in pairs]
    down = math.hypot(*(min(0.0, *pair) for pair in logs))
    up = math.hypot(*(max(0.0, *pair) for pair in logs))
    return here * math.exp(-down), _known(here * math.exp(up))


def _known(time: float) -> float | None:
    return time if math.isfinite(time) else None


def _water_at(wanted: float | None, plateau: float, state: Row, flows: Mapping[str, float], name: str) -> float | None:
    """The temperature of incoming water at which an oil settles at `wanted`: plateau and water go straight together."""
    given = getattr(state.liquid, "temperature", None)
    if wanted is None or given is None or math.isnan(plateau):
        return None
    warmer = replace(state, liquid=_changed(state.liquid, temperature=given + 10.0))
    slope = (told([warmer], flows, name)[0].plateau - plateau) / 10.0
    return float(temperature_of(state.liquid)) + (wanted - plateau) / slope if slope > 1e-6 else None
