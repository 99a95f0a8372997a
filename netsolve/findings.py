"""Judges a solved result: verdicts, the findings that follow from them, and the rules applied."""

from __future__ import annotations

from collections.abc import Iterable, Iterator, Mapping, Sequence
from dataclasses import replace

from netsolve.assemble import bore_at
from netsolve.circuit import End, Part, Row
from netsolve.component import NO_FLOW, Opening
from netsolve.problems import Finding
from netsolve.result import VERDICTS, PartResult, Result, RowResult, Rows, RunResult
from netsolve.rule import SEVERITIES, Rule, SeenPart, SeenRow, SeenRun, Spot
from netsolve.units import show
from netsolve.water import GRAVITY

MARGIN = 0.15
"""Marginal is within this of the least flow."""

AIR_TIGHT = 1.0
"""Pa below the pressure outside at which air is said to come in."""


def judge(result: Result, rules: Sequence[Rule] = (), *, system: str | None = None) -> Result:
    """The result with verdicts and findings in every row."""
    judged = Rows(len(result.rows), lambda index: _judged(result, index, rules, system or result.circuit.units))
    return replace(result, rows=judged)


def _judged(result: Result, index: int, rules: Sequence[Rule], system: str) -> RowResult:
    row, state = result.rows[index], result.states[index]
    if not row.settled:
        return replace(row, findings=(_unsettled(row),))
    missing = {name: _missing(row, state, run) for name, run in row.runs.items()}
    runs: dict[str, RunResult] = {}
    parts: dict[str, PartResult] = {}
    for name, run in row.runs.items():
        stopped = _stopped(row, state, run)
        judged = {each: _part_verdict(row.parts[each], run.flow, stopped) for each in run.parts}
        parts |= {each: replace(row.parts[each], verdict=verdict) for each, verdict in judged.items()}
        verdict = stopped or worst(judged.values())
        lacking = missing[name] if verdict == "dry" or _draws_air(row, state, run) else None
        runs[name] = replace(run, verdict=verdict, missing=lacking)
    row = replace(row, runs=runs, parts={name: parts[name] for name in row.parts})
    seen = _seen(row, state, system)
    said = [*_verdict_findings(row, state, system), *(each for rule in rules for each in rule.findings(seen))]
    return replace(row, findings=tuple(sorted(said, key=lambda each: SEVERITIES.index(each.severity))))


def worst(verdicts: Iterable[str | None]) -> str | None:
    """The worst of the verdicts, or None where there is none."""
    given = [verdict for verdict in verdicts if verdict is not None]
    return min(given, key=VERDICTS.index, default=None)


def _stopped(row: RowResult, state: Row, run: RunResult) -> str | None:
    """Whether the run as a whole is reversed, shut or dry."""
    if state.runs[run.name].blanked or run.flow is None:
        return "shut"
    if run.flow < 0 and not state.runs[run.name].either:
        return "reversed"
    if run.flow:
        return None
    if any(state.parts[name].fitted and bool(state.parts[name].component.closed()) for name in run.parts):
        return "shut"
    return "reversed" if _draws_air(row, state, run) else "dry"


def _draws_air(row: RowResult, state: Row, run: RunResult) -> bool:
    """Whether air would come in at an open end: the pressure where the run begins is below that outside."""
    place = state.places[state.runs[run.name].target.joint]
    if run.flow is None or run.flow != 0 or not isinstance(place.joint, Opening) or not bool(place.joint.one_way()):
        return False
    start, stop = state.runs[run.name].source, state.runs[run.name].target
    inside = row.joints[start.joint].ports[start.port].total_pressure
    return inside < row.joints[stop.joint].ports[stop.port].total_pressure - AIR_TIGHT


def _missing(row: RowResult, state: Row, run: RunResult) -> float | None:
    """What the pressure lacks to move the least flow, Pa.

    The drop of the dry runs at that flow + what lies beyond - the total pressure at the last joint that has water.
    """
    if run.flow != 0:
        return None
    chain = [run.name]
    while not _has_water(row, state.runs[chain[0]].source.joint):
        before = state.runs[chain[0]].source.joint
        feeding = [each.name for each in state.runs.values() if each.target.joint == before and row.runs[each.name].flow == 0]
        if len(feeding) != 1 or feeding[0] in chain:
            break
        chain.insert(0, feeding[0])
    asked = sum(_at_threshold(state, name) for name in chain)
    return _level(row, state, state.runs[run.name].target) + asked - _level(row, state, state.runs[chain[0]].source)


def _has_water(row: RowResult, joint: str) -> bool:
    return any(port.flow for port in row.joints[joint].ports.values())


def _at_threshold(state: Row, run: str) -> float:
    """The drop of a run's parts at the flow that counts as none."""
    parts = (state.parts[name] for name in state.runs[run].parts)
    return sum(part.count * float(part.component.pressure_drop(NO_FLOW, state.water)) for part in parts if part.fitted)


def _level(row: RowResult, state: Row, end: End) -> float:
    """Total pressure + ρ g z at the end of a run."""
    total = row.joints[end.joint].ports[end.port].total_pressure
    return total + float(state.water.density) * GRAVITY * (state.places[end.joint].height or 0.0)


def _part_verdict(part: PartResult, flow: float | None, stopped: str | None) -> str | None:
    if not part.fitted:
        return None
    if stopped is not None:
        return stopped
    if part.min_flow is None and part.max_flow is None:
        return None
    amount = abs(flow or 0.0)
    if part.min_flow is not None and amount < part.min_flow:
        return "starved"
    if part.max_flow is not None and amount > part.max_flow:
        return "overfed"
    if part.min_flow is not None and amount < part.min_flow * (1 + MARGIN):
        return "marginal"
    return "served"


def _unsettled(row: RowResult) -> Finding:
    left = row.unsettled
    name, amount = (left.run, left.imbalance) if left else ("", 0.0)
    message = f"{row.condition} did not settle: {show(amount, 'pressure')} is left over in '{name}'"
    help = f"look at the parts of '{name}': a curve that does not rise, or values far out of the ordinary"
    return Finding("unsettled", "fault", name, message, help, amount, None, "Pa")


_SEVERITY = {"reversed": "fault", "shut": "fault", "dry": "fault", "starved": "fault", "marginal": "note", "overfed": "wear"}


def _verdict_findings(row: RowResult, state: Row, system: str) -> Iterator[Finding]:
    """One for each part whose need is missed or nearly so; for a run that carries nothing, one for the run."""
    for run in row.runs.values():
        needy = [row.parts[name] for name in run.parts if _has_need(row.parts[name])]
        if run.verdict in ("reversed", "shut", "dry"):
            yield _stopped_finding(row, state, run, needy, system)
            continue
        for part in needy:
            if part.verdict in ("starved", "marginal", "overfed"):
                yield _flow_finding(row, run, part, state.parts[part.name], system)


def _has_need(part: PartResult) -> bool:
    return part.fitted and (part.min_flow is not None or part.max_flow is not None)


def _flow_finding(row: RowResult, run: RunResult, part: PartResult, written: Part, system: str) -> Finding:
    verdict = part.verdict or ""
    limit = (part.max_flow if verdict == "overfed" else part.min_flow) or 0.0
    flow = abs(part.flow or 0.0)
    amounts = of(flow, limit, system)
    message = f"'{part.name}' gets {amounts} at {row.condition}: {verdict}; {blame(run)}"
    help = _HELP[verdict]
    return Finding(verdict, _SEVERITY[verdict], part.name, message, help, flow, limit, "m3/s", "the need written for it", written.at)


_HELP = {
    "starved": "ease what takes the most, or raise the pressure where the branch begins",
    "marginal": "little is left for fouling: ease what takes the most",
    "overfed": "an orifice or a smaller hose would hold the flow down; fast water wears tubes",
}


def of(flow: float, limit: float, system: str) -> str:
    """`4.9 of 5.7 L/min (1.3 of 1.5 gpm)`."""
    texts = []
    for each in (system, "us" if system == "metric" else "metric"):
        got, unit = show(flow, "flow", system=each).rsplit(" ", 1)
        texts.append(f"{got} of {show(limit, 'flow', system=each).rsplit(' ', 1)[0]} {unit}")
    return f"{texts[0]} ({texts[1]})"


def blame(run: RunResult) -> str:
    """`oil cooler takes 61 %, the lift 27 %`: the two that take most of the pressure."""
    takes = sorted(run.takes, key=lambda take: -take.pressure)[:2]
    if not takes:
        return "nothing drives it"
    named = [("the " if take.name in ("lift", "back pressure") else "") + _quoted(take.name) for take in takes]
    first = f"{named[0]} takes {100 * takes[0].share:.0f} %"
    return first if len(takes) == 1 else f"{first}, {named[1]} {100 * takes[1].share:.0f} %"


def _quoted(name: str) -> str:
    return name if name in ("lift", "back pressure") or name.startswith("end at ") else f"'{name}'"


def _stopped_finding(row: RowResult, state: Row, run: RunResult, needy: list[PartResult], system: str) -> Finding:
    about = needy[0].name if needy else run.name
    place = state.parts[needy[0].name].at if needy else state.runs[run.name].at
    severity = "note" if run.verdict == "shut" and not needy else "fault"
    code, message, help, value, unit = run.verdict or "", "", "", None, ""
    if run.verdict == "shut":
        message = f"'{run.name}' is shut at {row.condition}: {_shut_by(state, run)}"
        help = "open it if the water should run"
    elif run.verdict == "dry":
        value, unit = run.missing, "Pa"
        message = f"'{run.name}' is dry at {row.condition}: {_lacks(row, run, system)}"
        help = "lower the discharge, take out what needs opening, or raise the pressure where it begins"
    elif run.flow == 0:
        code, value, unit = "draws_air", run.missing, "Pa"
        message = f"'{run.name}' would draw air in at '{run.target}' at {row.condition}: the pressure at '{run.source}' is below that outside"
        help = "take the branch off the pressure side of the pump, or put its discharge under water behind a check valve"
    else:
        value, unit = run.flow, "m3/s"
        amount = show(abs(run.flow or 0.0), "flow", system=system, both=True)
        message = f"'{run.name}' runs backwards at {row.condition}: {amount} from '{run.target}' to '{run.source}'"
        help = "a check valve would stop it; look for what pushes from the other end"
    return Finding(code, severity, about, message, help, value, None, unit, "", place)


def _shut_by(state: Row, run: RunResult) -> str:
    if state.runs[run.name].blanked:
        return "the run is blanked"
    closed = [n for n in run.parts if state.parts[n].fitted and bool(state.parts[n].component.closed())]
    return f"'{closed[0]}' is closed" if closed else "nothing flows"


def _lacks(row: RowResult, run: RunResult, system: str) -> str:
    """How much pressure is missing, also as a height of water, and what it would have to overcome."""
    lacking = max(run.missing or 0.0, 0.0)
    height = lacking / (row.water_density * GRAVITY)
    amount = f"{show(lacking, 'pressure', system=system, both=True)}, or {show(height, 'length', system=system)} of water, are missing"
    top = max(run.takes, key=lambda take: take.pressure, default=None)
    return f"{amount}; most is asked by {('the ' if top.name == 'lift' else '')}{_quoted(top.name)}" if top else amount


def _seen(row: RowResult, state: Row, system: str) -> SeenRow:
    """The row as rules see it: runs that are not blanked, with their fitted parts."""
    runs = []
    for run in row.runs.values():
        if run.flow is not None:
            parts = tuple(_seen_part(row.parts[name], state) for name in run.parts if row.parts[name].fitted)
            runs.append(SeenRun(run.name, run.source, run.target, run.flow, parts))
    return SeenRow(row.condition, row.change, system, tuple(runs))


def _seen_part(part: PartResult, state: Row) -> SeenPart:
    written = state.parts[part.name]
    height = part.height or 0.0
    inlet = Spot(part.inlet_pressure, height, bore_at(state, part.name, outlet=False))
    outlet = Spot(part.outlet_pressure, height, bore_at(state, part.name, outlet=True))
    roles = written.component.roles
    return SeenPart(part.name, part.type, part.run, roles, part.flow or 0.0, part.velocity, inlet, outlet, written.at)


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
