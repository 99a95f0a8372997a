"""The phrases that the table and the picture share: flows, needs, differences, and the sentence on top."""

from __future__ import annotations

import math
from collections.abc import Iterable

from netsolve import units
from netsolve.circuit import AS_WRITTEN
from netsolve.graph import no_way
from netsolve.problems import Finding
from netsolve.result import VERDICTS, PartResult, Result, RowResult, RunResult
from netsolve.study.comparison import UNSETTLED

SEVERITIES = ("danger", "fault", "wear", "note")
"""The worst first."""

NOTHING_WRONG = ("served", None)
NO_CHANGE = "no change"
NO_FLOW_WOULD_DO = "more than any flow of water"


def rank(verdict: str | None) -> int:
    """The place of a verdict, 0 for the worst; no verdict comes last."""
    return VERDICTS.index(verdict) if verdict in VERDICTS else len(VERDICTS)


def worst(row: RowResult) -> int:
    """The rank of the worst verdict in a row; a row that did not settle is worse than any."""
    if not row.settled:
        return -1
    thing = worst_thing(row)
    return len(VERDICTS) if thing is None else rank(thing.verdict)


def missed(rows: Iterable[RowResult]) -> list[RowResult]:
    """The settled rows in which something fares worse than marginal."""
    return [row for row in rows if row.settled and worst(row) < rank("marginal")]


def trouble(result: Result) -> str:
    """`trouble in 3 of 9 rows`, and how many have no answer."""
    rows = list(result)
    count = "1 row" if len(rows) == 1 else f"{len(rows)} rows"
    bad = missed(rows)
    unanswered = sum(not row.settled for row in rows)
    said = f"trouble in {len(bad)} of {count}" if bad else f"{count}, none in trouble"
    return f"{said}, {unanswered} not settled" if unanswered else said


def worst_thing(row: RowResult) -> PartResult | RunResult | None:
    """The part with a need, or the run that is reversed or dry, that fares worst; None without either.

    What is shut and needs nothing is shut on purpose.
    """
    runs = [run for run in row.runs.values() if run.verdict in ("reversed", "dry")]
    things: list[PartResult | RunResult] = [*needy(row), *runs]
    return min(things, key=lambda thing: rank(thing.verdict), default=None)


def needy(row: RowResult) -> list[PartResult]:
    """The fitted parts that have a need."""
    parts = [part for part in row.parts.values() if part.fitted]
    return [part for part in parts if part.has_need]


def word(verdict: str | None) -> str:
    """A verdict as it is shown: in capitals where a need is missed."""
    if verdict is None:
        return ""
    if verdict == UNSETTLED:
        return "NOT SETTLED"
    return verdict if verdict in ("served", "marginal") else verdict.upper()


def sentence(text: str) -> str:
    """The text with a capital and a full stop."""
    text = text.strip()
    return f"{text[:1].upper()}{text[1:]}{'' if text.endswith(('.', '?', '!')) else '.'}"


def flow(value: float | None, system: str, *, both: bool = True) -> str:
    """A flow in the units of the system, the other's in brackets; `no flow` where there is none to show."""
    return "no flow" if value is None else units.show(value, "flow", system=system, both=both)


def pair(before: float, after: float, kind: str, *, system: str) -> str:
    """Two values of a kind, the unit written once: `5.3 → 4.9 L/min`."""
    first, last = (units.show(value, kind, system=system) for value in (before, after))
    number, _, unit = first.partition(" ")
    return f"{number} → {last}" if last.endswith(f" {unit}") else f"{first} → {last}"


def between(low: float, high: float, kind: str, *, system: str) -> str:
    """A range as people say it, the unit written once: `2.5 to 3.5 gpm`."""
    first, last = (units.show(value, kind, system=system) for value in (low, high))
    number, _, unit = first.rpartition(" ")
    if first == last:
        return last
    return f"{number} to {last}" if unit and last.endswith(f" {unit}") else f"{first} to {last}"


def plus_minus(value: float, width: float, kind: str, *, system: str) -> str:
    """A value and how far off it may be, the unit written once: `4.2 ± 0.3 L/min`."""
    of = "temperature difference" if kind == "temperature" else kind
    first, last = units.show(value, kind, system=system), units.show(width, of, system=system)
    if of != kind:
        return f"{first} ± {last}"
    number, _, unit = first.rpartition(" ")
    return f"{number} ± {last}" if unit and last.endswith(f" {unit}") else f"{first} ± {last}"


def difference(before: float, after: float, *, system: str) -> str:
    """The change of a flow with its sign and per cent of what it was: `-0.4 L/min (-8 %)`."""
    change = after - before
    if abs(change) <= 5e-4 * abs(before):
        return NO_CHANGE
    amount = f"{'+' if change > 0 else ''}{units.show(change, 'flow', system=system)}"
    percent = f"{100 * change / abs(before):+.0f}" if before else ""
    if percent in ("+0", "-0"):
        percent = f"{100 * change / abs(before):+.1f}"
    return f"{amount} ({percent} %)" if percent else amount


def need(part: PartResult, system: str, *, both: bool = True) -> str:
    """The least and the most flow that a part wants: `at least 5.7 L/min (1.5 gpm)`."""
    if part.has_need and part.min_flow is None and part.max_flow is None:
        return NO_FLOW_WOULD_DO
    bounds = (("at least", part.min_flow), ("at most", part.max_flow))
    return ", ".join(f"{least} {flow(value, system, both=both)}" for least, value in bounds if value is not None)


def when(condition: str) -> str:
    """` at idle`; nothing for a circuit without conditions."""
    return "" if condition == AS_WRITTEN else f" at {condition}"


def situation(row: RowResult) -> str:
    """Which row it is, with what a sweep has set (SI)."""
    settings = "".join(f", {name} = {value:.4g} (SI)" for name, value in row.settings.items())
    return f"{row.condition}, {row.change}{settings}"


def foremost(findings: Iterable[Finding]) -> Finding | None:
    """The finding to say first: danger, then missed needs the worst first, then by severity."""

    def place(finding: Finding) -> tuple[int, int]:
        return (SEVERITIES.index(finding.severity), rank(finding.code))

    return min((each for each in findings if each.severity in SEVERITIES), key=place, default=None)


def said(finding: Finding) -> str:
    """What a finding says, as a sentence that names what it is about."""
    if not finding.about or finding.about in finding.message:
        return sentence(finding.message)
    return sentence(f"{finding.about}: {finding.message}")


def not_settled(row: RowResult, system: str) -> str:
    """Why a row has no answer: where it stands worst, and how much is left over there."""
    said = f"did not settle in {row.iterations} steps, so there is no answer"
    if row.unsettled is None:
        return said
    if row.unsettled.joint is not None:
        return f"no flow can answer to this: {no_way(row.unsettled.joint, row.unsettled.flow, system)}"
    if not math.isfinite(row.unsettled.imbalance):
        return f"{said}; '{row.unsettled.run}' comes to no number at all"
    left = units.show(row.unsettled.imbalance, "pressure", system=system)
    return f"{said}; '{row.unsettled.run}' is off by {left}"
