"""The pressure line of a way from opening to opening: heights, total head and static pressure along the parts."""

from __future__ import annotations

from collections.abc import Iterator, Sequence
from dataclasses import dataclass
from itertools import pairwise

from netsolve import units
from netsolve.study.pressure_line import Point, Step, lowest
from netsolve.views import canvas
from netsolve.views.canvas import Scale
from netsolve.views.markup import FAINT, wrap
from netsolve.views.strip import minus

_LEFT, _RIGHT, _PLOT, _STEP = 62, 60, 300, 62
_NARROWEST = 560
_TOTAL, _STATIC, _PIPE, _SEA, _BEFORE = "#1f2933", "#0b6e7f", "#8a9199", "#2b6cb0", "#9a3412"
_LONGEST_NAME = 24
_VACUUM = 1.0
"""Pa below the atmosphere's pressure from which on it is said to be below."""

Place = tuple[float, float]


@dataclass(frozen=True)
class _Chart:
    """What is drawn, and the scales that it is drawn on; lengths are shown in m or ft."""

    steps: Sequence[Step]
    before: Sequence[Step]
    across: Scale
    up: Scale
    unit: str
    system: str

    def place(self, index: float, metres: float) -> Place:
        """The place on the page of a height at so many steps from the left."""
        return self.across.at(index), self.up.at(units.convert(metres, "length", self.unit))


def line_chart(
    steps: Sequence[Step], *, before: Sequence[Step] = (), title: str, system: str = "metric", name: str = "line"
) -> str:
    """SVG of one way; `before` is the same way as found, drawn below the one with a change."""
    unit = "m" if system == "metric" else "ft"
    head = wrap(title, max(48, len(steps) * _STEP // 9), most=4)
    top = 42 + 19 * len(head) + 16 * (4 if before else 3)
    width = max(_NARROWEST, _LEFT + _RIGHT + _STEP * len(steps))
    low, high = _range(steps, before, unit)
    across = Scale(0, len(steps), _LEFT, width - _RIGHT)
    chart = _Chart(steps, before, across, Scale(low, high, top + _PLOT, top), unit, system)
    parts = [canvas.words(12, 26 + 19 * row, line, size=16, bold=True) for row, line in enumerate(head)]
    parts += [*_legend(chart, 30 + 19 * len(head)), *_water(chart), *_grid(chart), *_lines(chart), *_names(chart)]
    height = top + _PLOT + 26 + _room(chart)
    return canvas.picture(parts, width, height, title=title, description=told(steps, system), name=name)


def told(steps: Sequence[Step], system: str) -> str:
    """A pressure line in words: the static pressure at every joint, and the lowest of all."""
    joints = [f"{step.name} {_gauge(step.last, system)}" for step in steps if step.joint and step.last]
    said = f"Static pressure along the way: {', '.join(joints)}."
    least = lowest(steps)
    if least is None:
        return said
    where = "below" if least[0] < 0 else "nowhere below"
    return f"{said} The lowest is {_pressure(least[0], system)} at {least[1]}, {where} atmosphere."


def _pressure(pressure: float, system: str) -> str:
    return minus(units.show(pressure, "pressure", system=system))


def _gauge(point: Point, system: str) -> str:
    return "no water" if point.pressure is None else _pressure(point.pressure, system)


def _range(steps: Sequence[Step], before: Sequence[Step], unit: str) -> tuple[float, float]:
    """The lowest and the highest value to show, with a little room; the waterline is always among them."""
    points = [point for step in (*steps, *before) for point in (step.first, step.last) if point]
    values = [0.0, *(each for point in points for each in (point.height, point.head))]
    values += [step.top for step in steps if step.first]
    low, high = (units.convert(each, "length", unit) for each in (min(values), max(values)))
    room = 0.08 * (high - low) or 0.5
    return low - room, high + room


def _legend(chart: _Chart, y: float) -> Iterator[str]:
    """What each line is, in words beside a piece of it."""
    shown = [
        (_TOTAL, 2.5, "", "total head: static head and what the water's speed is worth"),
        (_STATIC, 2.5, "8 3 2 3", "static head: above the part, a gauge there shows pressure; below it, vacuum"),
        (_PIPE, 5, "", "height of the parts above the waterline"),
    ]
    if chart.before:
        shown.append((_BEFORE, 1.6, "2 3", "as found: total head before the change"))
    for row, (colour, width, dashes, words) in enumerate(shown):
        yield canvas.line([(12, y + 16 * row), (46, y + 16 * row)], colour=colour, width=width, dashes=dashes)
        yield canvas.words(54, y + 4 + 16 * row, words, size=11, colour=FAINT)


def _water(chart: _Chart) -> Iterator[str]:
    left, right = chart.across.start, chart.across.stop
    level, bottom = chart.up.at(0), chart.up.start
    yield canvas.area([(left, level), (right, level), (right, bottom), (left, bottom)], "#e6f0f8")


def _grid(chart: _Chart) -> Iterator[str]:
    left, right = chart.across.start, chart.across.stop
    for tick in chart.up.ticks():
        y = chart.up.at(tick)
        yield canvas.line([(left, y), (right, y)], colour="#d5dbe1", width=0.8)
        yield canvas.words(left - 6, y + 4, minus(f"{tick:g}"), size=11, colour=FAINT, anchor="end")
    yield canvas.words(left - 6, chart.up.stop + 4, chart.unit, size=11, colour=FAINT, anchor="end")
    yield canvas.line([(left, chart.up.at(0)), (right, chart.up.at(0))], colour=_SEA, width=1.6)
    yield canvas.words(right + 4, chart.up.at(0) + 4, "waterline", size=11, colour=_SEA)


def _lines(chart: _Chart) -> Iterator[str]:
    yield from _below(chart)
    for points in _pieces(chart, chart.steps, "height"):
        yield canvas.line(points, colour=_PIPE, width=5)
    for points in _pieces(chart, chart.before, "head"):
        yield canvas.line(points, colour=_BEFORE, width=1.6, dashes="2 3")
    for points in _pieces(chart, chart.steps, "head"):
        yield canvas.line(points, colour=_TOTAL, width=2.5)
    for points in _static(chart, chart.steps):
        yield canvas.line(points, colour=_STATIC, width=2.5, dashes="8 3 2 3")


def _spots(chart: _Chart, steps: Sequence[Step]) -> Iterator[tuple[float, Point | None, Step]]:
    """Both ends of each step with how many steps from the left they stand; those of a joint stand in its middle."""
    for index, step in enumerate(steps):
        ends = (0.5, 0.5) if step.joint else (0.08, 0.92)
        yield index + ends[0], step.first, step
        yield index + ends[1], step.last, step


def _pieces(chart: _Chart, steps: Sequence[Step], field: str) -> list[list[Place]]:
    """The line of the heights or the total heads; what is not there is passed over."""
    points = [chart.place(at, getattr(point, field)) for at, point, _ in _spots(chart, steps) if point]
    return [points] if points else []


def _static(chart: _Chart, steps: Sequence[Step]) -> list[list[Place]]:
    """The static head, in as many pieces as there are stretches of standing or running water."""
    pieces: list[list[Place]] = [[]]
    for at, point, _ in _spots(chart, steps):
        if point is None:
            continue
        if point.static is None:
            pieces.append([])
            continue
        pieces[-1].append(chart.place(at, point.static))
    return [piece for piece in pieces if len(piece) > 1]


def _below(chart: _Chart) -> Iterator[str]:
    """Stretches where the static pressure is below the atmosphere's, filled and said in words."""
    spots = [(at, point) for at, point, _ in _spots(chart, chart.steps) if point and point.static is not None]
    for (at, first), (next_at, last) in pairwise(spots):
        yield from _vacuum(chart, (at, first), (next_at, last))
    at, least = min(spots, key=lambda spot: spot[1].pressure or 0.0, default=(0.0, None))
    if least is None or (least.pressure or 0.0) > -_VACUUM:
        return
    x, y = chart.place(at, least.static or 0.0)
    anchor = "end" if x > (chart.across.start + chart.across.stop) / 2 else "start"
    said = f"below atmosphere: {_gauge(least, chart.system)}"
    yield canvas.words(x, min(y + 15, chart.up.start - 4), said, size=11, bold=True, anchor=anchor)


def _vacuum(chart: _Chart, first: tuple[float, Point], last: tuple[float, Point]) -> Iterator[str]:
    """What of the stretch between two spots lies below the height of the parts."""
    spare = [(point.static or 0.0) - point.height for _, point in (first, last)]
    if min(spare) >= 0:
        return
    cut = [0.0, 1.0]
    if max(spare) > 0:  # the static head crosses the height between the two
        cut[spare.index(max(spare))] = spare[0] / (spare[0] - spare[1])

    def between(share: float, one: float, other: float) -> float:
        return one + share * (other - one)

    corners = [(cut[0], "height"), (cut[1], "height"), (cut[1], "static"), (cut[0], "static")]
    places = [
        chart.place(
            between(share, first[0], last[0]), between(share, getattr(first[1], field), getattr(last[1], field))
        )
        for share, field in corners
    ]
    yield canvas.area(places, "#f3b6a1")


def _names(chart: _Chart) -> Iterator[str]:
    """The joints and parts along the foot, each joint with its static pressure."""
    for index, step in enumerate(chart.steps):
        x, y = chart.across.at(index + 0.5), chart.up.start
        yield canvas.line([(x, y), (x, y + 5)], colour=FAINT, width=1)
        yield canvas.words(x + 4, y + 16, _name(chart, step), size=11, anchor="end", bold=step.joint, turn=-40)


def _name(chart: _Chart, step: Step) -> str:
    (short,) = wrap(step.name, _LONGEST_NAME, most=1)
    if step.first is None and not step.joint:
        return f"{short} (not there)"
    return f"{short}, {_gauge(step.last, chart.system)}" if step.joint and step.last else short


def _room(chart: _Chart) -> float:
    """How far the names reach down."""
    return 5.0 * max(len(_name(chart, step)) for step in chart.steps)
