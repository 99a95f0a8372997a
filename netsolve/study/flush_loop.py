"""The loop of a flush: bucket, pump, hoses and the part, and what a pump gets through it."""

from __future__ import annotations

import math
from collections.abc import Mapping
from dataclasses import dataclass, replace

import numpy as np

from netsolve.assemble import assemble
from netsolve.circuit import End, Part, Place, Row, Run, bore_field
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
from netsolve.solver import solve
from netsolve.water import GRAVITY, fresh_water

HOSE_BORE, HOSE_LENGTH, LIFT = 0.0159, 3.0, 0.3
"""m: two lengths of such hose, and how high the return end hangs over the bucket's water; common practice."""

HOLES = (0.008, 0.005, 0.003, 0.002)
"""m: what may be left open in the clog."""

DONE = 0.8
"""Of the clean part's flow: from here on the flush has worked; common practice, no source."""

MOVES = 50e3
"""Pa: a pump that cannot push harder than this on a plug will not shift it; common practice, no source."""

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


def loop_of(label: str, pump: Component, part: Part, fouled: Part, hole: float | None, wide: float) -> Loop:
    """The pump with a part as it is fouled, with a plug of this hole, and with the part clean; `wide` is its bore."""
    clean = replace(part, component=_clean(part.component))
    holes = [each for each in HOLES if each < wide]
    states = [(fouled, hole), (clean, None), *((clean, each) for each in holes)]
    ways = []
    for turned in (False, True):
        now, whole, *rest = (_flow(pump, *state, wide, turned=turned) for state in states)
        ways.append(Way(now, whole, dict(zip(holes, rest, strict=True))))
    return Loop(label, ways[0], ways[1], _push(pump))


def _clean(component: Component) -> Component:
    """The part without what fouls it: everything that has a worst value is at its default."""
    fields = type(component).model_fields
    fresh = {
        field: fields[field].default
        for field, spec in declared(type(component)).items()
        if isinstance(spec, Quantity) and spec.worst is not None and isinstance(fields[field].default, float)
    }
    return component.model_copy(update=fresh)


def inner_bore(component: Component) -> float:
    """The bore at a part's inlet, m; that of the hoses where it has none."""
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
    network = assemble([_loop_row(pump, part, hole, wide, turned=turned)])
    solution = solve(network)
    return float(solution.flow[0, network.edge_index["supply"]]) if solution.settled[0] else math.nan


def _loop_row(pump: Component, part: Part, hole: float | None, wide: float, *, turned: bool) -> Row:
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
    return Row("flush", "as found", parts, places, runs, {}, fresh_water(_TEMPERATURE))


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


def worked(loop: Loop, after: float) -> bool:
    """Whether the flush has worked, by a bucket test after it (m3/s); not where no loop gives as much."""
    return after >= DONE * loop.there.clean and not math.isnan(fouling(loop, after))
