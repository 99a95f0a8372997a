"""What goes on the page for the owner: flows before and after, what to look at and how often."""

from __future__ import annotations

from collections.abc import Iterator, Mapping
from dataclasses import dataclass

from netsolve.circuit import Row
from netsolve.result import PartResult, Result


@dataclass(frozen=True)
class BeforeAfter:
    """A part with a need in one condition, as found and under the change that was made."""

    condition: str
    before: PartResult | None
    after: PartResult | None

    @property
    def name(self) -> str:
        """The part's."""
        part = self.after or self.before
        return part.name if part else ""


def before_and_after(result: Result, change: str) -> Iterator[BeforeAfter]:
    """Every part with a need, in every condition."""
    for condition in result.circuit.conditions:
        rows = result[condition, "as found"], result[condition, change]
        for name, part in rows[1].parts.items():
            if not part.has_need:
                continue
            found = [row.parts.get(name) for row in rows]
            before, after = (each if each is not None and each.fitted else None for each in found)
            if before or after:
                yield BeforeAfter(condition, before, after)


EVERY_BOAT = {
    "the stream at the exhaust and overboard": "at every start; stop the engine if it stays away",
    "hoses and clamps": "yearly, tighten when hot; new ones after 5 to 10 years",
    "bucket at the same outlet, height and speed": "yearly, and write it down",
    "before winter": "drain the low points, or pump antifreeze through",
    "idle for 4 to 6 days in sea water": "drain the cooler, or let fresh sea water through",
}
"""What is looked at on every boat; common practice, the engine's and the cooler's manuals go first."""

BY_ROLE: Mapping[str, str] = {
    "strainer": "look after the first hour and after 10 h, then daily in use; clean at half as much vacuum again",
    "pump": "impeller yearly, or after 200 to 250 h",
    "cooler": "flush every 2 years or 500 h; its anodes monthly at first, new ones at one half",
    "one_way": "open it and look, yearly",
    "shut_off": "turn it monthly to quarterly",
}
"""By the role of a part; makers' manuals and common practice."""

BY_TYPE: Mapping[str, str] = {"vented_loop": "rinse and look at its valve, yearly"}


def intervals(row: Row) -> Iterator[tuple[str, str]]:
    """What to look at, and when."""
    for part in row.parts.values():
        for role in part.component.roles:
            if part.fitted and role in BY_ROLE and not row.runs[part.run].blanked:
                yield part.name, BY_ROLE[role]
    for place in row.places.values():
        if place.type in BY_TYPE:
            yield place.name, BY_TYPE[place.type]
    for name in row.oils:
        yield name, "analysis yearly; new after some 3 years, or once it has been above 82 °C"
    yield from EVERY_BOAT.items()
