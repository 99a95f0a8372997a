"""Where runs end: what the ends cost, the seats of those in air, and the levels that openings hold."""

from __future__ import annotations

from collections.abc import Iterator

import numpy as np

from netsolve.circuit import End, Row, Run, bore_field
from netsolve.component import LEAK, Component, Joint, Opening
from netsolve.contract.declare import quantity
from netsolve.laws.quadratic import Quadratic
from netsolve.water import GRAVITY, Array, Water

SEAT = 1e3
"""Pa s/m3: the resistance of an open end to air for water that leaves; inwards it is a shut seat."""


_ANY_WATER = Water(density=1000.0, viscosity=1e-3, heat_capacity=4000.0, conductivity=0.6, vapour_pressure=2e3)


class Mouth(Component):
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


def costs_nothing(joint: Joint) -> bool:
    """Whether no flow ever loses pressure at the end of a run there, whatever the run's bore; a stack's, at any."""
    law = _with_bore(joint, 1.0).end_quadratic(_ANY_WATER)
    return law is not None and not any(map(np.any, (law.constant, *law.sides())))


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
            borrowed[end_name(run.name, sign)] = source
    return borrowed


def _bore_source(row: Row, run: str, sign: float) -> tuple[str, str] | None:
    """The first part from the end of a run that has a bore there, and the field that holds it."""
    for name in row.runs[run].parts[:: 1 if sign > 0 else -1]:
        field = bore_field(row.parts[name].component, outlet=sign < 0)
        if field is not None:
            return name, field
    return None


def end_name(run: str, sign: float) -> str:
    """The name of the slot at the source (1) or the target (-1) of a run."""
    return f"{run}.{'from' if sign > 0 else 'to'}"


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


def opening_level(joint: Joint, water: Water) -> Array:
    """Total pressure at an opening without flow, carried to the waterline, Pa; a stack's in all rows."""
    height: Array = getattr(joint, joint.datum)
    return _still(joint, water) + water.density * GRAVITY * height


def joints_of_ends(row: Row) -> dict[str, str]:
    """The joint at each end of a run, by the name of the end's slot."""
    return {end_name(run.name, sign): end.joint for _, run, sign, end in _run_ends(row)}


def still_pressure(joint: Joint, water: Water) -> float:
    """The gauge pressure of an opening at its own height while nothing flows."""
    return float(_still(joint, water))


def _still(joint: Joint, water: Water) -> Array:
    bored = _with_bore(joint, 1.0)
    return bored.pressure(np.float64(0.0), water) if isinstance(bored, Opening) else np.float64(0.0)
