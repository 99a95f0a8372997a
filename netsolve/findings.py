"""Judges a solved result: verdicts, the findings that follow from them, and the rules applied."""

from __future__ import annotations

import math
from collections.abc import Iterable, Iterator, Mapping, Sequence
from dataclasses import replace

from netsolve.circuit import AS_WRITTEN, Part, Row
from netsolve.graph import NO_WAY_HELP, no_way
from netsolve.heat.needed import Needed
from netsolve.judging.needs import too_small
from netsolve.judging.seeing import seen
from netsolve.judging.verdicts import IDLE_PRESSURE, shut_before, with_verdicts
from netsolve.problems import Finding
from netsolve.result import JointResult, PartResult, Result, RowResult, Rows, RunResult
from netsolve.rule import SEVERITIES, Rule
from netsolve.units import convert, show
from netsolve.water import GRAVITY


def judge(result: Result, rules: Sequence[Rule] = (), *, system: str | None = None) -> Result:
    """The result with verdicts and findings in every row."""
    lacks: dict[tuple[str, str, str], int] = {}
    judged = Rows(len(result.rows), lambda index: _judged(result, index, rules, system or result.circuit.units, lacks))
    return replace(result, rows=judged)


def _judged(
    result: Result, index: int, rules: Sequence[Rule], system: str, lacks: dict[tuple[str, str, str], int]
) -> RowResult:
    """The row with its verdicts and findings; `lacks` remembers which row, the first looked at, has said what lacks."""
    row, state = result.rows[index], result.states[index]
    if not row.settled:
        return replace(row, findings=(_unsettled(row, system),))
    row = with_verdicts(row, state)
    small = too_small(row, state)
    row = _starved(row, small)
    shown = seen(row, state, system)
    verdicts = (_cautioned(each, state) for each in _verdict_findings(row, state, small, system))
    said = [*verdicts, *(each for rule in rules for each in rule.findings(shown))]
    heard = [each for each in said if result.circuit.limits.get(each.code) != "off" and _anew(each, index, lacks)]
    return replace(row, findings=tuple(sorted(heard, key=lambda each: SEVERITIES.index(each.severity))))


def _starved(row: RowResult, small: Iterable[str]) -> RowResult:
    """The row in which the coolers that no flow would be enough for are starved, if water runs at all."""
    parts = {name: replace(row.parts[name], verdict=row.parts[name].verdict or "starved") for name in small}
    return replace(row, parts={**row.parts, **parts})


def _cautioned(finding: Finding, state: Row) -> Finding:
    """The finding with the hazards of looking after it: hoses are opened, a cooler is hot, an exhaust stays dry."""
    part = state.parts.get(finding.about)
    run = state.runs.get(part.run if part else finding.about)
    hazards = ["flooding"]
    if part is not None and "cooler" in part.component.roles:
        hazards.append("hot")
    if run is not None and "exhaust" in state.places[run.target.joint].joint.roles:
        hazards.append("exhaust")
    return replace(finding, cautions=tuple(hazards))


def _anew(finding: Finding, index: int, lacks: dict[tuple[str, str, str], int]) -> bool:
    """Whether no other row has said that a parameter lacks."""
    return not finding.lacks or lacks.setdefault((finding.code, finding.about, finding.lacks), index) == index


def _unsettled(row: RowResult, system: str) -> Finding:
    left = row.unsettled
    if left is not None and left.joint is not None:
        message = f"{no_way(left.joint, left.flow, system)}{_when(row)}"
        return Finding("unsettled", "fault", left.joint, message, NO_WAY_HELP, abs(left.flow), None, "m3/s")
    name, amount = (left.run, left.imbalance) if left else ("", 0.0)
    left_over = show(amount, "pressure") if math.isfinite(amount) else "something that is no number"
    message = f"{row.condition} did not settle: {left_over} is left over in {name}"
    help = f"look at the parts of {name}: a curve that does not rise, or values far out of the ordinary"
    return Finding("unsettled", "fault", name, message, help, amount, None, "Pa")


BURSTING = 1e7
"""Pa: no hose, cooler or pump of such a circuit stands a hundred bar."""

_HELP = {
    "starved": "ease what takes the most, or raise the pressure where the branch begins",
    "marginal": "little is left for fouling: ease what takes the most",
    "dry": "lower its end, take out what needs opening, or raise the pressure where it begins",
    "overfed": "an orifice or a smaller hose would hold the flow down; fast water wears tubes",
}
_SEVERITY = {"starved": "fault", "marginal": "note", "overfed": "wear"}


def _verdict_findings(row: RowResult, state: Row, small: Mapping[str, Needed], system: str) -> Iterator[Finding]:
    """One for each part whose need is missed or nearly so; for a run that carries nothing, one for the run."""
    yield from _trapped(row, system)
    yield from _too_small(row, state, small, system)
    for run in row.runs.values():
        needy = [row.parts[name] for name in run.parts if _has_need(row.parts[name])]
        if run.verdict in ("reversed", "shut", "dry"):
            if needy or (run.flow is not None and not _idle(run)):
                yield _stopped_finding(row, state, run, needy, system)
            continue
        for part in needy:
            if part.verdict in _SEVERITY:
                culprit = _culprit(row, state, run)
                why = culprit[0] if culprit else blame(run)
                yield _flow_finding(row, part, state.parts[part.name], why, system)


def _trapped(row: RowResult, system: str) -> Iterator[Finding]:
    """Where water is pressed into a place that it cannot leave: no circuit of hoses stands that."""
    worst = max(row.joints.values(), key=_highest, default=None)
    if worst is None or _highest(worst) < BURSTING:
        return
    pressure = show(_highest(worst), "pressure", system=system)
    message = f"the pressure at {worst.name} would rise to {pressure}{_when(row)}: what is fed in has no way out"
    help = "open a valve beyond it, or let it out through a relief valve or a second branch"
    yield Finding("trapped", "danger", worst.name, message, help, _highest(worst), BURSTING, "Pa", "no hose stands it")


def _too_small(row: RowResult, state: Row, small: Mapping[str, Needed], system: str) -> Iterator[Finding]:
    """Where no flow of water would keep an oil at its limit."""
    for name, each in small.items():
        limit = show(each.limit, "temperature", system=system)
        held = f"{each.oil} at {limit}{' in its bursts' if each.bursts else ''}"
        message = f"no flow of water through {name} keeps {held}{_when(row)}: it passes too little heat"
        ua = show(each.ua, "conductance", system=system)
        less = "more oil, less heat at once, or colder water" if each.bursts else "less heat, or colder water"
        help = less if math.isinf(each.ua) else f"a cooler of {ua} at this flow, or less heat"
        basis = "its heat balance"
        yield Finding(
            "cooler_too_small", "fault", name, message, help, None, each.limit, "K", basis, state.parts[name].at
        )


def _highest(joint: JointResult) -> float:
    return max((abs(port.total_pressure) for port in joint.ports.values()), default=0.0)


def _when(row: RowResult) -> str:
    """` at idle`; nothing for a circuit without conditions."""
    return "" if row.condition == AS_WRITTEN else f" at {row.condition}"


def _has_need(part: PartResult) -> bool:
    return part.fitted and (part.min_flow is not None or part.max_flow is not None)


def _idle(run: RunResult) -> bool:
    """Whether a run lies between two like pressures: what moves in it, or lacks, is too little to speak of."""
    if run.verdict == "reversed" and run.flow:
        return abs(run.flow) < UNSPOKEN_FLOW
    return run.verdict != "shut" and abs(run.missing or 0.0) < IDLE_PRESSURE


def _flow_finding(row: RowResult, part: PartResult, written: Part, why: str, system: str) -> Finding:
    verdict = part.verdict or ""
    limit = (part.max_flow if verdict == "overfed" else part.min_flow) or 0.0
    flow = abs(part.flow or 0.0)
    message = f"{part.name} gets {of(flow, limit, system)}{_when(row)}: {verdict}; {why}"
    basis = "the need written for it"
    return Finding(
        verdict, _SEVERITY[verdict], part.name, message, _HELP[verdict], flow, limit, "m3/s", basis, written.at
    )


UNSPOKEN_FLOW = 1e-7
"""m3/s: below this a run that nothing needs is not spoken of."""


def of(flow: float, limit: float, system: str) -> str:
    """`4.9 of 5.7 L/min (1.3 of 1.5 gpm)`."""
    texts = []
    for each in (system, "us" if system == "metric" else "metric"):
        got, wanted = show(flow, "flow", system=each), show(limit, "flow", system=each)
        unit = got.rsplit(" ", 1)[1]
        if got == wanted:  # one is less than the other all the same
            got, wanted = (f"{convert(value, 'flow', unit):.5g} {unit}" for value in (flow, limit))
        texts.append(f"{got.rsplit(' ', 1)[0]} of {wanted}")
    return f"{texts[0]} ({texts[1]})"


def blame(run: RunResult) -> str:
    """`oil cooler takes 61 %, the lift 27 %`: the two that take most of the pressure."""
    takes = sorted(run.takes, key=lambda take: -take.pressure)[:2]
    if not takes:
        return "nothing drives it"
    first = f"{_taker(takes[0].name)} takes {100 * takes[0].share:.0f} %"
    return first if len(takes) == 1 else f"{first}, {_taker(takes[1].name)} {100 * takes[1].share:.0f} %"


def _taker(name: str) -> str:
    return f"the {name}" if name in ("lift", "back pressure", "entrance", "exit") else name


def _stopped_finding(row: RowResult, state: Row, run: RunResult, needy: list[PartResult], system: str) -> Finding:
    """Why a run carries nothing, or runs backwards."""
    about = needy[0].name if needy else run.name
    place = state.parts[needy[0].name].at if needy else state.runs[run.name].at
    culprit = _culprit(row, state, run)
    if run.verdict == "shut":
        why, help = culprit or ("nothing flows", "look for what is closed")
        severity = "fault" if needy else "note"
        return Finding("shut", severity, about, f"{run.name} is shut{_when(row)}: {why}", help, at=place)
    if run.verdict == "dry":
        source = shut_before(row, state, run)
        if source is not None:
            message = f"nothing reaches {run.name}{_when(row)}: {source} before it is shut"
            return Finding(
                "dry", "fault" if needy else "note", about, message, "open it if the water should run", at=place
            )
        why, help = culprit or (_lacks(row, run, system), _HELP["dry"])
        message = f"{run.name} is dry{_when(row)}: {why}"
        return Finding("dry", "fault", about, message, help, run.missing, None, "Pa", at=place)
    if run.flow == 0:
        message = f"{run.name} would draw air in at {run.target}{_when(row)}: {run.source} is below the pressure there"
        help = "take the branch off the pressure side of the pump, or give it a pump of its own"
        return Finding("draws_air", "fault", about, message, help, run.missing, None, "Pa", at=place)
    amount = show(abs(run.flow or 0.0), "flow", system=system, both=True)
    message = f"{run.name} runs backwards{_when(row)}: {amount} from {run.target} to {run.source}"
    help = "a check valve would stop it; look for what pushes from the other end"
    return Finding("reversed", "fault", about, message, help, run.flow, None, "m3/s", at=place)


def _culprit(row: RowResult, state: Row, run: RunResult) -> tuple[str, str] | None:
    """What in a run stops it, as a phrase and its cure: a pump that stands, a valve closed or turned about."""
    if state.runs[run.name].blanked:
        return "it is blanked", "open it if the water should run"
    for name in run.parts:
        part = row.parts[name]
        if not part.fitted:
            continue
        if part.status == "stopped":
            return f"{name} stands still", "start it if the water should run"
        if part.status == "backwards":
            return f"{name} is fitted backwards", "turn it round"
        if bool(state.parts[name].component.closed()):
            return f"{name} is closed", "open it if the water should run"
    return None


def _lacks(row: RowResult, run: RunResult, system: str) -> str:
    """How much pressure is missing, also as a height of water, and what asks for most of it."""
    lacking = max(run.missing or 0.0, 0.0)
    column = show(lacking / (row.water_density * GRAVITY), "length", system=system)
    amount = f"{show(lacking, 'pressure', system=system, both=True)}, or {column} of water, are missing"
    top = max(run.takes, key=lambda take: take.pressure, default=None)
    return f"{amount}; {_taker(top.name)} asks for the most" if top else amount


def with_limits(rules: Sequence[type[Rule]], limits: Mapping[str, object]) -> list[Rule]:
    """The rules with the thresholds of the circuit file; those that it silences are left out."""
    made = []
    for rule in rules:
        limit = limits.get(rule.code)
        if limit == "off":
            continue
        settings = limit if isinstance(limit, Mapping) else {} if limit is None else {"limit": limit}
        made.append(rule.model_validate(dict(settings)))
    return made
