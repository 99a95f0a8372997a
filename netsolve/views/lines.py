"""The pressure lines of a row, or of a change over the row as found: one chart for each way through the circuit."""

from __future__ import annotations

from netsolve.circuit import Row
from netsolve.result import Result, RowResult
from netsolve.study.pressure_line import Way, along, ways
from netsolve.views import wording
from netsolve.views.canvas import stacked
from netsolve.views.line_chart import line_chart
from netsolve.views.render import RenderError
from netsolve.views.scene import Scene, as_found


def pressure_lines(result: Result, row: RowResult, *, system: str, name: str = "line") -> list[str]:
    """SVG for each way from opening to opening; none for a row that did not settle."""
    if not row.settled:
        return []
    state, before = _state(result, row), as_found(result, row)
    before = before if before is not None and before.settled else None
    charts = []
    for place, way in enumerate(ways(row, state)):
        shown = frozenset(part for each in filter(None, (row, before)) for part in _fitted(each))
        steps = along(way, row, state, shown=shown)
        was = along(way, before, _state(result, before), shown=shown) if before else ()
        title = f"Pressure line, {_ends(way, steps[0].name, steps[-1].name)}: {wording.situation(row)}"
        charts.append(line_chart(steps, before=was, title=title, system=system, name=f"{name}-{place}"))
    return charts


def line_file(result: Result, scene: Scene) -> bytes:
    """The pressure lines of a scene as an SVG file, one below the other. RenderError where there is no answer."""
    charts = pressure_lines(result, scene.row, system=scene.system)
    if not charts:
        raise RenderError(f"there is no pressure line: {wording.not_settled(scene.row, scene.system)}")
    return f'<?xml version="1.0" encoding="UTF-8"?>\n{stacked(charts)}'.encode()


def _ends(way: Way, first: str, last: str) -> str:
    return f"{first} → {last} through {', '.join(run for run, _ in way.runs)}"


def _fitted(row: RowResult) -> list[str]:
    return [part.name for part in row.parts.values() if part.fitted]


def _state(result: Result, row: RowResult) -> Row:
    """What is fitted, set and open in the row."""
    return next(
        state
        for state, each in zip(result.states, result.rows, strict=True)
        if (each.condition, each.change, each.settings) == (row.condition, row.change, row.settings)
    )
