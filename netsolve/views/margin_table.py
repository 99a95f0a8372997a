"""Margins as lines of 80 columns: how far each part may go, the least first, and what one would read then."""

from __future__ import annotations

from collections.abc import Iterator

from netsolve import units
from netsolve.study.margin import TOO_HOT, Margin, Margins, Missed, Reading
from netsolve.views import wording
from netsolve.views.sweep_answers import precise, wrapped

_STARVING = 30e3
"""Pa of vacuum above which a pump gives less than its curve says: maker's practice, as in the rule on suction."""


def margin_lines(found: Margins, system: str) -> Iterator[str]:
    """The lines, for each change."""
    changes = [*(each.change for each in found.margins), *(each.change for each in found.missed)]
    for change in dict.fromkeys(changes):
        margins = [each for each in found.margins if each.change == change]
        missed = [each for each in found.missed if each.change == change]
        yield from _of_change(change, margins, missed, system)


def _of_change(change: str, margins: list[Margin], missed: list[Missed], system: str) -> Iterator[str]:
    yield from wrapped(f"{change}: how far each part may go before a need is missed, the least margin first")
    for need in missed:
        yield from wrapped(
            f"  missed already, so not counted: {need.need} at {need.condition}, {_missed(need, system)}", "    "
        )
    for each in margins:
        if each.limit is not None:
            yield ""
            yield from _limit(each, system)
    never = [each for each in margins if each.limit is None]
    if never:
        yield ""
        yield "no need is missed even at the worst of"
    for each in never:
        yield from wrapped(f"  {each.part}: {_words(each)} up to {_value(each.worst, each, system)}", "    ")


def margin_items(found: Margins, system: str) -> list[tuple[str, str, str]]:
    """Part and how far it may go, what happens then, what one would read: of the margins that end somewhere."""
    return [_told(each, system) for each in found.margins if each.limit is not None]


def _limit(each: Margin, system: str) -> Iterator[str]:
    how_far, then, read = _told(each, system)
    yield from wrapped(how_far)
    yield from wrapped(f"  {then}", "    ")
    if each.reading is None:
        return
    yield from wrapped(f"  {read}", "    ")
    if (each.reading.pump_inlet_pressure or 0.0) < -_STARVING:
        most = units.show(_STARVING, "pressure", system=system, both=True)
        yield from wrapped(
            f"  above some {most} of vacuum a pump gives less than this says: the limit comes sooner", "    "
        )


_WHY = {
    "min_flow": "gets less than it needs",
    "max_flow": "gets more than it stands",
    "limit": "settles above its limit",
    "alarm": "settles above its alarm",
}


def _missed(need: Missed, system: str) -> str:
    """What a need that is missed gets."""
    if need.verdict == TOO_HOT:
        return f"{TOO_HOT}, {units.show(need.flow, 'temperature', system=system, both=True)}"
    return f"{wording.word(need.verdict)}, {wording.flow(need.flow, system)}"


def _told(each: Margin, system: str) -> tuple[str, str, str]:
    now, limit = _value(each.now, each, system), precise(each.limit or 0.0, each.kind, system, digits=4)
    left = f"{100 * (each.left or 0.0):.0f} % of the way"
    why = _WHY.get(each.bound or "", "")
    return (
        f"{each.part}: {_words(each)} {now} now, {limit} at the limit ({left})",
        f"then {each.need} {why}, at {each.condition}",
        _read(each.reading, each.reading.through, system) if each.reading else "",
    )


def _read(reading: Reading, need: str | None, system: str) -> str:
    read = []
    if reading.pump is not None and reading.pump_inlet_pressure is not None:
        read.append(f"{_pressure(reading.pump_inlet_pressure, system)} at the inlet of {reading.pump}")
    if reading.joint is not None and reading.joint_pressure is not None:
        read.append(f"{_pressure(reading.joint_pressure, system)} at {reading.joint}")
    read.append(f"{wording.flow(reading.flow, system)} through {need}")
    if reading.bucket is not None:
        read.append(f"10 L in {reading.bucket:.0f} s")
    return f"read {', '.join(read)}"


def _pressure(value: float, system: str) -> str:
    amount = units.show(abs(value), "pressure", system=system, both=True)
    return f"{amount} of vacuum" if value < 0 else amount


def _words(each: Margin) -> str:
    return each.parameter.replace("_", " ")


def _value(value: float, each: Margin, system: str) -> str:
    return units.show(value, each.kind, system=system)
