"""Temperatures of the water as the picture says them: what a cooler does to it, how warm it is where it meets."""

from __future__ import annotations

from collections.abc import Iterator

from netsolve import units
from netsolve.result import JointResult, PartResult
from netsolve.views import wording


def cooler(part: PartResult, system: str) -> str:
    """`water 15 → 21.2 °C, 3 kW`; nothing for a part that neither cools nor heats."""
    if part.duty is None or part.inlet_temperature is None or part.outlet_temperature is None:
        return ""
    water = wording.pair(part.inlet_temperature, part.outlet_temperature, "temperature", system=system)
    return f"water {water}, {units.show(part.duty, 'power', system=system)}"


def joint(now: JointResult, before: JointResult | None, system: str) -> Iterator[str]:
    """The temperature of the water that meets at a joint, and of gas and water together."""
    for field, words in (("temperature", "water {}"), ("mixed_temperature", "gas and water {}")):
        value, then = getattr(now, field), getattr(before, field, None)
        if value is not None:
            yield words.format(before_and_after(value if then is None else then, value, "temperature", system))


def before_and_after(then: float, now: float, kind: str, system: str) -> str:
    """One value where the two read alike, else both."""
    first, last = (units.show(each, kind, system=system) for each in (then, now))
    return last if first == last else wording.pair(then, now, kind, system=system)
