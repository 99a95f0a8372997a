"""Where runs end: what the ends cost, the seats of those in air, and the levels that openings hold."""

from __future__ import annotations

from collections.abc import Iterator, Sequence
from typing import Any

import numpy as np

from netsolve.arrays.stack import Slot
from netsolve.circuit import End, Row, Run, bore_field
from netsolve.component import LEAK, Component, Joint, Opening
from netsolve.contract.declare import quantity, values_of
from netsolve.laws.quadratic import Quadratic
from netsolve.water import GRAVITY, Array, Water

SEAT = 1e3
"""Pa s/m3: the resistance of an open end to air for water that leaves; inwards it is a shut seat."""


_ANY_WATER = Water(density=1000.0, viscosity=1e-3, heat_capacity=4000.0, conductivity=0.6, vapour_pressure=2e3)


class _Mouth(Component):
    """The end of a run in air or gas: water leaves freely, and nothing comes back but a seat leak."""

    seat: float = quantity("number", "resistance to water that leaves, Pa s/m3", default=SEAT)

    def pressure_drop(self, flow: Array, water: Water) -> Array:
        """The resistance of the seat for either direction."""
        return flow * self.slope(flow, water)

    def slope(self, flow: Array, water: Water) -> Array:
        """Small for water that leaves, a leak for what would come in."""
        return np.where(flow > 0, self.seat, LEAK)

    def quadratic(self, water: Water) -> Quadratic:
        """Straight on either side."""
        return Quadratic(linear=self.seat, linear_back=LEAK)


def end_slots(rows: Sequence[Row]) -> Iterator[Slot]:
    """What the ends of runs cost, where they cost anything."""
    free: dict[tuple[Any, ...], bool] = {}
    for edge, run, sign, end in _run_ends(rows[0]):
        joints = {id(row.places[end.joint].joint): row.places[end.joint].joint for row in rows}
        if all(_costs_nothing(joint, free) for joint in joints.values()):
            continue
        bored: dict[tuple[int, float | None], Joint] = {}
        laws = []
        for row in rows:
            joint, bore = row.places[end.joint].joint, _end_bore(row, run.name, sign)
            laws.append(bored.setdefault((id(joint), bore), _with_bore(joint, bore)))
        yield Slot(_end_name(run, sign), (edge,), laws, [1.0] * len(rows), sign)


def _costs_nothing(joint: Joint, known: dict[tuple[Any, ...], bool]) -> bool:
    """Whether no flow ever loses pressure at this joint, whatever its height and the bore of the run's end.

    `known` keeps what was found of joints like it.
    """
    like = (type(joint), *(value for name, value in values_of(joint).items() if name != joint.datum))
    if like not in known:
        law = _with_bore(joint, 1.0).end_quadratic(_ANY_WATER)
        known[like] = law is not None and law == Quadratic()
    return known[like]


def mouth_slots(rows: Sequence[Row]) -> Iterator[Slot]:
    """The seats of the ends in air or gas."""
    mouth = _Mouth()
    for edge, run, sign, end in _run_ends(rows[0]):
        joints = (row.places[end.joint].joint for row in rows)
        one_way = [float(isinstance(joint, Opening) and bool(joint.one_way())) for joint in joints]
        if any(one_way):
            yield Slot(f"{run.name}.mouth", (edge,), [mouth] * len(rows), one_way, -sign)


def _run_ends(row: Row) -> Iterator[tuple[int, Run, float, End]]:
    """Each end of a run at a joint without paths: edge, run, +1 at the source and -1 at the target, and the end."""
    for edge, run in enumerate(row.runs.values()):
        for end, sign in ((run.source, 1.0), (run.target, -1.0)):
            if not row.places[end.joint].joint.paths:
                yield edge, run, sign, end


def borrowed_bores(row: Row) -> dict[str, tuple[str, str]]:
    """Part and field whose bore stands for that of the joint at an end without one, by the name of the end's slot."""
    borrowed = {}
    for _, run, sign, end in _run_ends(row):
        joint = row.places[end.joint].joint
        source = _bore_source(row, run.name, sign)
        if "bore" in type(joint).model_fields and getattr(joint, "bore", None) is None and source is not None:
            borrowed[_end_name(run, sign)] = source
    return borrowed


def _bore_source(row: Row, run: str, sign: float) -> tuple[str, str] | None:
    """The first part from the end of a run that has a bore there, and the field that holds it."""
    for name in row.runs[run].parts[:: 1 if sign > 0 else -1]:
        field = bore_field(row.parts[name].component, outlet=sign < 0)
        if field is not None:
            return name, field
    return None


def _end_bore(row: Row, run: str, sign: float) -> float | None:
    source = _bore_source(row, run, sign)
    return None if source is None else float(getattr(row.parts[source[0]].component, source[1]))


def _end_name(run: Run, sign: float) -> str:
    return f"{run.name}.{'from' if sign > 0 else 'to'}"


def bore_at(row: Row, name: str, *, outlet: bool) -> float | None:
    """The bore at the inlet or outlet of a part, or None where it has none."""
    component = row.parts[name].component
    field = bore_field(component, outlet=outlet)
    return None if field is None else float(getattr(component, field))


def _with_bore(joint: Joint, bore: float | None) -> Joint:
    """The joint with the bore of the run's end, where it has none of its own."""
    if bore is None or joint.__dict__.get("bore", bore) is not None:
        return joint
    return joint.model_copy(update={"bore": bore})


def opening_level(joint: Joint, water: Water) -> float:
    """Total pressure at an opening without flow, carried to the waterline, Pa."""
    height = getattr(joint, joint.datum)
    return still_pressure(joint, water) + float(water.density) * GRAVITY * float(height)


def joints_of_ends(row: Row) -> dict[str, str]:
    """The joint at each end of a run, by the name of the end's slot."""
    return {_end_name(run, sign): end.joint for _, run, sign, end in _run_ends(row)}


def still_pressure(joint: Joint, water: Water) -> float:
    """The gauge pressure of an opening at its own height while nothing flows."""
    bored = _with_bore(joint, 1.0)
    return float(bored.pressure(np.float64(0.0), water)) if isinstance(bored, Opening) else 0.0
