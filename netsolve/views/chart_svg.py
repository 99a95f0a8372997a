"""Charts as one SVG: lines told apart by dash and mark as well as by colour, needs and limits drawn across."""

from __future__ import annotations

from collections.abc import Iterator, Sequence
from html import escape

import numpy as np

from netsolve import units
from netsolve.problems import printable
from netsolve.views.canvas import picture
from netsolve.views.chart import BOUNDS, Chart, Line, described
from netsolve.views.markup import FAINT, INK
from netsolve.views.palette import look
from netsolve.views.sweep_answers import precise

_WIDTH, _PANEL = 760, 440
_LEFT, _RIGHT, _TOP, _BOTTOM = 80, 40, 50, 190
_COLOURS = [look(word).colour for word in ("served", "overfed", "marginal", "reversed", "shut", "dry")]
_DASHES = ("", "8 4", "2 4", "12 4 2 4", "4 2", "1 3")
_NEED = look("starved").colour
_TICKS = 5
_MOST_MARKS, _FEW_MARKS = 40, 8


def charts_svg(charts: Sequence[Chart], title: str, system: str, *, name: str = "chart") -> str:
    """One panel for each chart, one below the other, with their ends in words; `name` begins its ids."""
    parts = [_text(20, 26, title, size=16, bold=True)]
    for place, chart in enumerate(charts):
        parts += [f'<g transform="translate(0 {40 + _PANEL * place})">', *_panel(chart, system), "</g>"]
    told = " ".join(described(chart, system) for chart in charts)
    return picture(parts, _WIDTH, 40 + _PANEL * len(charts), title=title, description=told, name=name)


def _panel(chart: Chart, system: str) -> Iterator[str]:
    unit = units.shown_units(chart.of)[system == "us"]
    yield _text(
        20, 20, f"{'flow of ' if chart.of == 'flow' else ''}{chart.part}, {unit}, over {chart.path}", size=13, bold=True
    )
    yield from _axes(chart, unit, system)
    for place, (bound, amount) in enumerate(chart.bounds):
        yield from _bound(chart, bound, amount, system, at_end=place % 2 == 1)
    for place, line in enumerate(chart.lines):
        yield from _line(chart, line, place)
    for value, amount in chart.crossed:
        x, y = _x(chart, value), _y(chart, amount)
        yield f'<circle cx="{x:.1f}" cy="{y:.1f}" r="6" fill="none" stroke="{INK}" stroke-width="1.5"/>'
        yield _text(x + 8, y + 14, precise(value, chart.kind, system, digits=4), size=10)
    yield from _legend(chart)


def _axes(chart: Chart, unit: str, system: str) -> Iterator[str]:
    left, right, bottom = _LEFT, _WIDTH - _RIGHT, _PANEL - _BOTTOM
    yield f'<path d="M{left} {_TOP} V{bottom} H{right}" fill="none" stroke="{INK}"/>'
    for amount in np.linspace(chart.bottom, chart.top, _TICKS):
        y = _y(chart, float(amount))
        yield f'<path d="M{left} {y:.1f} H{right}" stroke="#e4e7eb" fill="none"/>'
        yield _text(left - 8, y + 4, f"{units.convert(float(amount), chart.of, unit):.3g}", size=11, anchor="end")
    for value in np.linspace(*chart.ends, _TICKS):
        shown = units.show(float(value), chart.kind, system=system)
        yield _text(_x(chart, float(value)), bottom + 18, shown, size=11, anchor="middle")


def _bound(chart: Chart, bound: str, amount: float, system: str, *, at_end: bool) -> Iterator[str]:
    """A line across, its words at its beginning or its end, so that those of two near each other are apart."""
    y = _y(chart, amount)
    ends = f"M{_LEFT} {y:.1f} H{_WIDTH - _RIGHT}"
    yield f'<path d="{ends}" stroke="{_NEED}" stroke-width="2.5" stroke-dasharray="10 5" fill="none"/>'
    said = f"{BOUNDS[bound][1]}: {units.show(amount, chart.of, system=system, both=True)}"
    x, anchor = (_WIDTH - _RIGHT - 8, "end") if at_end else (_LEFT + 8, "start")
    yield _text(x, y - 6, said, size=11, colour=_NEED, anchor=anchor)


def _line(chart: Chart, line: Line, place: int) -> Iterator[str]:
    colour, dash = _COLOURS[place % len(_COLOURS)], _DASHES[place % len(_DASHES)]
    points = [
        (_x(chart, float(value)), _y(chart, float(amount)))
        for value, amount in zip(line.values, line.amounts, strict=True)
        if np.isfinite(amount)
    ]
    path = " ".join(f"{x:.1f},{y:.1f}" for x, y in points)
    yield f'<polyline points="{path}" fill="none" stroke="{colour}" stroke-width="2" stroke-dasharray="{dash}"/>'
    apart = 1 if len(points) <= _MOST_MARKS else len(points) // _FEW_MARKS
    yield from (_mark(x, y, place, colour) for x, y in points[apart * place // len(_DASHES) :: apart])


def _mark(x: float, y: float, place: int, colour: str) -> str:
    """A mark whose shape, and not only its colour, tells the line."""
    shapes = (
        f"M{x - 4:.1f} {y:.1f} a4 4 0 1 0 8 0 a4 4 0 1 0 -8 0",
        f"M{x - 4:.1f} {y - 4:.1f} l8 8 m0 -8 l-8 8",
        f"M{x:.1f} {y - 5:.1f} v10 m-5 -5 h10",
        f"M{x - 4:.1f} {y - 4:.1f} h8 v8 h-8 z",
        f"M{x:.1f} {y - 5:.1f} l5 9 h-10 z",
        f"M{x:.1f} {y - 5:.1f} l5 5 l-5 5 l-5 -5 z",
    )
    return f'<path d="{shapes[place % len(shapes)]}" fill="#ffffff" stroke="{colour}" stroke-width="1.5"/>'


def _legend(chart: Chart) -> Iterator[str]:
    top = _PANEL - _BOTTOM + 45
    for place, line in enumerate(chart.lines):
        y = top + 20 * place
        colour, dash = _COLOURS[place % len(_COLOURS)], _DASHES[place % len(_DASHES)]
        ends = f"M{_LEFT} {y - 4} h36"
        yield f'<path d="{ends}" stroke="{colour}" stroke-width="2" stroke-dasharray="{dash}" fill="none"/>'
        yield _mark(_LEFT + 18, y - 4, place, colour)
        yield _text(_LEFT + 44, y, line.label if len(line.label) <= 100 else f"{line.label[:99]}…", size=11)
    if chart.left_out:
        yield _text(
            _LEFT, top + 20 * len(chart.lines), f"{chart.left_out} lines more are not drawn", size=11, colour=FAINT
        )


def _x(chart: Chart, value: float) -> float:
    low, high = chart.ends
    return _LEFT + (value - low) / (high - low) * (_WIDTH - _RIGHT - _LEFT)


def _y(chart: Chart, amount: float) -> float:
    share = (amount - chart.bottom) / (chart.top - chart.bottom)
    return _PANEL - _BOTTOM - share * (_PANEL - _BOTTOM - _TOP)


def _text(
    x: float, y: float, words: str, *, size: int, colour: str = INK, bold: bool = False, anchor: str = "start"
) -> str:
    weight = ' font-weight="bold"' if bold else ""
    place = f'x="{x:.1f}" y="{y:.1f}" text-anchor="{anchor}" paint-order="stroke" stroke="#ffffff" stroke-width="3"'
    return f'<text {place} font-size="{size}" fill="{colour}"{weight}>{_safe(words)}</text>'


def _safe(words: str) -> str:
    return escape(printable(words))
