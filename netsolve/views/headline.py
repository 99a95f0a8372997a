"""The sentence over a picture: what the row, or the change, comes to."""

from __future__ import annotations

from collections.abc import Sequence

from netsolve.problems import Finding
from netsolve.result import PartResult, RowResult
from netsolve.study.comparison import UNSETTLED, Effect
from netsolve.views import wording
from netsolve.views.strip import minus


def of_row(row: RowResult, *, system: str) -> str:
    """What to know first of a row: the worst thing found, or that every need is met."""
    if not row.settled:
        return wording.sentence(wording.not_settled(row, system))
    finding = wording.foremost(row.findings)
    missed = wording.worst(row) < wording.rank("marginal")
    if finding is not None and (finding.severity in ("danger", "fault") or not (missed or _aside(finding, row))):
        return wording.said(finding)
    if missed:
        thing = wording.worst_thing(row)
        return wording.sentence(f"{thing.name} is {thing.verdict}") if thing else ""
    needs = wording.needy(row)
    return "Every need is met." if needs else "No part has a need written, so nothing is judged."


def _aside(finding: Finding, row: RowResult) -> bool:
    """Whether it is a mere note, beside needs that are all well met."""
    return finding.severity == "note" and wording.worst(row) > wording.rank("marginal") and bool(wording.needy(row))


def of_change(before: RowResult, after: RowResult, effects: Sequence[Effect], *, system: str) -> str:
    """What a change does to the need that fares worst under it."""
    for row in (before, after):
        if not row.settled:
            return wording.sentence(f"{row.change}: {wording.not_settled(row, system)}")
    here = [each for each in effects if (each.change, each.condition) == (after.change, after.condition)]
    effect = min(here, key=_severity, default=None)
    if effect is None:
        return wording.sentence(f"{after.change}: no part has a need written, so nothing is judged")
    return wording.sentence(f"{after.change}: {_outcome(effect, system)}")


def _severity(effect: Effect) -> tuple[int, float]:
    """The worst verdict first, then what loses most of its flow."""
    return (wording.rank(effect.verdict_after), (effect.difference or 0) / (abs(effect.before or 0) or 1))


def _outcome(effect: Effect, system: str) -> str:
    if effect.before is None or effect.after is None:
        return f"{effect.about} {'gets' if effect.before is None else 'no longer gets'} {_known(effect, system)}"
    flows = wording.pair(effect.before, effect.after, "flow", system=system)
    change = minus(wording.difference(effect.before, effect.after, system=system))
    return f"{effect.about} {flows}, {change}, {_verdicts(effect)}"


def _known(effect: Effect, system: str) -> str:
    flow = effect.after if effect.before is None else effect.before
    return f"{wording.flow(flow, system)}, {_verdicts(effect)}"


def _verdicts(effect: Effect) -> str:
    first, last = effect.verdict_before or "no verdict", effect.verdict_after or "no verdict"
    if first == last:
        return f"{'still ' if last not in ('served', UNSETTLED) else ''}{last}"
    return f"{first} → {last}"


def to_blame(row: RowResult) -> str:
    """What takes most of the pressure in the run that fares worst; empty where all are served."""
    thing = wording.worst_thing(row)
    if thing is None or thing.verdict in wording.NOTHING_WRONG:
        return ""
    run = row.runs[thing.run if isinstance(thing, PartResult) else thing.name]
    takes = sorted(run.takes, key=lambda take: -take.share)[:2]
    shares = [f"{take.name} {100 * take.share:.0f} %" for take in takes if take.share >= 0.05]
    return f"Most of the pressure in {run.name}: {', '.join(shares)}." if shares else ""
