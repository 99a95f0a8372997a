"""What is new in an answer against the one before: flows, verdicts and findings that changed, and nothing else."""

from __future__ import annotations

from collections.abc import Iterator, Mapping

from netsolve.problems import Finding
from netsolve.result import PartResult, Result, RowResult
from netsolve.views import wording
from netsolve.views.strip import minus

Key = tuple[str, str, str]
"""Situation, code and subject of a finding."""

_MOST_ROWS = 3


def news(before: Result, after: Result, *, system: str) -> list[str]:
    """A line for each need that is met otherwise than before, each finding that came or went, each row likewise."""
    return [*_rows(before, after), *_needs(before, after, system), *_findings(before, after)]


def _situations(result: Result) -> Mapping[str, RowResult]:
    return {wording.situation(row): row for row in result}


def _rows(before: Result, after: Result) -> Iterator[str]:
    """Rows that are there for the first time or no longer, and those that settle otherwise."""
    first, last = _situations(before), _situations(after)
    yield from (f"{name}: no longer a row" for name in first if name not in last)
    for name, row in last.items():
        if name not in first:
            yield f"{name}: a new row"
        elif row.settled != first[name].settled:
            yield f"{name}: {'settles now' if row.settled else 'does not settle any more'}"


def _needs(before: Result, after: Result, system: str) -> Iterator[str]:
    first = _situations(before)
    for name, row in _situations(after).items():
        old = first[name].parts if name in first else {}
        for part in wording.needy(row):
            said = _need(old.get(part.name), part, system)
            if said:
                yield f"{name}: {part.name} {said}"


def _need(was: PartResult | None, part: PartResult, system: str) -> str:
    """How a need is met now, where that is not as it was."""
    verdict, flow = wording.word(part.verdict), wording.flow(part.flow, system, both=False)
    if was is None or not was.fitted:
        return f"{flow}, {verdict}"
    old_verdict, old_flow = wording.word(was.verdict), wording.flow(was.flow, system, both=False)
    flows = flow if flow == old_flow else _flows(was, part, system)
    verdicts = verdict if verdict == old_verdict else f"{old_verdict or 'no need'} → {verdict}"
    return "" if (flow, verdict) == (old_flow, old_verdict) else minus(f"{flows}, {verdicts}")


def _flows(was: PartResult, part: PartResult, system: str) -> str:
    if was.flow is None or part.flow is None:
        return " → ".join(wording.flow(each.flow, system, both=False) for each in (was, part))
    return wording.pair(was.flow, part.flow, "flow", system=system)


def _findings(before: Result, after: Result) -> Iterator[str]:
    """Findings that came or went, each once, with the rows in which it did."""
    first, last = _found(before), _found(after)
    for lead, mine, others in (("new, ", last, first), ("gone: ", first, last)):
        groups: dict[tuple[str, str], list[tuple[str, Finding]]] = {}
        for (situation, code, about), finding in mine.items():
            if (situation, code, about) not in others:
                groups.setdefault((code, about), []).append((situation, finding))
        for found in groups.values():
            finding = found[0][1]
            severity = f"{finding.severity}: " if mine is last else ""
            yield f"{lead}{severity}{wording.said(finding)} ({_in_rows([situation for situation, _ in found])})"


def _in_rows(situations: list[str]) -> str:
    more = len(situations) - _MOST_ROWS
    return "; ".join([*situations[:_MOST_ROWS], *([f"and {more} more"] if more > 0 else [])])


def _found(result: Result) -> dict[Key, Finding]:
    return {
        (wording.situation(row), finding.code, finding.about): finding for row in result for finding in row.findings
    }
