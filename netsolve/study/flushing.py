"""A flush of one part in a bucket loop: what each pump gets through it, and whether that is enough."""

from __future__ import annotations

import math
from collections.abc import Iterator, Mapping, Sequence
from dataclasses import dataclass, replace
from typing import Any

import numpy as np

from netsolve.arrays.stack import Floats
from netsolve.assemble import assemble
from netsolve.circuit import Circuit, End, Part, Place, Row, Run, bore_field
from netsolve.component import Component
from netsolve.components.blockage import Blockage
from netsolve.components.centrifugal_pump import CentrifugalPump
from netsolve.components.diaphragm_pump import DiaphragmPump
from netsolve.components.discharge import Discharge
from netsolve.components.hose import Hose
from netsolve.components.manifold import Manifold
from netsolve.components.tank import Tank
from netsolve.contract.declare import Quantity, declared
from netsolve.problems import CircuitError, Problem
from netsolve.solver import solve
from netsolve.water import GRAVITY, Water, fresh_water

HOSE_BORE, HOSE_LENGTH, LIFT = 0.0159, 3.0, 0.3
"""m: two lengths of such hose, and how high the return end hangs over the bucket's water; common practice."""

HOLES = (0.008, 0.005, 0.003, 0.002)
"""m: what may be left open in the clog."""

DONE = 0.8
"""Of the clean part's flow: from here on the flush has worked; common practice, no source."""

MOVES = 50e3
"""Pa: a pump that cannot push harder than this on a plug will not shift it; common practice, no source."""

VOLUMES = 5.0
"""The bucket holds at least so many times what is in the loop."""
LEAST_BUCKET = 0.010

_METRE = 1000 * GRAVITY
_GPM = 3.785411784e-3 / 60
_TEMPERATURE = 293.15

PUMPS: Mapping[str, Component] = {
    "bilge pump, 500 gph class": CentrifugalPump(shutoff=3.0 * _METRE, open_flow=31e-3 / 60),
    "bilge pump, 1100 gph class": CentrifugalPump(shutoff=4.0 * _METRE, open_flow=69e-3 / 60),
    "diaphragm pump, 3.5 gpm": DiaphragmPump(rated_flow=3.5 * _GPM, cut_out=24.0 * _METRE),
}
"""Pumps at hand. What they do open and shut is an estimate: small pumps are rated 15 to 33 % better than they are."""


@dataclass(frozen=True)
class Loop:
    """A pump with the part: flows (m3/s) as it is now, clean, and with each of the `HOLES` left; there and back.

    `push` is what the pump can press on a plug that lets nothing through, Pa.
    """

    pump: str
    now: float
    backwards: float
    clean: float
    holes: Mapping[float, float]
    push: float

    @property
    def moves(self) -> bool:
        """Whether it may shift a plug."""
        return self.push >= MOVES


@dataclass(frozen=True)
class Flush:
    """The plan for one part: loops, the water in them (m3), the bucket (m3), what is to be taken out first.

    `scale` is the thickness (m) on the walls and `area` these (m2), None where the part has none of which it is known.
    """

    part: str
    kind: str
    material: str
    loops: tuple[Loop, ...]
    volume: float
    bucket: float
    bore: float | None
    length: float | None
    scale: float | None
    take_out: tuple[str, ...]

    def turnover(self, flow: float) -> float:
        """s in which the bucket goes round once; infinite where nothing flows."""
        return self.bucket / flow if flow > 0 else math.inf


def flush(
    circuit: Circuit,
    name: str,
    *,
    change: str = "as found",
    hole: float | None = None,
    scale: float | None = None,
    bucket: float | None = None,
) -> Flush:
    """The plan for a part as it stands under a change, or fouled by a plug with this hole or by so much scale (m).

    CircuitError where the part has no such scale, or is a pump. KeyError where there is no such part or change.
    """
    row = next(each for each in circuit.rows if each.change == change)
    part = row.parts[name]
    if "pump" in part.component.roles:
        help = "name the cooler, strainer or hose that is clogged"
        raise CircuitError([Problem("not-flushed", f"'{name}' is a pump, which no loop flushes", help, part.at)])
    fouled = _fouled(part, scale)
    volume = _volume(part.component) + 2 * HOSE_LENGTH * math.pi / 4 * HOSE_BORE**2
    loops = tuple(_loop(label, pump, part, fouled, hole) for label, pump in PUMPS.items())
    now = getattr(fouled.component, "scale", None)
    return Flush(
        part=name,
        kind=part.type,
        material=getattr(part.component, "material", ""),
        loops=loops,
        volume=volume,
        bucket=bucket or max(LEAST_BUCKET, VOLUMES * volume),
        bore=getattr(part.component, "bore", None),
        length=getattr(part.component, "length", None),
        scale=now if isinstance(now, float) and now > 0 else None,
        take_out=tuple(_to_take_out(row, part)),
    )


def _fouled(part: Part, scale: float | None) -> Part:
    if scale is None:
        return part
    if not isinstance(getattr(part.component, "scale", None), float):
        help = "give --hole, or foul the part in the file"
        raise CircuitError([Problem("no-scale", f"'{part.name}' has no scale on its walls", help, part.at)])
    component = part.component.model_copy(update={"scale": scale})
    if complaints := list(component.check()):
        raise CircuitError([Problem("out-of-range", complaints[0], "give less scale", part.at)])
    return replace(part, component=component)


def _clean(component: Component) -> Component:
    """The part without what fouls it: everything that has a worst value is at its default."""
    fields = type(component).model_fields
    fresh = {
        field: fields[field].default
        for field, spec in declared(type(component)).items()
        if isinstance(spec, Quantity) and spec.worst is not None and isinstance(fields[field].default, float)
    }
    return component.model_copy(update=fresh)


def _loop(label: str, pump: Component, part: Part, fouled: Part, hole: float | None) -> Loop:
    clean = replace(part, component=_clean(part.component))
    wide = _inner_bore(part.component)
    holes = [each for each in HOLES if each < wide]
    states = [
        (fouled, hole, False),
        (fouled, hole, True),
        (clean, None, False),
        *((clean, each, False) for each in holes),
    ]
    flows = _flows(pump, states, wide)
    return Loop(label, flows[0], flows[1], flows[2], dict(zip(holes, flows[3:], strict=True)), _push(pump))


def _inner_bore(component: Component) -> float:
    field = bore_field(component, outlet=False)
    return HOSE_BORE if field is None else float(getattr(component, field))


def _push(pump: Component) -> float:
    """Pressure at no flow, less the lift."""
    water = fresh_water(_TEMPERATURE)
    return float(-pump.pressure_drop(np.float64(1e-9), water)) - float(water.density) * GRAVITY * LIFT


def _flows(pump: Component, states: Sequence[tuple[Part, float | None, bool]], wide: float) -> list[float]:
    """The flow through the loop in each state: part, hole left in it, and whether it is turned round."""
    return [float(_solved(loop_row(pump, part, hole, wide, turned=turned))) for part, hole, turned in states]


def _solved(row: Row) -> Floats:
    network = assemble([row])
    solution = solve(network)
    if not solution.settled[0]:
        return np.float64(np.nan)  # type: ignore[return-value]
    return solution.flow[0, network.edge_index["supply"]]  # type: ignore[no-any-return]


def loop_row(
    pump: Component, part: Part, hole: float | None, wide: float, *, turned: bool, water: Water | None = None
) -> Row:
    """The loop as a row: bucket, pump, hose, the part (turned round or not) with its plug, hose, back to the bucket."""
    hose = Hose(bore=HOSE_BORE, length=HOSE_LENGTH)
    plug = Blockage(hole=min(hole or wide, wide), bore=wide)
    parts = {
        "flushing pump": Part("flushing pump", "pump", "supply", pump),
        "supply hose": Part("supply hose", "hose", "supply", hose),
        "the plug": Part("the plug", "blockage", "supply", plug),
        part.name: replace(part, run="through", fitted=True),
        "back hose": Part("back hose", "hose", "back", hose),
    }
    places = {
        "bucket": Place("bucket", "tank", Tank(level=0.0)),
        "first end": Place("first end", "manifold", Manifold(), 0.0),
        "second end": Place("second end", "manifold", Manifold(), 0.0),
        "over the bucket": Place("over the bucket", "discharge", Discharge(height=LIFT, bore=HOSE_BORE), LIFT),
    }
    ends = ("second end", "first end") if turned else ("first end", "second end")
    runs = {
        "supply": Run(
            "supply", End("bucket", "supply"), End("first end", "supply"), ("flushing pump", "supply hose", "the plug")
        ),
        "through": Run("through", End(ends[0], "through"), End(ends[1], "through"), (part.name,)),
        "back": Run("back", End("second end", "back"), End("over the bucket", "end"), ("back hose",)),
    }
    return Row("flush", "as found", parts, places, runs, {}, water or fresh_water(_TEMPERATURE))


def _volume(component: Component) -> float:
    """What a part holds, m3, by its bore and length where it has both (and so many tubes); else nothing."""
    bore, length = (getattr(component, name, None) for name in ("bore", "length"))
    if not isinstance(bore, float) or not isinstance(length, float):
        return 0.0
    tubes = getattr(component, "tubes", 1.0)
    return float(tubes * math.pi / 4 * bore**2 * length)


def _to_take_out(row: Row, part: Part) -> Iterator[str]:
    """Parts of its run that acid or dirt should not go through."""
    for name in row.runs[part.run].parts:
        roles = row.parts[name].component.roles
        if (
            name != part.name
            and row.parts[name].fitted
            and ({"strainer", "one_way", "pump"} & set(roles) or row.parts[name].type in ("flow_switch", "sight_glass"))
        ):
            yield name


def flush_to_dict(plan: Flush) -> dict[str, Any]:
    """A plan as plain data in SI; never NaN."""
    return {
        "format": 1,
        "part": plan.part,
        "type": plan.kind,
        "volume_m3": plan.volume,
        "bucket_m3": plan.bucket,
        "loops": [_loop_to_dict(plan, each) for each in plan.loops],
        "take_out": list(plan.take_out),
    }


def _loop_to_dict(plan: Flush, loop: Loop) -> dict[str, Any]:
    values = {"now_m3_s": loop.now, "backwards_m3_s": loop.backwards, "clean_m3_s": loop.clean, "push_pa": loop.push}
    plain = {name: value if math.isfinite(value) else None for name, value in values.items()}
    turnover = plan.turnover(loop.now)
    return {
        "pump": loop.pump,
        **plain,
        "holes_m3_s": {f"{hole:g}": flow for hole, flow in loop.holes.items()},
        "moves_a_plug": loop.moves,
        "turnover_s": turnover if math.isfinite(turnover) else None,
        "worked_from_m3_s": DONE * loop.clean,
    }
