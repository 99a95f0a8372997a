"""What each change does to every oil and cooler: where it settles, until when its alarm, how warm the water leaves."""

from __future__ import annotations

from collections.abc import Iterator
from dataclasses import dataclass

from netsolve.heat.heat import OilResult
from netsolve.result import Result
from netsolve.study.comparison import pairs


@dataclass(frozen=True, slots=True)
class OilEffect:
    """What a change does to an oil in one condition; None where the row did not settle or has no such oil."""

    change: str
    condition: str
    oil: str
    before: OilResult | None
    after: OilResult | None

    @property
    def warmer(self) -> float | None:
        """By how many kelvin it settles warmer; None where it does not settle in both."""
        ends = [each.plateau if each else None for each in (self.before, self.after)]
        return None if ends[0] is None or ends[1] is None else ends[1] - ends[0]

    def to_dict(self) -> dict[str, object]:
        """The effect as plain data, K and s; a time is null where the alarm is never reached."""
        data: dict[str, object] = {"change": self.change, "condition": self.condition, "oil": self.oil}
        for when, oil in (("before", self.before), ("after", self.after)):
            data[f"plateau_{when}_k"] = oil.plateau if oil else None
            data[f"time_to_alarm_{when}_s"] = oil.time_to_alarm if oil else None
            data[f"time_without_water_{when}_s"] = oil.time_without_water if oil else None
        return data | {"difference_k": self.warmer}


def oil_effects(result: Result) -> tuple[OilEffect, ...]:
    """The effects of every change on every oil, in the order of the rows."""
    return tuple(_effects(result))


def _effects(result: Result) -> Iterator[OilEffect]:
    for first, last in pairs(result):
        before, after = result.rows[first], result.rows[last]
        for oil in dict.fromkeys((*before.oils, *after.oils)):
            yield OilEffect(after.change, after.condition, oil, before.oils.get(oil), after.oils.get(oil))


@dataclass(frozen=True, slots=True)
class CoolerEffect:
    """How warm the water leaves a cooler before and after a change in one condition, K; None where none does."""

    change: str
    condition: str
    cooler: str
    before: float | None
    after: float | None


def cooler_effects(result: Result) -> tuple[CoolerEffect, ...]:
    """The effects of every change on every part that cools or heats, in the order of the rows."""
    found = []
    for first, last in pairs(result):
        before, after = result.rows[first], result.rows[last]
        for name in dict.fromkeys((*before.parts, *after.parts)):
            ends = [row.parts.get(name) for row in (before, after)]
            if any(part is not None and part.duty is not None for part in ends):
                warm = [part.outlet_temperature if part else None for part in ends]
                found.append(CoolerEffect(after.change, after.condition, name, warm[0], warm[1]))
    return tuple(found)
