"""The flows at which one part is looked at: a range as it is typed, or what such a part usually carries."""

from __future__ import annotations

import math
from collections.abc import Mapping
from typing import Any

import numpy as np

from netsolve import units
from netsolve.component import Component
from netsolve.contract.declare import Quantity, Table, declared
from netsolve.laws.curve import Curve
from netsolve.problems import CircuitError, Problem, Span
from netsolve.study.spread_out import POINTS, not_rising, range_of
from netsolve.units import UnitError

MOST_POINTS = 200

_BEYOND = 1.2
"""How far beyond a rated flow they go."""
_BRISK = 2.0
"""m/s: up to here the usual flows go where only a bore is known; common practice, no source."""
_SOME = 5e-4
"""m3/s: up to here they go where not even that is known."""
_ROUND = (1.2, 1.8, 2.4, 3.0, 3.6, 4.8, 6.0, 9.0, 12.0)
"""Where a range may end, times a power of ten: six steps from zero then have short numbers."""
_LITRE_A_MINUTE = 1e-3 / 60


def flows_of(text: str) -> list[float]:
    """The flows (m3/s) of a range, `0 .. 6 gpm, 7 points`. Raises CircuitError with the place in it."""
    found = range_of(text, lambda span: _place(text, span), most=MOST_POINTS)
    if found is None:
        help = "write --curve '0 .. 6 gpm, 7 points'"
        raise CircuitError([Problem("bad-range", f"'{text}' is not a range of flows", help, _place(text))])
    high, low = _flow(found.high, found.places[1]), _flow(found.low, found.places[0])
    if low >= high:
        raise not_rising(_place(text), "flow")
    return [float(flow) for flow in np.linspace(low, high, found.count)]


def _flow(text: str, place: Span) -> float:
    try:
        return units.read(text, "flow").value
    except UnitError as error:
        raise CircuitError([Problem(error.code, error.message, error.help, place)]) from None


def _place(text: str, span: tuple[int, int] | None = None) -> Span:
    start, end = span or (0, len(text))
    return Span("--curve", 1, start + 1, max(1, end - start), text)


def usual_flows(part: Component, count: int = POINTS) -> list[float]:
    """Flows from none to a little more than such a part carries, for a pump to its rated flow, m3/s."""
    values: Mapping[str, Any] = {name: getattr(part, name) for name in declared(type(part))}
    rated = [
        _BEYOND * values[name]
        for name, spec in declared(type(part)).items()
        if isinstance(spec, Quantity) and spec.kind == "flow" and values[name] is not None
    ]
    measured = [
        values[name].columns[0][-1]
        for name, spec in declared(type(part)).items()
        if isinstance(spec, Table) and next(iter(spec.columns.values())) == "flow" and isinstance(values[name], Curve)
    ]
    bore = values.get(part.velocity_bore)
    through = [_BRISK * math.pi / 4 * bore**2] if bore else []
    most = max(rated or measured or through or [_SOME]) or _SOME
    last = most / _BEYOND if rated and "pump" in part.roles else _rounded_up(most)
    return [float(flow) for flow in np.linspace(0.0, last, count)]


def _rounded_up(flow: float) -> float:
    litres = flow / _LITRE_A_MINUTE
    power = 10.0 ** math.floor(math.log10(litres))
    step = next((step for step in _ROUND if step * power >= litres * (1 - 1e-9)), _ROUND[-1])
    return step * power * _LITRE_A_MINUTE
