"""The flows at which one part is looked at: a range as it is typed, or what such a part usually carries."""

from __future__ import annotations

import math
import re
from collections.abc import Mapping
from typing import Any

import numpy as np

from netsolve import units
from netsolve.component import Component
from netsolve.curve import Curve
from netsolve.declare import Quantity, Table, declared
from netsolve.numerals import leading_number
from netsolve.problems import CircuitError, Problem, Span
from netsolve.units import UnitError

POINTS = 7
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

_RANGE = re.compile(r"\s*(.+?)\s*\.\.\s*(.+?)\s*(?:,\s*([^,\s]+?)(?:\s*points?)?\s*)?")


def flows_of(text: str) -> list[float]:
    """The flows (m3/s) of a range, `0 .. 6 gpm, 7 points`. Raises CircuitError with the place in it."""
    found = _RANGE.fullmatch(text)
    if found is None:
        help = "write --curve '0 .. 6 gpm, 7 points'"
        raise CircuitError([Problem("bad-range", f"'{text}' is not a range of flows", help, _place(text))])
    high, low = (_flow(found, group, text) for group in (2, 1))
    count = found[3] or str(POINTS)
    if not count.isdecimal() or not 2 <= int(count) <= MOST_POINTS:
        message = f"from 2 to {MOST_POINTS} points can be shown, not '{count}'"
        raise CircuitError([Problem("bad-range", message, f"write {POINTS} points", _place(text, found.span(3)))])
    if low >= high:
        help = "put the smaller flow first, and another one last"
        raise CircuitError([Problem("bad-range", "the range does not rise", help, _place(text))])
    return [float(flow) for flow in np.linspace(low, high, int(count))]


def _flow(found: re.Match[str], group: int, text: str) -> float:
    """One end of a range; a first one without a unit has that of the last."""
    written = found[group]
    try:
        if group == 1 and units.fits(written, "number"):
            written = f"{written} {leading_number(' '.join(found[2].split()))[1]}"
        return units.read(written, "flow").value
    except UnitError as error:
        raise CircuitError([Problem(error.code, error.message, error.help, _place(text, found.span(group)))]) from None


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
