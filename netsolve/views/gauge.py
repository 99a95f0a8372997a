"""A gauge beside each joint: where it stands above or below the waterline, to one scale for the whole picture."""

from __future__ import annotations

from collections.abc import Iterable
from dataclasses import dataclass
from itertools import groupby

from netsolve import units
from netsolve.result import JointResult

_TALL, _WIDE = 44, 11
_AIR, _WATER, _MARK = "#ffffff", "#8fbbdb", "#1f2933"


@dataclass(frozen=True, slots=True)
class Gauge:
    """Heights from the lowest to the highest in the picture, m; the waterline is always among them."""

    low: float
    high: float

    def drawn(self, height: float) -> str:
        """The gauge of one height as a table: water below the waterline, a dark bar at the height."""
        middle = min(max(self._row(height), 1), _TALL - 2)
        water = self._row(0.0)
        colours = [_MARK if abs(row - middle) <= 1 else _WATER if row >= water else _AIR for row in range(_TALL)]
        rows = "".join(
            f'<TR><TD FIXEDSIZE="TRUE" WIDTH="{_WIDE}" HEIGHT="{len(list(same))}" BGCOLOR="{colour}"></TD></TR>'
            for colour, same in groupby(colours)
        )
        return f'<TABLE BORDER="1" COLOR="#7b8794" CELLBORDER="0" CELLSPACING="0" CELLPADDING="0">{rows}</TABLE>'

    def _row(self, height: float) -> int:
        """How many rows of the gauge lie above a height."""
        return round((self.high - height) / (self.high - self.low) * (_TALL - 1))

    def told(self, system: str) -> str:
        """What the gauges show, in a sentence."""
        low, high = (units.show(abs(each), "length", system=system) for each in (self.low, self.high))
        first = f"{low} below the waterline" if self.low < 0 else "the waterline"
        last = f"{high} above it" if self.high > 0 else "the waterline"
        return f"Gauges: from {first} to {last}; shaded is below the waterline, the dark bar is the joint."


def gauge(joints: Iterable[JointResult]) -> Gauge | None:
    """The scale that holds every height and the waterline; None where there is nothing to tell apart."""
    heights = [0.0, *(joint.height for joint in joints if joint.height is not None)]
    return Gauge(min(heights), max(heights)) if max(heights) > min(heights) else None
