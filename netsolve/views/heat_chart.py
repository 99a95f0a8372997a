"""Charts of how oils warm up from cold, and of what follows once the water stops."""

from __future__ import annotations

from collections.abc import Iterator, Sequence

import numpy as np

from netsolve.arrays.stack import Floats
from netsolve.circuit import AS_FOUND
from netsolve.problems import printable
from netsolve.study.warm_up import WarmUp
from netsolve.views.chart import MOST_LINES, Chart, Line
from netsolve.views.heat import NO_OIL_LASTS


def heat_charts(found: Sequence[WarmUp]) -> list[Chart]:
    """Two charts for each oil, without the second where no row has water to stop; those as found are drawn first."""
    return [chart for oil in dict.fromkeys(each.oil for each in found) for chart in _charts(oil, found)]


def _charts(oil: str, found: Sequence[WarmUp]) -> Iterator[Chart]:
    mine = sorted((each for each in found if each.oil == oil), key=lambda each: each.change != AS_FOUND)
    yield _chart(
        oil, "time after a cold start", mine, [_line(each, mine, each.times, each.temperatures) for each in mine]
    )
    stopped = [_line(each, mine, each.times_stopped, each.stopped) for each in mine if each.stopped is not None]
    if stopped:
        yield _chart(oil, "time after the water has stopped", mine, stopped)


def _chart(oil: str, path: str, mine: Sequence[WarmUp], lines: Sequence[Line]) -> Chart:
    bounds = {(name, value) for each in mine for name in ("limit", "alarm") if (value := getattr(each, name))}
    drawn, left_out = tuple(lines[:MOST_LINES]), max(0, len(lines) - MOST_LINES)
    return Chart(oil, path, "time", drawn, tuple(sorted(bounds)), (), left_out, of="temperature")


def _line(each: WarmUp, mine: Sequence[WarmUp], times: Floats, temperatures: Floats) -> Line:
    """Drawn as far as an oil lasts."""
    return Line(_label(each, mine), times, np.where(temperatures > NO_OIL_LASTS, np.nan, temperatures))


def _label(each: WarmUp, mine: Sequence[WarmUp]) -> str:
    """What tells a row from the others."""
    names = [(each.condition, {other.condition for other in mine}), (each.change, {other.change for other in mine})]
    return printable(", ".join(name for name, several in names if len(several) > 1) or each.condition)
