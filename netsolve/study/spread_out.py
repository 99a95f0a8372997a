"""A range as it is typed, `0 .. 6 gpm, 7 points`: its ends as texts with their places, and how many points."""

from __future__ import annotations

import re
from collections.abc import Callable
from dataclasses import dataclass

from netsolve import units
from netsolve.problems import CircuitError, Problem, Span
from netsolve.quantities.numerals import leading_number
from netsolve.units import UnitError

POINTS = 7
"""How many points there are where nobody says."""

_RANGE = re.compile(r"\s*(.+?)\s*\.\.\s*(.+?)\s*(?:,\s*([^,\s]+?)(?:\s*points?)?\s*)?")

Place = Callable[[tuple[int, int]], Span]
"""The place of a stretch of the text, from where to where, as it is told."""


@dataclass(frozen=True)
class Range:
    """The texts of both ends, where they stand, and the number of points; a first end without a unit has the last's."""

    low: str
    high: str
    count: int
    places: tuple[Span, Span]


def range_of(text: str, place: Place, *, most: int) -> Range | None:
    """The range that a text is, None where it is none. Raises CircuitError for a number of points that cannot be."""
    found = _RANGE.fullmatch(text)
    if found is None:
        return None
    count = found[3] or str(POINTS)
    if not count.isdecimal() or not 2 <= int(count) <= most:
        message = f"from 2 to {most} points can be shown, not '{count}'"
        raise CircuitError([Problem("bad-range", message, f"write {POINTS} points", place(found.span(3)))])
    return Range(with_unit_of(found[2], found[1]), found[2], int(count), (place(found.span(1)), place(found.span(2))))


def with_unit_of(last: str, first: str) -> str:
    """The first text with the unit of the last, where it is a bare number."""
    if not units.fits(first, "number"):
        return first
    try:
        unit = leading_number(" ".join(last.split()))[1]
    except UnitError:
        return first
    return f"{first} {unit}".strip()


def not_rising(place: Span, what: str = "value") -> CircuitError:
    """The error for a range whose ends stand the wrong way about."""
    help = f"put the smaller {what} first, and another one last"
    return CircuitError([Problem("bad-range", "the range does not rise", help, place)])
