"""What the rules of the trade found in all rows, each thing once, with the rows in which it holds."""

from __future__ import annotations

import re
from collections.abc import Iterator, Mapping, Sequence
from typing import TYPE_CHECKING

from netsolve.cautions import Caution, cautions_of
from netsolve.circuit import AS_FOUND
from netsolve.problems import Finding
from netsolve.read import VERDICT_CODES
from netsolve.result import Result, RowResult
from netsolve.study.comparison import UNSETTLED
from netsolve.views import wording
from netsolve.views.prose import STYLES, Sentence, plain

if TYPE_CHECKING:
    from rich.console import RenderableType

_NUMBERS = re.compile(r"[\d.]+")

Found = tuple[RowResult, Finding]


def of_the_row(finding: Finding) -> bool:
    """Whether a finding speaks of the flows of its row, and so is told under it."""
    return finding.code in (*VERDICT_CODES, UNSETTLED)


def gathered(result: Result) -> dict[tuple[str, str], list[Found]]:
    """The findings of rules by code and what they are about, the worst first; without those that lack data."""
    found: dict[tuple[str, str], list[Found]] = {}
    for row in result:
        for each in row.findings:
            if not of_the_row(each) and not each.lacks:
                found.setdefault((each.code, each.about), []).append((row, each))
    return dict(sorted(found.items(), key=lambda item: _severity(worst_of(item[1]))))


def worst_of(found: Sequence[Found]) -> Finding:
    """The gravest of like findings, and of these the furthest beyond its limit, the last of equal ones."""
    return min(reversed(found), key=lambda pair: severest(pair[1]))[1]


def severest(finding: Finding) -> tuple[int, float]:
    """What the gravest of like findings has least of, and of these the one furthest beyond its limit."""
    return _severity(finding), -_beyond(finding)


def _severity(finding: Finding) -> int:
    return wording.SEVERITIES.index(finding.severity)


def _beyond(finding: Finding) -> float:
    """How far a value lies from its limit."""
    return 0.0 if finding.value is None or finding.limit is None else abs(finding.value - finding.limit)


def count(result: Result) -> str:
    """`2 dangers, 1 fault`, of what rules found; empty where there are none."""
    severities = [worst_of(found).severity for found in gathered(result).values()]
    told = []
    for word in ("danger", "fault"):
        number = severities.count(word)
        if number:
            told.append(f"{number} {word}{'' if number == 1 else 's'}")
    return ", ".join(told)


def gathered_lines(result: Result) -> Iterator[RenderableType]:
    """What rules found, what they could not judge, and the cautions that go with it."""
    found = gathered(result)
    if found:
        yield plain("")
        yield plain("what the rules of the trade object to, each where it is worst", "bold underline")
    for each in found.values():
        yield from _told(worst_of(each), _situations(each, result))
    lacks = lacking(result)
    if lacks:
        yield plain("")
        yield plain("not judged, because the file does not say", "bold underline")
    for parameter, things in lacks.items():
        yield Sentence("", f"{parameter} of {', '.join(things)}")
    yield from caution_lines(cautions_of(finding for row in result for finding in row.findings))


def caution_lines(cautions: Mapping[str, Caution]) -> Iterator[RenderableType]:
    """What each says in short, under a title; nothing where there are none."""
    if cautions:
        yield plain("")
        yield plain("cautions", "bold underline")
    for caution in cautions.values():
        yield Sentence(f"{caution.title}: ", wording.sentence(caution.short), style="bold", indent=2)


def brought(result: Result) -> dict[tuple[str, str, str], list[Found]]:
    """What rules find under a change and not as found in the same condition, but for notes; by change, code, thing."""
    before = {
        (row.condition, each.code, each.about, each.severity)
        for row in result
        if row.change == AS_FOUND
        for each in row.findings
    }
    found: dict[tuple[str, str, str], list[Found]] = {}
    for row in result:
        for each in row.findings if row.change != AS_FOUND else ():
            new = (row.condition, each.code, each.about, each.severity) not in before
            if new and each.severity != "note" and not of_the_row(each):
                found.setdefault((row.change, each.code, each.about), []).append((row, each))
    return found


def objections(result: Result) -> RenderableType:
    """What `brought_lines` says, in one piece."""
    from rich.console import Group

    return Group(*brought_lines(result))


def brought_lines(result: Result) -> Iterator[RenderableType]:
    """What changes bring that rules object to, each where it is worst, and the cautions that go with it."""
    found = brought(result)
    if found:
        yield plain("")
        yield plain("what the rules of the trade object to in a change, and not as found", "bold underline")
    for (change, code, _), each in found.items():
        worst = worst_of(each)
        said = f"{wording.said(worst)} [{code}]"
        yield Sentence(f"{worst.severity}: ", f"{change}: {said}", STYLES.get(worst.severity, "bold"))
    yield from caution_lines(cautions_of(worst_of(each) for each in found.values()))


def _told(finding: Finding, rows: str) -> Iterator[RenderableType]:
    said = f"{wording.said(finding)} {f'({rows}) ' if rows else ''}[{finding.code}]"
    yield Sentence(f"{finding.severity}: ", said, STYLES.get(finding.severity, "bold"))
    if finding.help and finding.severity != "note":
        yield Sentence("  help: ", finding.help)


def lacking(result: Result) -> Mapping[str, list[str]]:
    """What rules could not judge, by the parameter that they lack."""
    lacks: dict[str, dict[str, None]] = {}
    for row in result:
        for each in row.findings:
            if each.lacks:
                lacks.setdefault(each.lacks, {})[each.about] = None
    return {parameter: list(things) for parameter, things in lacks.items()}


def where(rows: Sequence[RowResult], result: Result) -> str:
    """The rows in which something was found, in few words; empty where it is all of them."""
    settled = [row for row in result if row.settled]
    if len(rows) == len(settled):
        return ""
    conditions, changes = (dict.fromkeys(getattr(row, name) for row in rows) for name in ("condition", "change"))
    if len(conditions) * len(changes) == len(rows):
        every = (dict.fromkeys(getattr(row, name) for row in settled) for name in ("condition", "change"))
        return ", ".join(filter(None, (_some("at", conditions, next(every)), _some("under", changes, next(every)))))
    told = [wording.situation(row) for row in rows[:3]]
    more = f"; {len(rows) - len(told)} more" if len(rows) > len(told) else ""
    return "; ".join(told) + more


def _situations(found: Sequence[Found], result: Result) -> str:
    """The rows in which like findings stand, and where the worst does, if not all of them say the same."""
    rows = where([row for row, _ in found], result)
    if len({_NUMBERS.sub("", each.message) for _, each in found}) == 1:
        return rows
    worst = worst_of(found)
    place = where([next(row for row, each in found if each is worst)], result)
    return "; ".join(filter(None, (f"worst {place}", rows)))


def _some(word: str, names: Mapping[str, None], every: Mapping[str, None]) -> str:
    """`at idle, cruise`, or `not at full` where that is shorter; empty for all of them."""
    others = [name for name in every if name not in names]
    if not others:
        return ""
    return f"not {word} {', '.join(others)}" if len(others) < len(names) else f"{word} {', '.join(names)}"
