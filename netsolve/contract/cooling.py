"""What a file says of heat: charges of oil that are warmed, and how coolers take that heat into the water."""

from __future__ import annotations

import math
from collections.abc import Iterable, Mapping
from functools import cached_property
from typing import ClassVar

from netsolve.contract.declare import Declared, quantity, table, word
from netsolve.laws.curve import Curve
from netsolve.laws.thermal import ARRANGEMENTS, conductance, fouled, hydraulic_heat, on_both_sides, ua_of
from netsolve.water import Array

GRADES: Mapping[str, float] = {"VG 32": 870.0, "VG 46": 875.0, "VG 68": 880.0, "VG 100": 884.0}
"""kg/m3 at 15 degC of mineral oil by its ISO grade; usual values, from memory."""

STEEL = 480.0
"""J/(kg K), of mild steel; handbooks have 434 to 490 (from memory)."""

_WORKING = 50.0
"""degC at which the oil's properties are taken."""

_USUAL_OIL = "mineral oil VG 46 at 50 degC: Cragoe (1929), from memory"


class Oil(Declared):
    """A charge of oil or coolant, taken as one well-mixed temperature, with the metal that warms with it."""

    unsure: ClassVar[bool] = True

    volume: float = quantity("volume", "how much of it there is, in tank and lines", shown="L", above=0, spread=0.15)
    grade: str | None = word("grade of the oil, for its density and heat capacity", *GRADES, default=None)
    density: float | None = quantity("density", "density", above=0, default=None, assumed=_USUAL_OIL, unless="grade")
    heat_capacity: float | None = quantity(
        "heat capacity", "heat capacity", above=0, default=None, assumed=_USUAL_OIL, unless="grade"
    )
    metal: float = quantity("mass", "metal that warms with it", shown="kg", at_least=0, default=0.0, spread=0.3)
    metal_heat_capacity: float = quantity("heat capacity", "heat capacity of that metal", above=0, default=STEEL)
    heat: float = quantity("power", "heat put into it", shown="kW", at_least=0, default=0.0, spread=0.3)
    flow: float | None = quantity("flow", "flow of its pump", shown="L/min", at_least=0, default=None)
    pressure: float | None = quantity(
        "pressure", "working pressure of its pump; with the flow, what heats it", shown="bar", at_least=0, default=None
    )
    efficiency: float = quantity(
        "ratio",
        "share of the hydraulic power that becomes work",
        shown="%",
        at_least=0,
        at_most=1,
        default=0.7,
        assumed="70 %: a quarter to a third of the hydraulic power becomes heat; common practice, no source",
        unless="heat",
    )
    relief_share: float = quantity(
        "ratio",
        "share of the flow that goes over the relief valve",
        shown="%",
        at_least=0,
        at_most=1,
        default=0.0,
    )
    bursts: Curve | None = table(
        "heat put in besides, as of each time after the start; the last lasts, or all is repeated by `repeat`",
        default=None,
        example="[{time: 0 s, heat: 20 kW}, {time: 2 min, heat: 0 W}]",
        time="time",
        heat="power",
    )
    repeat: float | None = quantity("time", "time after which the bursts are repeated", above=0, default=None)
    start: float | None = quantity(
        "temperature", "temperature when cold; left out, the water's", shown="degC", default=None
    )
    alarm: float | None = quantity("temperature", "temperature at which its alarm sounds", shown="degC", default=None)
    limit: float | None = quantity("temperature", "temperature that it should not pass", shown="degC", default=None)
    air: float = quantity(
        "temperature",
        "temperature of the air around its tank",
        shown="degC",
        default=308.15,
        assumed="35 degC, an engine room under way; common practice, no source",
    )
    loss: float = quantity(
        "conductance",
        "what tank and lines lose to the air for each kelvin; 8 to 12 W/K for 60 L",
        at_least=0,
        default=0.0,
        spread=0.3,
        assumed="nothing, which is on the safe side",
    )

    def heat_rate(self) -> Array:
        """Heat capacity of one cubic metre of it, J/(m3 K)."""
        at_15 = GRADES[self.grade or "VG 46"]
        density = at_15 - 0.65 * (_WORKING - 15.0) if self.density is None else self.density
        usual = 1000.0 * (1.685 + 0.00339 * _WORKING) / math.sqrt(at_15 / 999.0)
        return density * (usual if self.heat_capacity is None else self.heat_capacity)

    def capacity(self) -> Array:
        """What it and its metal hold for each kelvin, J/K."""
        return self.volume * self.heat_rate() + self.metal * self.metal_heat_capacity

    def steady_heat(self) -> Array:
        """Heat put in without bursts, W."""
        if self.flow is None or self.pressure is None:
            return self.heat
        return self.heat + hydraulic_heat(self.flow, self.pressure, self.efficiency, self.relief_share)

    def mean_heat(self) -> Array:
        """Heat put in on average once the bursts have been repeated, or the last of them lasts, W."""
        if self.bursts is None:
            return self.steady_heat()
        if self.repeat is None:
            return self.steady_heat() + float(self.bursts.columns[1][-1])
        held = sum(heat * (end - begin) for begin, end, heat in self.spells())
        return self.steady_heat() + held / self.repeat

    def spells(self) -> list[tuple[float, float, float]]:
        """The bursts of one round: from when to when (s) how much heat comes with them (W), from the start on."""
        if self.bursts is None:
            return []
        times, heats = self.bursts.columns
        before = [(0.0, times[0], 0.0)] if times[0] > 0.0 else []
        return before + list(zip(times, [*times[1:], self.repeat or math.inf], heats, strict=True))

    def check(self) -> Iterable[str]:
        """Half a hydraulic power, an alarm below the start, bursts that do not fit."""
        if (self.flow is None) != (self.pressure is None):
            yield "flow and pressure heat it together: give both, or neither"
        if self.grade is not None and (self.density is not None or self.heat_capacity is not None):
            yield "grade gives density and heat_capacity: give the one or the others"
        for name in ("alarm", "limit"):
            value = getattr(self, name)
            if value is not None and self.start is not None and value <= self.start:
                yield f"{name} is not above start"
        yield from self._check_bursts()

    def _check_bursts(self) -> Iterable[str]:
        if self.bursts is None:
            if self.repeat is not None:
                yield "repeat is the time after which bursts begin anew: give bursts"
            return
        if min(*self.bursts.columns[0], *self.bursts.columns[1]) < 0:
            yield "bursts have times and heats that are not below zero"
        if self.repeat is not None and self.repeat <= self.bursts.columns[0][-1]:
            yield "repeat is not after the last of the bursts"


_RATED_WATER, _RATED_OIL = 4.1e6, 1.7e6
"""J/(m3 K) of water and oil at a maker's rated point; sea water has 2 % less than fresh, oils differ by 5 %."""


_AT_THE_DUTY = "write how far off all of it may be behind rated_duty"


class Cooling(Declared):
    """What a cooler does with heat: it gives `heat` to the water, cools an oil, or loses heat to what is outside."""

    unsure: ClassVar[bool] = True

    heat: float | None = quantity("power", "heat that it gives to the water", shown="kW", at_least=0, default=None)
    ua: float | None = quantity(
        "conductance", "heat passed for each kelvin of difference, clean", at_least=0, default=None, spread=0.3
    )
    area: float | None = quantity("area", "area through which the heat passes", shown="m2", above=0, default=None)
    u: float | None = quantity(
        "heat transfer",
        "heat passed through each square metre; oil to water 100 to 350 W/(m2 K), a coil in still oil 60",
        at_least=0,
        default=None,
    )
    arrangement: str = word(
        "how water and oil run past each other",
        *ARRANGEMENTS,
        default="stirred tank",
        assumed="stirred tank: its oil has one temperature throughout",
    )
    oil_flow: float | None = quantity("flow", "flow of oil through it", shown="L/min", above=0, default=None)
    oil_pressure: float | None = quantity(
        "pressure",
        "pressure of the oil in it: that of the return line, not that of the pump",
        shown="bar",
        at_least=0,
        default=None,
        exact="leave the ± out: it changes no heat",
    )
    fouling: float = quantity(
        "fouling", "fouling resistance of both sides together", at_least=0, default=0.0, worst=0.00035
    )
    water_side: float = quantity(
        "ratio",
        "share of the resistance that is the water's, at the flow `ua_at`",
        shown="%",
        at_least=0,
        below=1,
        default=0.0,
    )
    ua_at: float | None = quantity("flow", "water flow at which it has that ua", shown="L/min", above=0, default=None)
    rated_duty: float | None = quantity("power", "heat passed at the rated point", shown="kW", above=0, default=None)
    rated_water_flow: float | None = quantity(
        "flow", "water flow at the rated point", shown="L/min", above=0, default=None, exact=_AT_THE_DUTY
    )
    rated_oil_flow: float | None = quantity(
        "flow", "oil flow at the rated point", shown="L/min", above=0, default=None, exact=_AT_THE_DUTY
    )
    rated_water_temperature: float | None = quantity(
        "temperature",
        "temperature of the water going in at the rated point",
        shown="degC",
        default=None,
        exact=_AT_THE_DUTY,
    )
    rated_oil_temperature: float | None = quantity(
        "temperature",
        "temperature of the oil going in at the rated point",
        shown="degC",
        default=None,
        exact=_AT_THE_DUTY,
    )
    outside: float | None = quantity(
        "temperature",
        "temperature of what is outside, as the sea around a keel cooler",
        shown="degC",
        default=None,
    )

    @property
    def passes_heat(self) -> bool:
        """Whether it says how much heat it passes between water and oil, or water and what is outside."""
        return any(value is not None for value in (self.ua, self.u, self.rated_duty))

    def conductance(self, flow: Array, water: Array, oil: Array) -> Array:
        """Heat passed for each kelvin between the oil, or what is outside, and the water's inlet, W/K.

        `flow` in m3/s, without sign; `water` and `oil` are what a cubic metre of each holds, J/(m3 K). Arrays
        broadcast, those too that stand in fields of a record of many rows.
        """
        other = math.inf if self.oil_flow is None else self.oil_flow * oil
        return conductance(self.ua_now(flow), flow * water, other, self.arrangement)

    def ua_now(self, flow: Array) -> Array:
        """UA (W/K) at a water flow (m3/s), with the fouling."""
        at = self.rated_water_flow if self.ua_at is None else self.ua_at
        ua = self.clean if at is None else on_both_sides(self.clean, self.water_side, flow, at)
        return ua if self.area is None else fouled(ua, self.area, self.fouling)

    @cached_property
    def clean(self) -> Array:
        """UA when clean, W/K: as written, from area and u, or from the rated point, where ValueError may be raised."""
        if self.ua is not None:
            return self.ua
        if self.area is not None and self.u is not None:
            return self.area * self.u
        point = self._rated_point()
        if point is None:
            return 0.0
        duty, flow, oil_flow, cold, warm = point
        rates = duty / (warm - cold), flow * _RATED_WATER, oil_flow * _RATED_OIL
        return ua_of(*rates, self.arrangement)

    def _rated_point(self) -> tuple[float, ...] | None:
        """Duty, water flow, oil flow, temperatures of water and oil going in; None where one is lacking."""
        oil_flow = self.rated_oil_flow
        if oil_flow is None and self.arrangement == "stirred tank":
            oil_flow = math.inf
        point = (
            self.rated_duty,
            self.rated_water_flow,
            oil_flow,
            self.rated_water_temperature,
            self.rated_oil_temperature,
        )
        found = tuple(each for each in point if each is not None)
        return found if len(found) == len(point) else None

    def check(self) -> Iterable[str]:
        """Ways to say the same twice, and halves of what belongs together."""
        ways = [way for way in ("ua", "u", "rated_duty") if getattr(self, way) is not None]
        if len(ways) > 1:
            yield f"{' and '.join(ways)} all say how much heat it passes: give one"
        elif self.u is not None and self.area is None:
            yield "u needs an area"
        if self.heat is not None and ways:
            yield f"it gives heat, or passes it with {ways[0]}: give one of the two"
        if self.fouling and self.area is None:
            yield "fouling needs an area"
        if self.water_side and self.ua_at is None and self.rated_water_flow is None:
            yield "water_side needs ua_at, the water flow at which it has that ua"
        if self.outside is not None and not ways:
            yield "outside needs a ua, or a u and an area"
        if self.oil_flow is None and self.arrangement != "stirred tank" and self.outside is None:
            yield f"arrangement {self.arrangement} needs an oil_flow"
        if self.rated_duty is not None:
            yield from self._check_rated()

    def _check_rated(self) -> Iterable[str]:
        point = self._rated_point()
        if point is None:
            yield (
                "rated_duty needs rated_water_flow, rated_oil_flow, rated_water_temperature and rated_oil_temperature"
            )
        elif point[4] <= point[3]:
            yield "rated_oil_temperature is not above rated_water_temperature"
        else:
            try:
                _ = self.clean
            except ValueError:
                yield "rated_duty is more than any exchanger passes at those flows and temperatures"
