"""An answer as tables for a terminal of 80 columns. User text goes in as plain text, never as markup."""

from __future__ import annotations

from collections.abc import Iterator, Sequence
from typing import TYPE_CHECKING, Any

from netsolve import units
from netsolve.circuit import AS_FOUND, Assumed
from netsolve.problems import Finding, printable
from netsolve.result import PartResult, Result, RowResult, RunResult
from netsolve.study.comparison import UNSETTLED, Effect
from netsolve.views import wording
from netsolve.views.values import shown

if TYPE_CHECKING:
    from rich.console import RenderableType
    from rich.table import Table
    from rich.text import Text

_STYLES = {
    "reversed": "bold magenta",
    "shut": "bold",
    "dry": "bold red",
    "starved": "bold red",
    "marginal": "yellow",
    "overfed": "bold cyan",
    "served": "green",
    UNSETTLED: "bold red",
    "danger": "bold red",
    "fault": "bold red",
    "wear": "yellow",
}
_KINDS_BY_UNIT = {
    "m": "length",
    "Pa": "pressure",
    "m3/s": "flow",
    "m/s": "velocity",
    "rad": "angle",
    "K": "temperature",
}


def solve_table(result: Result, system: str, *, show: Sequence[tuple[str, ...]] = ()) -> RenderableType:
    """Every row of a result: what each need gets, each run's flow, findings; then assumed values and notes.

    `show` names more values, each as (part or run, field) or (joint, port, field). Raises KeyError for one
    that a settled row does not have.
    """
    from rich.console import Group

    lines: list[RenderableType] = [_summary(result, system)]
    for row in result:
        lines += [_plain(""), *_row(row, system, show)]
    lines += _afterwards(result, system)
    return Group(*lines)


def compare_table(effects: Sequence[Effect], system: str) -> RenderableType:
    """What each change does to each need: the flow before and after, the signed difference, the verdicts."""
    from rich.console import Group

    if not effects:
        return _plain("No change, or no part with a need, to compare.")
    lines: list[RenderableType] = []
    for change in dict.fromkeys(effect.change for effect in effects):
        lines += [_plain("") if lines else _plain("Against as found, before → after"), _plain(change, "bold")]
        table = _grid(("condition", 11), ("part", 16), ("flow", 17), ("difference", 19), ("verdict", 11))
        for effect in effects:
            if effect.change == change:
                table.add_row(*_effect(effect, system))
        lines.append(table)
    return Group(*lines)


def _plain(words: str, style: str = "") -> Text:
    """The words as they are, on lines that fold at the edge."""
    from rich.text import Text

    return Text(printable(words), style=style, overflow="fold")


def _grid(*columns: tuple[str, int]) -> Table:
    """A table without frame whose columns stand alike in every group; a head in faint letters."""
    from rich.table import Table

    table = Table(box=None, padding=(0, 1, 0, 0), pad_edge=False, header_style="dim", show_edge=False)
    for name, width in columns:
        table.add_column(name, width=width, overflow="fold")
    return table


def _summary(result: Result, system: str) -> Text:
    """How many rows are in trouble or have no answer, and the worst of them, as found first."""
    from rich.text import Text

    head = Text(printable(result.circuit.name), style="bold")
    settled = [row for row in result if row.settled]
    missed = [row for row in settled if wording.worst(row) < wording.rank("marginal")]
    count = "1 row" if len(result.rows) == 1 else f"{len(result.rows)} rows"
    said = f"trouble in {len(missed)} of {count}" if missed else f"{count}, none in trouble"
    unanswered = len(result.rows) - len(settled)
    said += f", {unanswered} not settled" if unanswered else ""
    head += Text(f"\n{said}")
    if not missed:
        return head
    worst = min(missed, key=lambda row: (row.change != AS_FOUND, wording.worst(row)))
    words = f"{wording.situation(worst)}: {_worst_thing(worst, system)}"
    return head + Text("\nthe worst: ") + Text(printable(words), style="bold red")


def _worst_thing(row: RowResult, system: str) -> str:
    thing = wording.worst_thing(row)
    if thing is None:
        return ""
    wanted = wording.need(thing, system, both=False) if isinstance(thing, PartResult) else ""
    flow = wording.flow(thing.flow, system, both=False)
    return f"{thing.name} {wording.word(thing.verdict)}, {flow}{f', needs {wanted}' if wanted else ''}"


def _row(row: RowResult, system: str, show: Sequence[tuple[str, ...]]) -> Iterator[RenderableType]:
    yield _plain(wording.situation(row), "bold underline")
    if not row.settled:
        yield _indented("NOT SETTLED: ", wording.sentence(wording.not_settled(row, system)), _STYLES[UNSETTLED])
    else:
        yield from _judged(row, system)
        flows = [f"{run.name} {_run_flow(run, system)}" for run in row.runs.values()]
        yield _indented("runs: ", ", ".join(flows))
        for path in show:
            yield _indented(f"{'.'.join(path)}: ", shown(row, path, system))
    for finding in row.findings:
        if finding.code != UNSETTLED:  # said above
            yield from _finding(finding)


def _run_flow(run: RunResult, system: str) -> str:
    return "shut" if run.verdict == "shut" else wording.flow(run.flow, system, both=False)


def _judged(row: RowResult, system: str) -> Iterator[RenderableType]:
    """A line for each need, and for each run whose verdict none of its needs has said."""
    table = _grid(("verdict", 9), ("part or run", 20), ("flow", 22), ("need", 25))
    needed = wording.needy(row)
    for part in needed:
        table.add_row(_verdict(part.verdict), _plain(part.name), _flow(part, system), _need(part, system))
    for run in row.runs.values():
        said = any(part.run == run.name and part.verdict == run.verdict for part in needed)
        if run.verdict in (*wording.NOTHING_WRONG, "shut") or said:
            continue
        short = "" if run.missing is None else f"{units.show(run.missing, 'pressure', system=system)} missing"
        table.add_row(_verdict(run.verdict), _plain(run.name), _flow(run, system), _plain(short))
    if table.row_count:
        yield table


def _flow(thing: PartResult | RunResult, system: str) -> Text:
    return _plain(wording.flow(thing.flow, system))


def _line_break() -> Text:
    from rich.text import Text

    return Text("\n")


def _need(part: PartResult, system: str) -> Text:
    bounds = (("≥", part.min_flow), ("≤", part.max_flow))
    wanted = [f"{sign} {wording.flow(value, system)}" for sign, value in bounds if value is not None]
    return _line_break().join(_plain(each) for each in wanted)


def _verdict(verdict: str | None) -> Text:
    return _plain(wording.word(verdict), _STYLES.get(verdict or "", ""))


def _indented(label: str, words: str, style: str = "") -> RenderableType:
    """A labelled sentence whose further lines stand under its first."""
    from rich.padding import Padding
    from rich.table import Table

    table = Table.grid(padding=0)
    table.add_column(no_wrap=len(label) < 30, overflow="fold")
    table.add_column(overflow="fold")
    table.add_row(_plain(label, style or "dim"), _plain(words))
    return Padding(table, (0, 0, 0, 2))


def _finding(finding: Finding) -> Iterator[RenderableType]:
    yield _indented(f"{finding.severity}: ", wording.said(finding), _STYLES.get(finding.severity, "bold"))
    if finding.help:
        yield _indented("  help: ", finding.help)


def _afterwards(result: Result, system: str) -> Iterator[RenderableType]:
    """The values in use that nobody wrote, and the notes on the file."""
    if result.circuit.assumed:
        yield _plain("")
        yield _plain("assumed, because the file does not say", "bold underline")
        for each in result.circuit.assumed:
            yield _indented(f"{each.part}.{each.parameter} = {_assumed(each, system)}  ", f"({each.source})")
    if result.circuit.notes:
        yield _plain("")
        yield _plain("notes", "bold underline")
    for note in result.circuit.notes:
        place = f" ({note.at})" if note.at else ""
        yield _indented("note: ", f"{note.message}{place}")
        if note.help:
            yield _indented("  help: ", note.help)


def _assumed(assumed: Assumed, system: str) -> str:
    value: Any = assumed.value
    if isinstance(value, bool):
        return "yes" if value else "no"
    if not isinstance(value, float | int):
        return str(value)
    kind = _KINDS_BY_UNIT.get(assumed.unit)
    return units.show(value, kind, system=system) if kind else f"{value:.4g} {assumed.unit}".strip()


def _effect(effect: Effect, system: str) -> tuple[Text, ...]:
    if effect.before is None or effect.after is None:
        states = [
            _state(value, verdict, system)
            for value, verdict in (
                (effect.before, effect.verdict_before),
                (effect.after, effect.verdict_after),
            )
        ]
        unsettled = UNSETTLED in (effect.verdict_before, effect.verdict_after)
        flow, difference = " → ".join(states), "unknown" if unsettled else ""
    else:
        flow = wording.pair(effect.before, effect.after, "flow", system=system)
        difference = wording.difference(effect.before, effect.after, system=system)
    return (
        _plain(effect.condition),
        _plain(effect.about),
        _plain(flow),
        _plain(difference),
        _verdicts(effect),
    )


def _state(flow: float | None, verdict: str | None, system: str) -> str:
    if verdict == UNSETTLED:
        return "not settled"
    return "not fitted" if flow is None else wording.flow(flow, system, both=False)


def _verdicts(effect: Effect) -> Text:
    first, last = (
        _verdict(each) if each else _plain("none") for each in (effect.verdict_before, effect.verdict_after)
    )
    if effect.verdict_before == effect.verdict_after:
        return last
    return first + _plain(" → ") + last
