"""What a trial looks at while the engine stands: strainers opened, parts blown through."""

from __future__ import annotations

from collections.abc import Iterator, Sequence
from dataclasses import dataclass

from netsolve.circuit import Circuit, Row
from netsolve.study.diagnosis.breath import NoBreathError, Piece, breath
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


def looks(
    circuit: Circuit, row: Row, situation: Situation, readings: Sequence[Reading], before: Sequence[Reading]
) -> Iterator[Look]:
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
        yield Look(probe, _wanted(circuit, row, probe), reading, "" if last is None else word(last))


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


def _wanted(circuit: Circuit, row: Row, probe: Probe) -> tuple[str, ...]:
    if probe.kind == "contents":
        return _CLEAN
    ways = {sense for name, sense in _way(circuit, row, probe) if "one_way" in row.parts[name].component.roles}
    if not ways:
        return ("open",)
    if len(ways) > 1:
        return ("blocked",)  # valves against each other
    return ("one way", "open") if ways == {1.0} else ("other way", "blocked")


def _way(circuit: Circuit, row: Row, probe: Probe) -> tuple[Piece, ...]:
    """The way of the breath as the sheet has the circuit; where none leads there then, as it was when it was blown."""
    try:
        return breath(row, probe.names)
    except NoBreathError:
        then = probe.situation
        return breath(circuit.row(then.condition, then.change, dict(then.settings)), probe.names)
