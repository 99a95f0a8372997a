"""The plan of a flush of one part in a bucket loop: the loop by pump, water and bucket, what to take out first."""

from __future__ import annotations

import math
from collections.abc import Iterator
from dataclasses import dataclass, replace
from typing import Any

from netsolve.circuit import Circuit, Part, Row
from netsolve.component import Component
from netsolve.problems import CircuitError, Problem
from netsolve.study.flush_loop import DONE, HOSE_BORE, HOSE_LENGTH, PUMPS, Loop, fouling, inner_bore, loop_of, worked

VOLUMES = 5.0
"""The bucket holds at least so many times what is in the loop."""
LEAST_BUCKET = 0.010


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
    wide = inner_bore(part.component)
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
        loops=tuple(loop_of(label, pump, part, fouled, hole, wide) for label, pump in PUMPS.items()),
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
