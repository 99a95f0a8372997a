"""What a rule sees of a circuit's parts, runs and joints in a solved row."""

from __future__ import annotations

import math
from collections.abc import Callable, Mapping
from dataclasses import dataclass, field
from typing import TYPE_CHECKING, Any, NamedTuple

from netsolve.contract.declare import declared
from netsolve.water import GRAVITY, Water

if TYPE_CHECKING:
    from netsolve.component import Component, Joint
    from netsolve.contract.cooling import Cooling
    from netsolve.problems import Span


@dataclass(frozen=True)
class Spot:
    """A place in a run: static pressure (Pa gauge; None where no water stands), height (m), bore (m or None)."""

    pressure: float | None
    height: float
    bore: float | None


@dataclass(frozen=True)
class SeenPart:
    """A fitted part as a rule sees it; flow in m3/s, velocity in m/s, `roles` as its component declares them.

    `drop` is the total pressure lost from `in` to `out`, Pa (below zero for a pump that works); `top` the height of
    its highest place, m. `least_speed` (m/s) is the velocity below which the part does not work as its law says, None
    where there is none. Temperatures (K) are in the order of the flow; they and `duty` (W, into the water) are None
    where nothing says them. `cooling` is what it does with heat, `cools` the oil that it cools.
    """

    name: str
    type: str
    run: str
    roles: tuple[str, ...]
    flow: float
    velocity: float | None
    inlet: Spot
    outlet: Spot
    at: Span | None
    drop: float
    top: float
    status: str | None
    verdict: str | None
    min_flow: float | None
    max_flow: float | None
    count: int
    inlet_temperature: float | None
    outlet_temperature: float | None
    duty: float | None
    cools: str | None
    cooling: Cooling | None = field(repr=False)
    component: Component = field(repr=False)
    water: Water = field(repr=False)

    def value(self, parameter: str) -> Any:
        """A declared parameter of the part in SI; None where it is not given, or not one of this kind's."""
        return _value(self.component, parameter)

    @property
    def closed(self) -> bool:
        """Whether it is shut by its own settings."""
        return bool(self.component.closed())

    @property
    def least_speed(self) -> float | None:
        """The velocity below which it does not work as its law says, m/s."""
        least = self.component.least_speed(self.water)
        return None if least is None else float(least)

    @property
    def top_pressure(self) -> float | None:
        """Static gauge pressure at its highest place, Pa; None where no water stands."""
        if self.outlet.pressure is None:
            return None
        return self.outlet.pressure + float(self.water.density) * GRAVITY * (self.outlet.height - self.top)

    @property
    def lowest_pressure(self) -> float | None:
        """The lowest static gauge pressure at its inlet, outlet and top, Pa; None where no water stands."""
        known = (self.inlet.pressure, self.outlet.pressure, self.top_pressure)
        return min((each for each in known if each is not None), default=None)

    @property
    def tube_speed(self) -> float | None:
        """The speed in a cooler's tubes, m/s: of the open tubes of its first pass where it has several; else None."""
        if self.value("material") is None or "cooler" not in self.roles:
            return None
        if self.value("tubes") is None:
            return None if self.velocity is None else abs(self.velocity)
        opened = max(float(self.value("tubes") / self.value("passes") - self.value("plugged")), 1.0)
        return abs(self.flow) / opened / (math.pi / 4 * float(self.value("bore")) ** 2)

    def drop_with(self, **settings: float) -> float:
        """What it would take at the same flow with other settings (SI), Pa."""
        other = self.component.model_copy(update=settings)
        return self.count * float(other.pressure_drop(self.flow, self.water))

    def drop_at(self, flow: float) -> float:
        """What it takes at another flow (m3/s), Pa."""
        return self.count * float(self.component.pressure_drop(flow, self.water))


class SeenPort(NamedTuple):
    """One port of a joint: flow (m3/s, positive out of the joint into the run), static and total pressure (Pa)."""

    flow: float
    pressure: float | None
    total_pressure: float


@dataclass(frozen=True)
class SeenJoint:
    """A joint as a rule sees it; an opening has a `still_pressure`, that which stands there while nothing flows.

    `in_air` is an opening from which water can only leave; `vented` a high point where air breaks a siphon.
    `mixed_temperature` (K) is that of exhaust gas and water together, None where the gas is not known or no water
    comes.
    """

    name: str
    type: str
    roles: tuple[str, ...]
    height: float
    opening: bool
    in_air: bool
    vented: bool
    ports: Mapping[str, SeenPort]
    at: Span | None
    mixed_temperature: float | None
    joint: Joint = field(repr=False)
    water: Water = field(repr=False)
    still: Callable[[], float] = field(repr=False)

    def value(self, parameter: str) -> Any:
        """A declared parameter of the joint in SI; None where it is not given, or not one of this kind's."""
        return _value(self.joint, parameter)

    @property
    def free(self) -> bool:
        """Whether any number of runs may end here, at one pressure."""
        return not self.joint.ports

    @property
    def outflow(self) -> float:
        """What leaves the circuit here, m3/s; below zero where water comes in."""
        return -sum(port.flow for port in self.ports.values())

    @property
    def still_pressure(self) -> float:
        """The gauge pressure of an opening at its own height while nothing flows, Pa."""
        return self.still()


@dataclass(frozen=True)
class SeenOil:
    """A charge of oil as a rule sees it, K and s; `plateau` is None where nothing takes its heat away.

    `time_to_alarm` is None where there is no alarm, or it is never reached; `peak` where it has no bursts.
    """

    name: str
    plateau: float | None
    time_to_alarm: float | None
    alarm: float | None
    limit: float | None
    at: Span | None
    peak: float | None = None


class End(NamedTuple):
    """An end of a run: the joint and its port (of a joint that takes any number of runs, the run's own name)."""

    joint: str
    port: str


@dataclass(frozen=True)
class SeenRun:
    """A run as a rule sees it: its fitted parts in order, from one joint to the other.

    `source` and `target` are as people say them, `start` and `stop` the joints and ports; `drive` is the pressure
    that all in it takes together, Pa.
    """

    name: str
    source: str
    target: str
    flow: float
    parts: tuple[SeenPart, ...]
    start: End
    stop: End
    verdict: str | None
    drive: float
    at: Span | None

    @property
    def entry(self) -> End:
        """The end at which the water comes in; the written one where nothing flows."""
        return self.stop if self.flow < 0 else self.start

    @property
    def exit(self) -> End:
        """The end at which the water leaves; the written one where nothing flows."""
        return self.start if self.flow < 0 else self.stop

    @property
    def along(self) -> tuple[SeenPart, ...]:
        """Its parts in the order in which the water meets them."""
        return self.parts[::-1] if self.flow < 0 else self.parts


def _value(record: Component | Joint, parameter: str) -> Any:
    return getattr(record, parameter) if parameter in declared(type(record)) else None
