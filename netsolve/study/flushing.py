"""A flush of one part in a bucket loop: what each pump gets through it, and whether that is enough."""

from __future__ import annotations

import math
from collections.abc import Iterator, Mapping
from dataclasses import dataclass, replace
from typing import Any

import numpy as np

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
from netsolve.hydraulics import k_drop
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

_HOSE = Hose(bore=HOSE_BORE, length=HOSE_LENGTH)
_ENDS = 1.5  # velocity heads: into the hose and out of it
_ALIKE = 0.01
_METRE = 1000 * GRAVITY
_GPM = 3.785411784e-3 / 60
_TEMPERATURE = 293.15

MOST_PRESSURE = 2e5
"""Pa: more than that belongs on no cooler's water side without its maker's word; common practice, no source."""

PUMPS: Mapping[str, Component] = {
    "bilge pump 500 gph": CentrifugalPump(shutoff=3.0 * _METRE, open_flow=31e-3 / 60),
    "bilge pump 1100 gph": CentrifugalPump(shutoff=4.0 * _METRE, open_flow=69e-3 / 60),
    "diaphragm pump 3.5 gpm": DiaphragmPump(rated_flow=3.5 * _GPM, cut_out=24.0 * _METRE),
}
"""Pumps at hand. What they do open and shut is an estimate: small pumps are rated 15 to 33 % better than they are."""


@dataclass(frozen=True)
class Way:
    """Flows through the part one way round, m3/s: as it is now, and clean with each of the `HOLES` left open."""

    now: float
    clean: float
    holes: Mapping[float, float]


@dataclass(frozen=True)
class Loop:
    """A pump with the part, there and back; `push` is what it can press on a plug that lets nothing through, Pa."""

    pump: str
    there: Way
    back: Way
    push: float

    @property
    def moves(self) -> bool:
        """Whether it may shift a plug."""
        return self.push >= MOVES

    @property
    def both_alike(self) -> bool:
        """Whether the part lets as much through the other way round."""
        pairs = zip((self.there.now, self.there.clean), (self.back.now, self.back.clean), strict=True)
        return all(abs(first - last) <= _ALIKE * abs(first) for first, last in pairs)

    @property
    def one_way(self) -> bool:
        """Whether the part lets next to nothing through the other way round."""
        return self.back.clean < _ALIKE * self.there.clean

    @property
    def telling(self) -> float:
        """What the smallest hole leaves of the clean flow: the less, the better the pump shows a clog."""
        return min(self.there.holes.values(), default=0.0) / self.there.clean if self.there.clean > 0 else 1.0


@dataclass(frozen=True)
class Flush:
    """The plan for one part: loops, the water in them (m3), the bucket (m3), what is to be taken out first.

    `scale` is the thickness (m) on its walls, a tube of `bore` and `length` (m, all tubes together) where they are
    tubes; None where nothing is known. `material` is empty where the file does not say it.
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

    @property
    def least_bucket(self) -> float:
        """m3: a smaller one runs dry or hot."""
        return least_bucket(self.volume)

    @property
    def testing(self) -> Loop:
        """The loop that shows best whether the flush has worked."""
        return min(self.loops, key=lambda loop: loop.telling)

    def turnover(self, flow: float) -> float:
        """s in which the bucket goes round once; infinite where nothing flows."""
        return self.bucket / flow if flow > 0 else math.inf


def least_bucket(volume: float) -> float:
    """m3, for what a loop holds; whole litres."""
    return max(LEAST_BUCKET, math.ceil(VOLUMES * volume * 1e3) / 1e3)


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

    A hole of 0 lets nothing through. CircuitError where the part has no such scale, has no hole so wide, or is a pump.
    KeyError where there is no such part or change.
    """
    row = next(each for each in circuit.rows if each.change == change)
    part = row.parts[name]
    if "pump" in part.component.roles:
        help = "name the cooler, strainer or hose that is clogged"
        raise CircuitError([Problem("not-flushed", f"'{name}' is a pump, which no loop flushes", help, part.at)])
    fouled = _fouled(part, scale)
    wide = _inner_bore(part.component)
    if hole is not None and hole > wide:
        message = f"a hole of {1e3 * hole:.3g} mm is wider than '{name}', which has {1e3 * wide:.3g} mm"
        raise CircuitError([Problem("out-of-range", message, "give a smaller hole", part.at)])
    volume = _volume(part.component) + 2 * HOSE_LENGTH * math.pi / 4 * HOSE_BORE**2
    now = getattr(fouled.component, "scale", None)
    bore, length = _walls(part.component)
    return Flush(
        part=name,
        kind=part.type,
        material=_material(part.component),
        loops=tuple(_loop(label, pump, part, fouled, hole, wide) for label, pump in PUMPS.items()),
        volume=volume,
        bucket=bucket or least_bucket(volume),
        bore=bore,
        length=length,
        scale=now if isinstance(now, float) and now > 0 else None,
        take_out=tuple(_to_take_out(row, part)),
    )


def _material(component: Component) -> str:
    """What the file says that it is made of; what is only assumed is not known."""
    return str(getattr(component, "material", "")) if "material" in component.model_fields_set else ""


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


def _loop(label: str, pump: Component, part: Part, fouled: Part, hole: float | None, wide: float) -> Loop:
    clean = replace(part, component=_clean(part.component))
    holes = [each for each in HOLES if each < wide]
    states = [(fouled, hole), (clean, None), *((clean, each) for each in holes)]
    ways = []
    for turned in (False, True):
        now, whole, *rest = (_flow(pump, *state, wide, turned=turned) for state in states)
        ways.append(Way(now, whole, dict(zip(holes, rest, strict=True))))
    return Loop(label, ways[0], ways[1], _push(pump))


def _inner_bore(component: Component) -> float:
    field = bore_field(component, outlet=False)
    return HOSE_BORE if field is None else float(getattr(component, field))


def _push(pump: Component) -> float:
    """Pressure at no flow, less the lift."""
    water = fresh_water(_TEMPERATURE)
    return float(-pump.pressure_drop(np.float64(1e-9), water)) - float(water.density) * GRAVITY * LIFT


def _flow(pump: Component, part: Part, hole: float | None, wide: float, *, turned: bool) -> float:
    """The flow through the loop with such a hole left in the part, turned round or not; nan where it is not found."""
    if hole == 0:
        return 0.0
    network = assemble([loop_row(pump, part, hole, wide, turned=turned)])
    solution = solve(network)
    return float(solution.flow[0, network.edge_index["supply"]]) if solution.settled[0] else math.nan


def fouling(loop: Loop, flow: float) -> float:
    """How many times what the part resists, pressure over flow squared, is that of the clean part, at a tested flow.

    What the part takes of the pump's pressure is what lift, hoses and outlet leave. Infinite where nothing flows, nan
    where more flows than the pump gets through the hoses alone.
    """
    if flow <= 0:
        return math.inf
    left, clean = (_left(PUMPS[loop.pump], each) / each**2 for each in (flow, loop.there.clean))
    return left / clean if left >= 0 else math.nan


def _left(pump: Component, flow: float) -> float:
    """The pressure that is left for the part, Pa."""
    water, q = fresh_water(_TEMPERATURE), np.float64(flow)
    hoses = 2 * _HOSE.pressure_drop(q, water) + k_drop(q, HOSE_BORE, _ENDS, water)
    return float(-pump.pressure_drop(q, water) - hoses - water.density * GRAVITY * LIFT)


def loop_row(
    pump: Component, part: Part, hole: float | None, wide: float, *, turned: bool, water: Water | None = None
) -> Row:
    """The loop as a row: bucket, pump, hose, the part (turned round or not) with its plug, hose, back to the bucket."""
    plug = Blockage(hole=min(hole or wide, wide), bore=wide)
    parts = {
        "flushing pump": Part("flushing pump", "pump", "supply", pump),
        "supply hose": Part("supply hose", "hose", "supply", _HOSE),
        "the plug": Part("the plug", "blockage", "supply", plug),
        part.name: replace(part, run="through", fitted=True),
        "back hose": Part("back hose", "hose", "back", _HOSE),
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


def _walls(component: Component) -> tuple[float, float] | tuple[None, None]:
    """Bore and length of the tube that a part is, of its tubes one after the other where it has many; else None."""
    bore, length = (getattr(component, name, None) for name in ("bore", "length"))
    if not isinstance(bore, float) or not isinstance(length, float):
        return None, None
    return bore, length * float(getattr(component, "tubes", 1.0))


def _volume(component: Component) -> float:
    """What a part holds, m3, by its tubes; nothing where these are not known."""
    bore, length = _walls(component)
    return 0.0 if bore is None or length is None else math.pi / 4 * bore**2 * length


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
        "material": plan.material or None,
        "volume_m3": plan.volume,
        "bucket_m3": plan.bucket,
        "least_bucket_m3": plan.least_bucket,
        "loops": [_loop_to_dict(plan, each) for each in plan.loops],
        "take_out": list(plan.take_out),
        "test_with": plan.testing.pump,
    }


def _loop_to_dict(plan: Flush, loop: Loop) -> dict[str, Any]:
    values = {
        "now_m3_s": loop.there.now,
        "backwards_m3_s": loop.back.now,
        "clean_m3_s": loop.there.clean,
        "push_pa": loop.push,
        "turnover_s": plan.turnover(loop.there.now),
        "worked_from_m3_s": DONE * loop.there.clean,
    }
    return {
        "pump": loop.pump,
        **{name: finite(value) for name, value in values.items()},
        "holes_m3_s": {f"{hole:g}": finite(flow) for hole, flow in loop.there.holes.items()},
        "holes_backwards_m3_s": {f"{hole:g}": finite(flow) for hole, flow in loop.back.holes.items()},
        "moves_a_plug": loop.moves,
    }


def finite(value: float) -> float | None:
    """The number, None where it is none."""
    return value if math.isfinite(value) else None


def tested_to_dict(loop: Loop, before: float, after: float) -> dict[str, Any]:
    """What the bucket tests before and after say, as plain data."""
    return {
        "pump": loop.pump,
        "fouling_before": finite(fouling(loop, before)),
        "fouling_after": finite(fouling(loop, after)),
        "worked": worked(loop, after),
    }


def worked(loop: Loop, after: float) -> bool:
    """Whether the flush has worked, by a bucket test after it (m3/s); not where no loop gives as much."""
    return after >= DONE * loop.there.clean and not math.isnan(fouling(loop, after))
