"""Shows a solved row to the rules: what its result, its state and its heights say together, as one record."""

from __future__ import annotations

from functools import partial

from netsolve.arrays.openings import bore_at, still_pressure
from netsolve.circuit import Row
from netsolve.component import Crest, Opening
from netsolve.contract.seen import End, SeenJoint, SeenOil, SeenPart, SeenPort, SeenRun, Spot
from netsolve.contract.seen_row import SeenRow
from netsolve.heat.heat import OilResult
from netsolve.reading.heights import Level, part_levels
from netsolve.result import JointResult, PartResult, RowResult, RunResult


def seen(row: RowResult, state: Row, system: str) -> SeenRow:
    """A settled row with its verdicts, as rules see it."""
    runs = tuple(_run(run, row, state) for run in row.runs.values() if run.flow is not None)
    blanked = tuple(_blanked(run, state) for run in row.runs.values() if run.flow is None)
    shares = [each.speed / each.rated_speed for each in state.engines.values() if each.rated_speed]
    return SeenRow(
        condition=row.condition,
        change=row.change,
        system=system,
        runs=runs,
        blanked=blanked,
        joints=tuple(_joint(joint, state) for joint in row.joints.values()),
        density=float(state.water.density),
        vapour_pressure=float(state.water.vapour_pressure),
        load=max(shares, default=None),
        oils=tuple(_oil(oil, state) for oil in row.oils.values()),
        scales=bool(getattr(state.liquid, "scales", True)),
    )


def _run(run: RunResult, row: RowResult, state: Row) -> SeenRun:
    levels = part_levels(state, state.runs[run.name])
    fitted = [row.parts[name] for name in run.parts if row.parts[name].fitted]
    parts = tuple(_part(part, state, level) for part, level in zip(fitted, levels, strict=True))
    return _with_ends(run, state, run.flow or 0.0, parts)


def _blanked(run: RunResult, state: Row) -> SeenRun:
    """A run that carries nothing: the parts that stand in it, with no pressures."""
    levels = part_levels(state, state.runs[run.name])
    fitted = [name for name in run.parts if state.parts[name].fitted]
    bare = [PartResult(name, state.parts[name].type, run.name, True) for name in fitted]
    parts = tuple(_part(part, state, level) for part, level in zip(bare, levels, strict=True))
    return _with_ends(run, state, 0.0, parts)


def _with_ends(run: RunResult, state: Row, flow: float, parts: tuple[SeenPart, ...]) -> SeenRun:
    written = state.runs[run.name]
    start, stop = (End(end.joint, end.port) for end in (written.source, written.target))
    return SeenRun(
        run.name, run.source, run.target, flow, parts, start, stop, run.verdict, run.drive or 0.0, written.at
    )


def _part(part: PartResult, state: Row, level: Level) -> SeenPart:
    written = state.parts[part.name]
    low, high, top = level
    return SeenPart(
        name=part.name,
        type=part.type,
        run=part.run,
        roles=written.component.roles,
        flow=part.flow or 0.0,
        velocity=part.velocity,
        inlet=Spot(part.inlet_pressure, low, bore_at(state, part.name, outlet=False)),
        outlet=Spot(part.outlet_pressure, high, bore_at(state, part.name, outlet=True)),
        at=written.at,
        drop=part.pressure_drop or 0.0,
        top=top,
        status=part.status,
        verdict=part.verdict,
        min_flow=part.min_flow,
        max_flow=part.max_flow,
        count=written.count,
        inlet_temperature=part.inlet_temperature,
        outlet_temperature=part.outlet_temperature,
        duty=part.duty,
        cools=written.cools,
        cooling=written.cooling,
        component=written.component,
        water=state.water,
    )


def _joint(joint: JointResult, state: Row) -> SeenJoint:
    place = state.places[joint.name]
    opening = isinstance(place.joint, Opening)
    return SeenJoint(
        name=joint.name,
        type=joint.type,
        roles=place.joint.roles,
        height=joint.height or 0.0,
        opening=opening,
        in_air=isinstance(place.joint, Opening) and bool(place.joint.one_way()),
        vented=isinstance(place.joint, Crest) and bool(place.joint.breaks()),
        ports={name: SeenPort(port.flow, port.pressure, port.total_pressure) for name, port in joint.ports.items()},
        at=place.at,
        mixed_temperature=joint.mixed_temperature,
        joint=place.joint,
        water=state.water,
        still=partial(still_pressure, place.joint, state.water),
    )


def _oil(oil: OilResult, state: Row) -> SeenOil:
    at = state.oils[oil.name].at
    return SeenOil(oil.name, oil.plateau, oil.time_to_alarm, oil.alarm, oil.limit, at, oil.peak)
