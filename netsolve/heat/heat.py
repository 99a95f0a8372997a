"""The heat of rows by name, as arrays (rows,): temperatures of parts and joints, duties, what becomes of each oil."""

from __future__ import annotations

import math
from collections.abc import Callable, Mapping
from dataclasses import dataclass, field
from functools import cached_property
from typing import Any

import numpy as np

from netsolve.arrays.stack import Floats
from netsolve.heat.stated import Stated
from netsolve.heat.temperatures import Response, response
from netsolve.heat.warming import Warming, warming
from netsolve.laws.thermal import mixed

GAS = 1100.0
"""J/(kg K), of diesel exhaust gas at 200 to 500 degC; from memory."""


@dataclass(frozen=True, slots=True)
class OilResult:
    """A charge of oil in a row: K, s and W; `cooler_duty` is what its coolers take once it has settled.

    `plateau` is None where nothing takes its heat away; `peak`, the highest from cold, there and where it has no
    bursts. The times are None where there is no alarm or it is never reached: from cold, and after the water has
    stopped, from where the oil has settled.
    """

    name: str
    plateau: float | None
    time_to_alarm: float | None
    time_without_water: float | None
    heat: float
    cooler_duty: float | None
    alarm: float | None = None
    limit: float | None = None
    peak: float | None = None

    @property
    def hottest(self) -> float | None:
        """The highest temperature that it has once it has settled or in a burst; None where it does not settle."""
        return self.plateau if self.plateau is None or self.peak is None else max(self.plateau, self.peak)


@dataclass(frozen=True)
class Heat:
    """Temperatures (K), duties (W) and times (s) of rows whose runs have some flow (rows, runs), m3/s.

    Every answer is an array (rows,), worked out when it is first asked for; nan where there is none, as in a part
    without water. KeyError for an unknown name.
    """

    stated: Stated
    flow: Floats
    _kept: dict[tuple[str, str], Floats] = field(default_factory=dict, init=False, repr=False, compare=False)

    @cached_property
    def response(self) -> Response:
        """How the water answers to the oils."""
        return response(self.stated, self.flow)

    @cached_property
    def warming(self) -> Warming:
        """The oils with the water flowing."""
        return warming(self.response)

    @cached_property
    def _stopped(self) -> Warming:
        return self.warming.without_water()

    def inlet_temperature(self, part: str) -> Floats:
        """Of the water that comes to a part."""
        return self._told("inlet", part, lambda answer: self._temperature(answer.before(part)))

    def outlet_temperature(self, part: str) -> Floats:
        """Of the water that leaves a part."""
        return self._told("outlet", part, lambda answer: self._temperature(answer.after(part)))

    def end_temperature(self, run: str, *, target: bool) -> Floats:
        """Of the water in the end of a run, at its source or its target."""
        what = "target" if target else "source"
        return self._told(what, run, lambda answer: self._temperature(answer.at_end(run, target=target)))

    def duty(self, part: str) -> Floats:
        """What the water takes up in a cooler; below zero where it gives heat away. nan for a part that is none."""
        if part not in self.stated.coolers:
            return np.where(self.stated.fitted[part], np.nan, np.nan)
        works = self.stated.coolers[part].read(lambda _, rows: np.ones(len(rows))) == 1.0
        duty = self._told("duty", part, lambda answer: answer.at(answer.taken(part), self.warming.settled))
        return np.where(works, duty, np.nan)

    def temperature(self, joint: str) -> Floats:
        """Of the water that has met at a joint."""
        return self._told("joint", joint, lambda answer: self._temperature(answer.at_joint(joint)))

    def mixed_temperature(self, joint: str) -> Floats:
        """Of gas and water together, without any evaporation: what is too hot for that boils some of the water away."""
        if joint not in self.stated.injections:
            return np.full(len(self.temperature(joint)), np.nan)
        return self._told("mixed", joint, lambda answer: self._mixed(joint, answer))

    def _mixed(self, joint: str, answer: Response) -> Floats:
        gas, hot = (self.stated.injections[joint].field(name) for name in ("gas_flow", "gas_temperature"))
        flow = answer.brought(joint)
        there = gas + flow > 0.0
        rates = np.where(there, gas * GAS, 1.0), np.where(there, flow * self.stated.rate, 1.0)
        return np.where(there, np.asarray(mixed(rates, (hot, self.temperature(joint)))), np.nan)

    def plateau(self, oil: str) -> Floats:
        """Where an oil settles; nan where nothing takes its heat away."""
        place = self._place(oil)
        return self._told("plateau", oil, lambda answer: answer.stated.water + self.warming.settled[:, place])

    def peak(self, oil: str) -> Floats:
        """The highest temperature that an oil with bursts reaches from cold; nan where it has none."""
        place = self._place(oil)
        return self._told("peak", oil, lambda _: self.warming.peak(place))

    def hottest(self, oil: str) -> Floats:
        """The highest temperature that an oil has once it has settled or in a burst; nan where it does not settle."""
        return np.fmax(self.plateau(oil), self.peak(oil))

    def time_to_alarm(self, oil: str) -> Floats:
        """From cold until the alarm; infinite where it is never reached, nan where there is none."""
        place = self._place(oil)
        return self._told("alarm", oil, lambda _: self.warming.time_to(place, self._of_oil(oil, "alarm")))

    def time_without_water(self, oil: str) -> Floats:
        """From where the oil has settled until the alarm once the water stops; infinite where it is never reached."""
        place = self._place(oil)
        return self._told("stopped", oil, lambda _: self._stopped.time_to(place, self._of_oil(oil, "alarm")))

    def heat(self, oil: str) -> Floats:
        """What is put into an oil on average."""
        return self._told("heat", oil, lambda _: self.stated.oils[oil].read(lambda each, _: each.mean_heat()))

    def cooler_duty(self, oil: str) -> Floats:
        """What the coolers of an oil take out of it once it has settled."""
        self._place(oil)
        return self._told("taken", oil, lambda answer: answer.at(answer.uptake(oil), self.warming.settled))

    def of_part(self, row: int, part: str) -> dict[str, Any]:
        """What the record of a part says of heat in a row."""
        return {
            "inlet_temperature": _number(self.inlet_temperature(part)[row]),
            "outlet_temperature": _number(self.outlet_temperature(part)[row]),
            "duty": _number(self.duty(part)[row]) if part in self.stated.coolers else None,
        }

    def of_joint(self, row: int, joint: str) -> dict[str, Any]:
        """What the record of a joint says of heat in a row."""
        return {
            "temperature": _number(self.temperature(joint)[row]),
            "mixed_temperature": _number(self.mixed_temperature(joint)[row])
            if joint in self.stated.injections
            else None,
        }

    def of_oils(self, row: int) -> Mapping[str, OilResult]:
        """What becomes of each oil in a row."""
        return {name: self._oil(row, name) for name in self.stated.oils}

    def _oil(self, row: int, name: str) -> OilResult:
        return OilResult(
            name,
            _number(self.plateau(name)[row]),
            _number(self.time_to_alarm(name)[row]),
            _number(self.time_without_water(name)[row]),
            float(self.heat(name)[row]),
            _number(self.cooler_duty(name)[row]),
            _number(self._of_oil(name, "alarm")[row]),
            _number(self._of_oil(name, "limit")[row]),
            _number(self.peak(name)[row]),
        )

    def _place(self, oil: str) -> int:
        if oil not in self.stated.oils:
            raise KeyError(oil)
        return self.stated.names.index(oil)

    def _of_oil(self, oil: str, name: str) -> Floats:
        return self._told(f"said {name}", oil, lambda _: self.stated.oils[oil].field(name))

    def _temperature(self, weights: Floats) -> Floats:
        return self.response.temperature(weights, self.warming.settled)

    def _told(self, what: str, name: str, ask: Callable[[Response], Any]) -> Floats:
        """The answer, kept for the next who asks; nan in rows that have nothing to do with heat."""
        if (what, name) not in self._kept:
            self._kept[what, name] = np.where(self.stated.warm, ask(self.response), np.nan)
        return self._kept[what, name]


def _number(value: float) -> float | None:
    return float(value) if math.isfinite(value) else None
