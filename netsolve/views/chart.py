"""What charts show, and how they are drawn in characters: a flow against what was varied, or oil against time."""

from __future__ import annotations

from collections.abc import Iterator, Mapping, Sequence
from dataclasses import dataclass

import numpy as np

from netsolve import units
from netsolve.arrays.stack import Floats
from netsolve.problems import printable
from netsolve.study.axes import Axis
from netsolve.study.crossings import Cool, Crossing, Need
from netsolve.study.sweep import Sweep
from netsolve.views.sweep_table import settings_text

MOST_LINES, MOST_CHARTS, MOST_BOUNDS = 6, 3, 6
LEAST_POINTS = 3

_MARKS = "ox+*#@"
_WIDTH, _HEIGHT, _MARGIN = 68, 15, 10
_APART = 7
"""Columns between the marks of a line of very many values."""


BOUNDS: Mapping[str, tuple[str, str]] = {
    "min_flow": ("-", "the least it needs"),
    "max_flow": ("=", "the most it needs"),
    "limit": ("-", "its limit"),
    "alarm": ("=", "its alarm"),
}
"""What is drawn across a chart: the character that draws it, and what it is called."""


@dataclass(frozen=True)
class Line:
    """Amounts (SI, nan where there is none) over the values (SI, rising) of the axis, in one situation."""

    label: str
    values: Floats
    amounts: Floats


@dataclass(frozen=True)
class Chart:
    """A part's flow over an axis, or an oil's temperature; all in SI.

    `kind` is that of the axis, `of` that of the amounts. `bounds` are drawn across, by their names in `BOUNDS`;
    `crossed` is where lines cross them, `left_out` how many lines there are more.
    """

    part: str
    path: str
    kind: str
    lines: tuple[Line, ...]
    bounds: tuple[tuple[str, float], ...]
    crossed: tuple[tuple[float, float], ...]
    left_out: int
    of: str = "flow"

    @property
    def top(self) -> float:
        """The largest amount that is drawn; never no flow."""
        amounts = [float(np.nanmax(line.amounts)) for line in self.lines if np.isfinite(line.amounts).any()]
        top = max([*amounts, *(amount for _, amount in self.bounds)], default=0.0)
        return (top or 1e-6) if self.of == "flow" else max(top, self.bottom + 1.0)

    @property
    def bottom(self) -> float:
        """The least amount that is drawn; of flows none, or less where one is reversed."""
        amounts = [float(np.nanmin(line.amounts)) for line in self.lines if np.isfinite(line.amounts).any()]
        return min([0.0, *amounts]) if self.of == "flow" else min([*amounts, *(amount for _, amount in self.bounds)])

    @property
    def ends(self) -> tuple[float, float]:
        """The first and the last value of the axis."""
        return float(self.lines[0].values[0]), float(self.lines[0].values[-1])


def charts_of(sweep: Sweep, axis: Axis, crossed: Sequence[Crossing], system: str) -> list[Chart]:
    """A chart for each of the parts whose need is crossed, or else missed, or else of the first ones."""
    if len(set(axis.values[axis.path])) < LEAST_POINTS:
        return []
    names = {each.goal.about for each in crossed if isinstance(each.goal, Need)}
    names = names or {part for part in sweep.needs if any(each not in ("served", "") for each in sweep.verdict(part))}
    chosen = [part for part in sweep.needs if part in names] or list(sweep.needs)
    charts = [_chart(sweep, axis, part, crossed, system) for part in chosen[:MOST_CHARTS]]
    return charts + [_oil_chart(sweep, axis, oil, crossed, system) for oil in sweep.oils[:MOST_CHARTS]]


def _chart(sweep: Sweep, axis: Axis, part: str, crossed: Sequence[Crossing], system: str) -> Chart:
    """What a part gets."""
    bounds = {bound: sweep.bound(part, bound) for bound in ("min_flow", "max_flow")}
    return _of(sweep, axis, part, sweep.flow(part), bounds, crossed, system=system, kind="flow")


def _oil_chart(sweep: Sweep, axis: Axis, oil: str, crossed: Sequence[Crossing], system: str) -> Chart:
    """Where an oil settles."""
    bounds = {bound: sweep.oil_bound(oil, bound) for bound in ("limit", "alarm")}
    return _of(sweep, axis, oil, sweep.plateau(oil), bounds, crossed, system=system, kind="temperature")


def _of(
    sweep: Sweep,
    axis: Axis,
    about: str,
    amounts: Floats,
    bounds: Mapping[str, Floats],
    crossed: Sequence[Crossing],
    *,
    system: str,
    kind: str,
) -> Chart:
    order = np.argsort(np.array(axis.values[axis.path], dtype=float), kind="stable")
    values = np.array(axis.values[axis.path], dtype=float)[order]
    place = sweep.axes.index(axis)
    flows = np.moveaxis(amounts.reshape(len(sweep.situations), *sweep.shape), place + 1, -1)
    flows = flows.reshape(-1, len(values))[:, order]
    every = list(zip(_told_apart(sweep, axis, system), flows, strict=True))
    drawn = [every[place] for place in np.unique(np.linspace(0, len(every) - 1, MOST_LINES).round().astype(int))]
    unlike = {bound: np.unique(values) for bound, values in bounds.items()}
    needs = {
        (bound, float(amount))
        for bound, values in unlike.items()
        if len(values) <= MOST_BOUNDS
        for amount in values
        if np.isfinite(amount)
    }
    keys = {key for (key, _), _ in drawn}
    mine = [each for each in crossed if each.goal.about == about and each.value is not None and _key(each) in keys]
    points = [(each.value or 0.0, at) for each in mine if np.isfinite(at := _at(sweep, each, bounds))]
    lines = tuple(Line(label, values, flow) for (_, label), flow in drawn)
    left_out = len(every) - len(drawn)
    return Chart(about, axis.path, axis.kinds[axis.path], lines, tuple(sorted(needs)), tuple(points), left_out, kind)


Key = tuple[object, ...]
"""What tells one line from another: condition, change, and what else is set."""


def _key(each: Crossing) -> Key:
    return (each.condition, each.change, *each.settings.items())


def _at(sweep: Sweep, each: Crossing, bounds: Mapping[str, Floats]) -> float:
    """The amount where a need is crossed: the need."""
    assert isinstance(each.goal, Need | Cool)
    values = bounds[each.goal.bound]
    count = len(sweep.combinations)
    start = count * sweep.situations.index((each.condition, each.change))
    return float(np.nanmax(values[start : start + count]))


def _told_apart(sweep: Sweep, axis: Axis, system: str) -> Iterator[tuple[Key, str]]:
    """The key of each line, and what tells it from the others in words."""
    several = [len({each[place] for each in sweep.situations}) > 1 for place in (0, 1)]
    kinds = {path: kind for each in sweep.axes for path, kind in each.kinds.items()}
    index = np.arange(len(sweep.combinations)).reshape(sweep.shape)
    firsts = np.moveaxis(index, sweep.axes.index(axis), -1)[..., 0].reshape(-1)
    for situation in sweep.situations:
        names = [name for name, said in zip(situation, several, strict=True) if said]
        for first in firsts:
            others = {path: value for path, value in sweep.combinations[int(first)].items() if path not in axis.values}
            told = settings_text(others, kinds, system)
            label = ", ".join(filter(None, [*names, told])) or ", ".join(situation)
            yield (*situation, *others.items()), printable(label)


def described(chart: Chart, system: str) -> str:
    """The chart in a sentence: where each line begins and ends, and what is drawn across."""
    said = [
        f"{line.label} from {_shown(chart, line, 0, system)} to {_shown(chart, line, -1, system)}"
        for line in chart.lines
    ]
    said += [f"{BOUNDS[bound][1]} {units.show(amount, chart.of, system=system)}" for bound, amount in chart.bounds]
    first, last = (units.show(each, chart.kind, system=system) for each in chart.ends)
    return printable(f"{chart.part} over {chart.path}, {first} to {last}: {'; '.join(said)}.")


def _shown(chart: Chart, line: Line, end: int, system: str) -> str:
    """The first or last amount that a line has."""
    amounts = line.amounts[np.isfinite(line.amounts)]
    return units.show(float(amounts[end]), chart.of, system=system) if len(amounts) else "nothing"


def chart_lines(chart: Chart, system: str) -> Iterator[str]:
    """The chart in plain characters, 80 columns wide."""
    unit = units.shown_units(chart.of)[system == "us"]
    canvas = [[" "] * _WIDTH for _ in range(_HEIGHT)]
    for bound, amount in chart.bounds:
        canvas[_level(chart, amount)] = [BOUNDS[bound][0]] * _WIDTH
    for place, line in enumerate(chart.lines):
        _draw(canvas, chart, line, place)
    yield printable(f"{chart.part}, {unit}")
    ticks = {0: chart.top, _HEIGHT - 1: chart.bottom}
    for row, cells in enumerate(canvas):
        tick = f"{units.convert(ticks[row], chart.of, unit):.3g}" if row in ticks else ""
        yield f"{tick:>{_MARGIN}} |{''.join(cells)}".rstrip()
    yield f"{'':>{_MARGIN}} +{'-' * _WIDTH}"
    first, last = (units.show(each, chart.kind, system=system) for each in chart.ends)
    middle = printable(chart.path)[: _WIDTH - len(first) - len(last) - 4]
    yield f"{'':>{_MARGIN + 2}}{first}{middle:^{_WIDTH - len(first) - len(last)}}{last}".rstrip()
    yield from _legend(chart, system)


def _legend(chart: Chart, system: str) -> Iterator[str]:
    for bound, amount in chart.bounds:
        mark, words = BOUNDS[bound]
        yield f"{'':>{_MARGIN + 2}}{3 * mark} {words}, {units.show(amount, chart.of, system=system, both=True)}"
    for mark, line in zip(_MARKS, chart.lines, strict=False):
        yield f"{'':>{_MARGIN + 2}}{mark} {line.label}"[:80]
    if chart.left_out:
        yield f"{'':>{_MARGIN + 2}}{chart.left_out} lines more; narrow down with --condition and --change"


def _level(chart: Chart, amount: float) -> int:
    share = (amount - chart.bottom) / (chart.top - chart.bottom)
    return round((1 - share) * (_HEIGHT - 1))


def _draw(canvas: list[list[str]], chart: Chart, line: Line, place: int) -> None:
    """The line in dots, its own values as marks; of very many values a few, elsewhere than those of other lines."""
    low, high = chart.ends
    columns = np.round((line.values - low) / (high - low) * (_WIDTH - 1)).astype(int)
    along = np.interp(np.arange(_WIDTH), columns, line.amounts, left=np.nan, right=np.nan)
    for column, amount in enumerate(along):
        if np.isfinite(amount) and canvas[_level(chart, amount)][column] in " -=":
            canvas[_level(chart, amount)][column] = "."
    some = np.arange(len(columns)) if len(columns) <= _WIDTH else np.searchsorted(columns, range(place, _WIDTH, _APART))
    for column, amount in zip(columns[some], line.amounts[some], strict=True):
        if np.isfinite(amount):
            canvas[_level(chart, float(amount))][column] = _MARKS[place]
