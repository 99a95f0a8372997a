"""A diagnosis for a terminal of 80 columns: suspects, what cannot be told apart, the next test, cautions."""

from __future__ import annotations

import math
from collections.abc import Iterator, Sequence
from typing import TYPE_CHECKING

from netsolve import units
from netsolve.study.diagnosis.diagnose import Diagnosis, NextTest, Shown
from netsolve.study.diagnosis.probe import Probe
from netsolve.study.diagnosis.ranking import WORTH_NAMING, Estimate, Suspect
from netsolve.views import wording
from netsolve.views.bands import likely
from netsolve.views.prose import Sentence, grid, plain
from netsolve.views.sheet import Grid, Section, Sheet

if TYPE_CHECKING:
    from rich.console import RenderableType

CAUTIONS = (
    "Before a hose comes off: engine stopped, key tagged, seacock closed, wooden plug at hand; never work afloat on a "
    "bad seacock. Let hot parts cool. Blow by mouth or with less than 0.3 bar, never with shop air into a cooler. No "
    "bucket near belts and shafts. Stop the engine when the exhaust's stream stops: a dry exhaust burns, and leaks "
    "carbon monoxide.",
    "An estimate, not a survey: verify before you rely on it. The maker's instructions go first.",
)
_MOST_SUSPECTS, _MOST_EXPECTED = 8, 4


def diagnosis_table(found: Diagnosis, system: str) -> RenderableType:
    """All of a diagnosis, the likeliest suspect on top."""
    from rich.console import Group

    lines: list[RenderableType] = [plain(found.circuit, "bold"), _headline(found, system)]
    lines += [plain(""), plain("what was read", "bold underline"), _readings(found, system)]
    lines += [plain(""), plain("what is likely to be wrong", "bold underline"), _suspects(found, system)]
    if found.ranking.alike:
        lines += [plain(""), plain("what these readings cannot tell apart", "bold underline")]
        lines += [Sentence("", wording.sentence(_together(group))) for group in found.ranking.alike]
    lines += [plain(""), plain("the next best test", "bold underline"), *_tests(found, system)]
    lines += [plain(""), plain("cautions", "bold underline"), *(Sentence("", each) for each in CAUTIONS)]
    return Group(*lines)


def _headline(found: Diagnosis, system: str) -> RenderableType:
    said = wording.sentence(_most_likely(found, system))
    return Sentence("most likely: ", said, style="", words_style="bold", indent=0)


def _most_likely(found: Diagnosis, system: str) -> str:
    first = found.ranking.suspects[0]
    how = estimate(first.estimates[0], system)
    words = f"{first.name}, {likely(first.probability)} likely{f'; {how}' if how else ''}"
    if any(first in group for group in found.ranking.alike):
        words += "; these readings fit others as well"
    return words


def _together(group: Sequence[Suspect]) -> str:
    """A group by what is wrong: `plugged: feed hose, return hose; scaled up: oil cooler`."""
    faults: dict[str, list[str]] = {}
    for each in group:
        faults.setdefault(each.estimates[0].fault, []).append(each.estimates[0].part)
    return "; ".join(f"{fault}: {', '.join(parts)}" if parts[0] else fault for fault, parts in faults.items())


def _readings(found: Diagnosis, system: str) -> RenderableType:
    table = grid(("reading", 46), ("read", 15), ("if all were sound", 17))
    for shown in found.readings:
        table.add_row(plain(str(shown.reading.probe)), plain(_read(shown, system)), plain(_sound(shown, system)))
    return table


def _read(shown: Shown, system: str) -> str:
    reading = shown.reading
    value = reading.found or _value(reading.value, reading.probe, system)
    return f"not in {value}" if reading.at_most else value


def _sound(shown: Shown, system: str) -> str:
    return "" if shown.sound is None else _value(shown.sound, shown.reading.probe, system)


def _value(value: float, probe: Probe, system: str) -> str:
    """What a probe shows, as people read it."""
    told = probe.shown(value)
    return units.show(told, probe.unit_kind, system=system) if math.isfinite(told) else "never"


def _suspects(found: Diagnosis, system: str) -> RenderableType:
    table = grid(("likely", 9), ("what", 38), ("how much", 31))
    named = [each for each in found.ranking.suspects if each.probability >= WORTH_NAMING][:_MOST_SUSPECTS]
    for suspect in named or found.ranking.suspects[:1]:
        how = "; ".join(filter(None, (estimate(each, system) for each in suspect.estimates)))
        table.add_row(plain(likely(suspect.probability)), plain(_with_article(suspect)), plain(how))
    return table


def _with_article(suspect: Suspect) -> str:
    return suspect.name.replace(" and ", ", and ") if len(suspect.estimates) > 1 else suspect.name


def estimate(each: Estimate, system: str) -> str:
    """How much: `hole 4.3 mm (4.2 to 4.5 mm)`."""
    if each.value is None or each.low is None or each.high is None:
        return ""
    value = units.show(each.value, each.kind, system=system)
    both = wording.between(each.low, each.high, each.kind, system=system)
    return f"{each.parameter.replace('_', ' ')} {value}" + (f" ({both})" if each.low != each.high else "")


def _tests(found: Diagnosis, system: str) -> Iterator[RenderableType]:
    if not found.tests:
        yield Sentence("", "Nothing that could easily be read would separate what is still in doubt.")
        return
    for number, test in enumerate(found.tests, 1):
        said = f"{test.probe} ({test.minutes:g} min, tells {test.expected.gain:.2f} bits)"
        yield Sentence(f"{number}. ", said, style="bold", words_style="bold" if number == 1 else "")
        if number == 1:
            yield _expected(test, system)


def _expected(test: NextTest, system: str) -> RenderableType:
    table = grid(("     it would read", 29), ("if this is wrong", 49))
    for name, (value, width) in list(test.expected.values.items())[:_MOST_EXPECTED]:
        unit = test.probe.unit_kind
        shown = wording.plus_minus(value, 2 * width, unit, system=system)
        table.add_row(plain(f"     {shown}"), plain(name))
    for name, word in list(test.expected.words.items())[:_MOST_EXPECTED]:
        table.add_row(plain(f"     {word}"), plain(name))
    return table


def diagnosis_sheet(found: Diagnosis, system: str) -> Sheet:
    """The same for a page: what was read, what is likely to be wrong, what to test next."""
    read = [(str(each.reading.probe), _read(each, system), _sound(each, system) or "-") for each in found.readings]
    named = [each for each in found.ranking.suspects if each.probability >= WORTH_NAMING][:_MOST_SUSPECTS]
    suspects = [(likely(each.probability), _with_article(each), _how_much(each, system)) for each in named]
    apart = [f"Cannot be told apart by these readings: {_together(group)}." for group in found.ranking.alike]
    tests = [(_test(each), _readings_expected(each, system)) for each in found.tests]
    nothing = "Nothing that could easily be read would separate what is still in doubt."
    sections = [
        Section("what was read", grid=Grid((("reading", 46), ("read", 15), ("if all were sound", 17)), read)),
        Section(
            "what is likely to be wrong",
            [wording.sentence(_most_likely(found, system)), *apart],
            Grid((("likely", 9), ("what", 38), ("how much", 31)), suspects),
        ),
        Section(
            "the next best test",
            CAUTIONS if tests else (nothing, *CAUTIONS),
            Grid((("test", 34), ("it would read", 44)), tests) if tests else None,
        ),
    ]
    return Sheet(f"Diagnosis: {found.circuit}", "An estimate, not a survey: verify before you rely on it.", sections)


def _how_much(suspect: Suspect, system: str) -> str:
    return "; ".join(filter(None, (estimate(each, system) for each in suspect.estimates))) or "-"


def _test(test: NextTest) -> str:
    return f"{test.probe} ({test.minutes:g} min, tells {test.expected.gain:.2f} bits)"


def _readings_expected(test: NextTest, system: str) -> str:
    """What the test would show under each of the likeliest faults."""
    said = [
        f"{wording.plus_minus(value, 2 * width, test.probe.unit_kind, system=system)} if {name}"
        for name, (value, width) in list(test.expected.values.items())[:_MOST_EXPECTED]
    ]
    said += [f"{word} if {name}" for name, word in list(test.expected.words.items())[:_MOST_EXPECTED]]
    return "; ".join(said)
