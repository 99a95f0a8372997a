"""What a thermometer in the oil tells: the heat put in, by a warm-up, and what a cooler passes, by where it settled."""

from __future__ import annotations

import re
from collections.abc import Iterator
from dataclasses import dataclass

from netsolve import units
from netsolve.circuit import Circuit, Row
from netsolve.heat.needed import needed, passed
from netsolve.judging.needs import fed
from netsolve.laws.thermal import after
from netsolve.problems import CircuitError, Problem, Span
from netsolve.reading.naming import did_you_mean, fold
from netsolve.result import RowResult
from netsolve.units import UnitError

OPTION = "--measured"
EXAMPLE = f"write {OPTION} 'winch oil = 25 degC to 31 degC in 10 min' or {OPTION} 'winch oil = 58 degC'"

_WARMED = re.compile(r"(.+?)\s+to\s+(.+?)\s+in\s+(.+)")


@dataclass(frozen=True)
class Measured:
    """An oil's temperatures (K): `first` and `last` after a `span` (s) of warming up, or `last` alone, settled."""

    oil: str
    last: float
    first: float | None = None
    span: float | None = None


@dataclass(frozen=True)
class Told:
    """What a row makes of it: the heat put in (W), or what one cooler passes (W/K) and the UA (W/K) that does."""

    oil: str
    heat: float | None = None
    cooler: str = ""
    conductance: float | None = None
    ua: float | None = None


def read_measured(circuit: Circuit, text: str) -> Measured:
    """The temperatures that an option gives. CircuitError where it says something else."""
    left, sign, right = text.partition("=")
    if not (left.strip() and sign and right.strip()) or len(text.splitlines()) > 1:
        raise _refused(
            text, (0, len(text)), f"'{text}' is not OIL = TEMPERATURE, nor OIL = FROM to TO in TIME", EXAMPLE
        )
    names = {fold(name): name for name in circuit.as_found.oils}
    oil = names.get(fold(left.strip()))
    if oil is None:
        known = tuple(names.values())
        help = did_you_mean(left.strip(), known, f"there are: {', '.join(known) or 'none'}")
        raise _refused(text, (0, len(left.rstrip())), f"there is no oil '{left.strip()}'", help)
    start = len(left) + 1
    warmed = _WARMED.fullmatch(right.strip())
    if warmed is None:
        return Measured(oil, _value(text, right, start, "temperature"))
    first, last = (_value(text, warmed[place], start, "temperature") for place in (1, 2))
    span = _value(text, warmed[3], start, "time")
    if last <= first or span <= 0.0:
        raise _refused(
            text, (start, len(text)), "the oil does not warm up", "a warmer temperature last, a time above 0"
        )
    return Measured(oil, last, first, span)


def _value(text: str, value: str, start: int, kind: str) -> float:
    at = text.index(value.strip(), start)
    try:
        return units.read(value.strip(), kind).value
    except UnitError as error:
        raise _refused(text, (at, at + len(value.strip())), error.message, error.help) from None


def _refused(text: str, place: tuple[int, int], message: str, help: str) -> CircuitError:
    at = Span(OPTION, 1, place[0] + 1, max(1, place[1] - place[0]), text)
    return CircuitError([Problem("bad-measurement", message, help, at)])


def told(measured: Measured, row: RowResult, state: Row) -> Iterator[Told]:
    """What a settled row makes of it; nothing where no single cooler could have done it."""
    if measured.first is None or measured.span is None:
        yield from _coolers(measured, row, state)
        return
    oil, water = state.oils[measured.oil].oil, fed(row, state)
    taking = [
        (passed(state, part, part.cooling, water[name].flow), water[name].temperature)
        for name, part in state.parts.items()
        if part.fitted and part.cools == measured.oil and part.cooling is not None and part.cooling.passes_heat
    ]
    loss = oil.loss + sum(each for each, _ in taking)
    rise = float(after(measured.span, 0.0, 1.0, loss, oil.capacity()))
    gain = (measured.last - measured.first) / rise
    lost = oil.loss * (measured.first - oil.air) + sum(each * (measured.first - at) for each, at in taking)
    yield Told(measured.oil, heat=gain + lost)


def _coolers(measured: Measured, row: RowResult, state: Row) -> Iterator[Told]:
    """Each of the oil's coolers, as if the others were as the file says."""
    for name, part in state.parts.items():
        if part.fitted and part.cools == measured.oil:
            found = needed(state, name, fed(row, state), at=measured.last)
            if found is not None:
                yield Told(measured.oil, cooler=name, conductance=found.conductance, ua=found.ua)
