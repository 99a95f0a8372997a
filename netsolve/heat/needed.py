"""Heat turned round: what a cooler must pass, and how much water that takes, so that its oil stays at its limit."""

from __future__ import annotations

import math
from collections.abc import Callable, Mapping
from dataclasses import dataclass

import numpy as np

from netsolve.circuit import Part, Row
from netsolve.contract.cooling import Cooling, Oil
from netsolve.contract.declare import values_of
from netsolve.heat.spells import highest
from netsolve.heat.stated import rate_of, temperature_of

MOST_FLOW = 0.1
"""m3/s: what more water than this does not cool is not cooled by water."""

MOST_UA = 1e6
"""W/K: beyond any cooler on a boat."""


@dataclass(frozen=True)
class Needed:
    """What one cooler must do for its oil to settle at `limit` (K), all else as it is.

    `conductance` (W/K) between the oil and the water that comes to it; `least_flow` (m3/s) with the cooler as it is,
    `ua` (W/K, of one of several alike) at the flow as it is: infinite where no flow, no cooler would do.
    With `bursts` it is their peak that is to stay there.
    """

    part: str
    oil: str
    limit: float
    conductance: float
    least_flow: float
    ua: float
    bursts: bool = False


@dataclass(frozen=True)
class Fed:
    """The water that comes to a cooler: its flow, m3/s without sign, and temperature, K."""

    flow: float
    temperature: float


def goal(oil: Oil) -> float | None:
    """What an oil is to stay at or below, K: its limit, else its alarm."""
    return oil.alarm if oil.limit is None else oil.limit


def needed(row: Row, name: str, fed: Mapping[str, Fed], *, at: float | None = None) -> Needed | None:
    """What a cooler of an oil must do for it to settle at its limit, or at another temperature (K).

    None for any other part, and where nothing is asked of the oil.
    `fed` has all coolers: the others of the same oil go on taking what they would from it at its limit, each from water
    as warm as it is.
    """
    part = row.parts[name]
    if part.cooling is None or part.cools is None or not part.cooling.passes_heat or name not in fed:
        return None
    charge = row.oils[part.cools]
    limit, water = goal(charge.oil) if at is None else at, fed[name].temperature
    if limit is None:
        return None
    others = sum(_taken(row, each, limit, fed) for each in row.parts.values() if _cools_too(each, part))
    bursts = at is None and charge.oil.bursts is not None
    heat = float(charge.oil.mean_heat()) + charge.oil.loss * (charge.oil.air - limit) - others
    if bursts:
        conductance = _through_bursts(row, part, limit, fed)
    elif heat <= 0.0:
        conductance = 0.0
    else:
        conductance = heat / (limit - water) if water < limit else math.inf
    if conductance in (0.0, math.inf):
        return Needed(name, part.cools, limit, conductance, conductance, conductance, bursts)
    flow, ua = _least_flow(row, part, conductance), _ua(row, part, conductance, fed[name])
    return Needed(name, part.cools, limit, conductance, flow, ua, bursts)


def passed(row: Row, part: Part, cooling: Cooling, flow: float) -> float:
    """What a cooler, or so many alike in line, passes for each kelvin between oil and incoming water, W/K."""
    held = math.inf if part.cools is None else row.oils[part.cools].oil.heat_rate()
    rate = flow * float(rate_of(row.water))
    if rate <= 0.0:
        return 0.0
    share = float(cooling.conductance(flow, rate_of(row.water), held)) / rate
    return rate * float(-math.expm1(part.count * math.log1p(-min(share, 1.0 - 1e-12))))


def _cools_too(other: Part, part: Part) -> bool:
    return other.fitted and other.cools == part.cools and other.name != part.name and other.cooling is not None


def _taken(row: Row, part: Part, limit: float, fed: Mapping[str, Fed]) -> float:
    """What another cooler takes out of the oil at its limit, W."""
    if part.cooling is None or part.name not in fed:
        return 0.0
    water = fed[part.name]
    return passed(row, part, part.cooling, water.flow) * (limit - water.temperature)


def _through_bursts(row: Row, part: Part, limit: float, fed: Mapping[str, Fed]) -> float:
    """What a cooler must pass for its oil never to be warmer than its limit, W/K; infinite where nothing would do.

    An oil is taken to be warmed by no other through the water.
    """
    oil = row.oils[part.cools or ""].oil
    held = [(oil.loss, oil.air)]
    for other in row.parts.values():
        if _cools_too(other, part) and other.cooling is not None and other.name in fed:
            water = fed[other.name]
            held.append((passed(row, other, other.cooling, water.flow), water.temperature))
    start = float(temperature_of(row.liquid)) if oil.start is None else oil.start

    def short(conductance: float) -> float:
        taking = [*held, (conductance, fed[part.name].temperature)]
        loss = sum(each for each, _ in taking)
        gain = oil.steady_heat() + sum(each * temperature for each, temperature in taking)
        return limit - float(highest(oil, np.float64(start), gain, np.float64(loss), oil.capacity()))

    return 0.0 if short(0.0) >= 0.0 else _root(short, MOST_UA)


def _least_flow(row: Row, part: Part, conductance: float) -> float:
    cooling = part.cooling
    assert cooling is not None
    return _root(lambda flow: passed(row, part, cooling, flow) - conductance, MOST_FLOW)


def _ua(row: Row, part: Part, conductance: float, water: Fed) -> float:
    """The UA, clean, that passes so much at the flow that there is; fouling and the water's side stay as they are."""
    cooling = part.cooling
    assert cooling is not None

    def short(ua: float) -> float:
        given = values_of(cooling) | {"ua": ua, "u": None, "rated_duty": None}
        return passed(row, part, Cooling.model_construct(**given), water.flow) - conductance

    return _root(short, MOST_UA)


def _root(short: Callable[[float], float], most: float) -> float:
    """Where a rising function comes to nothing; infinite where even the most falls short."""
    from scipy.optimize import brentq

    if short(most) < 0.0:
        return math.inf
    return float(brentq(short, 0.0, most, xtol=1e-12 * most, rtol=1e-10))
