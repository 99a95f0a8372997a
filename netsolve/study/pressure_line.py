"""Pressure lines: total head and static pressure along the parts of each way from opening to opening."""

from __future__ import annotations

from collections.abc import Iterator, Sequence
from dataclasses import dataclass

from netsolve.circuit import End, Row, Run
from netsolve.component import Opening
from netsolve.reading.heights import part_levels
from netsolve.result import RowResult, RunResult
from netsolve.water import GRAVITY


@dataclass(frozen=True, slots=True)
class Point:
    """One end of a step: height, total head and static head in m above the waterline, static gauge pressure in Pa.

    Static head and pressure are None where no water stands.
    """

    height: float
    head: float
    static: float | None
    pressure: float | None


@dataclass(frozen=True, slots=True)
class Step:
    """A joint or a part on the way, from where the water comes in to where it leaves; `top` is its highest point, m.

    `first` and `last` are None where the part is not fitted, or its run carries nothing to tell of.
    """

    name: str
    joint: bool
    first: Point | None
    last: Point | None
    top: float


@dataclass(frozen=True, slots=True)
class Way:
    """Runs one behind the other from opening to opening, each with whether it is gone through as written."""

    runs: tuple[tuple[str, bool], ...]


def ways(row: RowResult, state: Row) -> tuple[Way, ...]:
    """As few ways as lead through every run that is open, following most of the water before and behind it."""
    flows = _Flows(row, state)
    chosen: list[Way] = []
    seen: set[str] = set()
    for name in flows.forward:
        if name not in seen:
            way = (*reversed(list(flows.upstream(name))), name, *flows.downstream(name))
            seen.update(way)
            chosen.append(Way(tuple((each, flows.forward[each]) for each in way)))
    return tuple(chosen)


class _Flows:
    """Which way the water goes through each open run, and what lies before and behind it."""

    def __init__(self, row: RowResult, state: Row) -> None:
        self.forward = {name: run.flow >= 0 for name, run in row.runs.items() if run.flow is not None}
        self._amount = {name: abs(row.runs[name].flow or 0.0) for name in self.forward}
        self._state = state

    def upstream(self, name: str) -> Iterator[str]:
        """The runs before this one, the nearest first."""
        return self._onward(name, back=True)

    def downstream(self, name: str) -> Iterator[str]:
        """The runs behind this one, the nearest first."""
        return self._onward(name, back=False)

    def _onward(self, name: str, *, back: bool) -> Iterator[str]:
        passed = {name}
        while True:
            joint = _ends(self._state.runs[name], self.forward[name])[0 if back else 1].joint
            if isinstance(self._state.places[joint].joint, Opening):
                return
            beside = [each for each in self.forward if each not in passed and self._meets(each, joint, back=back)]
            if not beside:
                return
            name = max(beside, key=lambda each: self._amount[each])
            passed.add(name)
            yield name

    def _meets(self, name: str, joint: str, *, back: bool) -> bool:
        return _ends(self._state.runs[name], self.forward[name])[1 if back else 0].joint == joint


def _ends(run: Run, forward: bool) -> tuple[End, End]:
    return (run.source, run.target) if forward else (run.target, run.source)


def along(way: Way, row: RowResult, state: Row, *, shown: frozenset[str]) -> tuple[Step, ...]:
    """The joints and parts of a way in a row, in order; of the parts those in `shown`, fitted in this row or not."""
    steps: list[Step] = []
    before: tuple[str, End] | None = None
    for name, forward in way.runs:
        first, last = _ends(state.runs[name], forward)
        steps.append(_joint(row, first.joint, before, (name, first)))
        steps += _parts(row, state, name, forward, shown)
        before = (name, last)
    return (*steps, _joint(row, before[1].joint, before, None)) if before else ()


def _joint(row: RowResult, joint: str, before: tuple[str, End] | None, behind: tuple[str, End] | None) -> Step:
    """A joint between the run that leads to it and the one that leads on; an opening has but one of them."""
    points = [_at_port(row, joint, *each) for each in (before, behind) if each is not None]
    return Step(joint, True, points[0], points[-1], row.joints[joint].height or 0.0)


def _at_port(row: RowResult, joint: str, run: str, end: End) -> Point | None:
    port = row.joints[joint].ports.get(end.port)
    if port is None or row.runs[run].flow is None:
        return None
    return _point(row, row.joints[joint].height or 0.0, port.total_pressure, port.pressure)


def _point(row: RowResult, height: float, total: float, pressure: float | None) -> Point:
    weight = row.water_density * GRAVITY
    static = None if pressure is None else height + pressure / weight
    return Point(height, height + total / weight, static, pressure)


def _parts(row: RowResult, state: Row, name: str, forward: bool, shown: frozenset[str]) -> list[Step]:
    run = state.runs[name]
    fitted = [part for part in run.parts if state.parts[part].fitted]
    levels = dict(zip(fitted, part_levels(state, run), strict=True))
    steps = {step.name: step for step in _fitted(row, row.runs[name], run, levels)}
    every = [steps.get(part, Step(part, False, None, None, 0.0)) for part in run.parts if part in shown]
    if forward:
        return every
    return [Step(step.name, False, step.last, step.first, step.top) for step in reversed(every)]


def _fitted(
    row: RowResult, result: RunResult, run: Run, levels: dict[str, tuple[float, float, float]]
) -> Iterator[Step]:
    """The fitted parts with the head before and behind each, from that at the start of the run less what each takes."""
    start = row.joints[run.source.joint].ports.get(run.source.port)
    if start is None or result.flow is None:
        return
    weight = row.water_density * GRAVITY
    level = start.total_pressure + weight * (row.joints[run.source.joint].height or 0.0)
    for name, (low, high, top) in levels.items():
        part = row.parts[name]
        after = level - (part.pressure_drop or 0.0)
        inlet = _point(row, low, level - weight * low, part.inlet_pressure)
        yield Step(name, False, inlet, _point(row, high, after - weight * high, part.outlet_pressure), top)
        level = after


def lowest(steps: Sequence[Step]) -> tuple[float, str] | None:
    """The lowest static pressure on a way, Pa, and where; None where no water stands anywhere."""
    points = [(point.pressure, step.name) for step in steps for point in (step.first, step.last) if point]
    known = [(pressure, name) for pressure, name in points if pressure is not None]
    return min(known, default=None)
