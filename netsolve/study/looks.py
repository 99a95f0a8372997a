"""What a trial looks at while the engine stands: strainers opened, parts blown through."""

from __future__ import annotations

from collections.abc import Iterator, Sequence
from dataclasses import dataclass

from netsolve.circuit import Row
from netsolve.study.diagnosis.probe import SHARES, Probe, Reading, Situation

PASS, CLEAN_IT, LOOK = "pass", "clean it", "look there"

_CLEAN = ("clean", "a little")


@dataclass(frozen=True)
class Look:
    """One thing to look at: the words that will do, the first of them as it should be; what was found, if it was.

    `before` is what was found a year ago.
    """

    probe: Probe
    wanted: tuple[str, ...]
    reading: Reading | None = None
    before: str = ""

    @property
    def verdict(self) -> str:
        """pass, or what to do; empty where nobody looked."""
        if self.reading is None:
            return ""
        if self.found in self.wanted:
            return PASS
        return CLEAN_IT if self.probe.kind == "contents" else LOOK

    @property
    def found(self) -> str:
        """The word that was found."""
        return "" if self.reading is None else word(self.reading)


def looks(row: Row, situation: Situation, readings: Sequence[Reading], before: Sequence[Reading]) -> Iterator[Look]:
    """Every strainer that stands in the circuit, and whatever else was looked at."""
    now: dict[Probe, Reading | None] = {each.probe: each for each in readings if is_look(each.probe)}
    then = {each.probe: each for each in before if is_look(each.probe)}
    for part in row.parts.values():
        if part.fitted and "strainer" in part.component.roles and not row.runs[part.run].blanked:
            probe = Probe("contents", (part.name,), situation)
            known = next((each for each in now if _same(each, probe)), probe)
            now.setdefault(known, None)
    for probe, reading in now.items():
        last = next((each for other, each in then.items() if _same(other, probe)), None)
        yield Look(probe, _wanted(row, probe), reading, "" if last is None else word(last))


def is_look(probe: Probe) -> bool:
    """Whether a word is found, and no number."""
    return probe.kind in ("contents", "blow")


def word(reading: Reading) -> str:
    """What was found, as it is written in a file of readings."""
    if reading.probe.kind != "contents":
        return reading.found
    return min(SHARES, key=lambda each: abs(SHARES[each] - reading.value))


def _same(one: Probe, other: Probe) -> bool:
    """Whether both are of the same thing: the engine stands, whatever the condition."""
    return (one.kind, one.names) == (other.kind, other.names)


def _wanted(row: Row, probe: Probe) -> tuple[str, ...]:
    if probe.kind == "contents":
        return _CLEAN
    parts = row.runs[row.parts[probe.names[0]].run].parts
    first, last = (parts.index(name) for name in probe.names)
    between = [row.parts[name] for name in parts[min(first, last) : max(first, last) + 1]]
    if not any("one_way" in part.component.roles and part.fitted for part in between):
        return ("open",)
    return ("one way", "open") if first <= last else ("other way", "blocked")
