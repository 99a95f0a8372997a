"""An answer as tables for a terminal of 80 columns. User text goes in as plain text, never as markup."""

from __future__ import annotations

from collections.abc import Iterator, Sequence
from typing import TYPE_CHECKING

from netsolve import units
from netsolve.circuit import AS_FOUND
from netsolve.problems import Finding
from netsolve.result import PartResult, Result, RowResult, RunResult
from netsolve.study.comparison import UNSETTLED
from netsolve.views import gathered, wording
from netsolve.views.gathered import gathered_lines, of_the_row
from netsolve.views.prose import STYLES, Sentence, grid, plain, verdict
from netsolve.views.provenance import assumed_lines
from netsolve.views.values import shown

if TYPE_CHECKING:
    from rich.console import RenderableType
    from rich.text import Text


def solve_table(result: Result, system: str, *, show: Sequence[tuple[str, ...]] = ()) -> RenderableType:
    """Every row of a result: what each need gets, each run's flow, findings; then assumed values and notes.

    `show` names more values, each as (part or run, field) or (joint, port, field). Raises KeyError for one
    that a settled row does not have.
    """
    from rich.console import Group

    lines: list[RenderableType] = [_summary(result, system)]
    closed = _shut_as_written(result)
    for row in result:
        lines += [plain(""), *_row(row, system, show=show, closed=closed)]
    lines += _afterwards(result, system)
    return Group(*lines)


def _shut_as_written(result: Result) -> frozenset[str]:
    """The runs that are blanked in the file: nobody needs to hear under every row that they are shut."""
    runs = result.circuit.as_found.runs if result.circuit.rows else {}
    return frozenset(name for name, run in runs.items() if run.blanked)


def _summary(result: Result, system: str) -> RenderableType:
    """How many rows are in trouble or have no answer, and the worst of them, as found first."""
    from rich.console import Group

    missed, said = wording.missed(result), wording.trouble(result)
    objections = gathered.count(result)
    said += f"; the rules object to {objections}, below" if objections else ""
    head = (plain(result.circuit.name, "bold"), plain(said))
    if not missed:
        return Group(*head)
    worst = min(missed, key=lambda row: (row.change != AS_FOUND, wording.worst(row)))
    words = f"{wording.situation(worst)}: {_worst_thing(worst, system)}"
    return Group(*head, Sentence("the worst: ", words, style="", words_style="bold red", indent=0))


def _worst_thing(row: RowResult, system: str) -> str:
    thing = wording.worst_thing(row)
    if thing is None:
        return ""
    wanted = wording.need(thing, system, both=False) if isinstance(thing, PartResult) else ""
    flow = wording.flow(thing.flow, system, both=False)
    return f"{thing.name} {wording.word(thing.verdict)}, {flow}{f', needs {wanted}' if wanted else ''}"


def _row(
    row: RowResult, system: str, *, show: Sequence[tuple[str, ...]], closed: frozenset[str]
) -> Iterator[RenderableType]:
    yield plain(wording.situation(row), "bold underline")
    if not row.settled:
        yield Sentence("NOT SETTLED: ", wording.sentence(wording.not_settled(row, system)), STYLES[UNSETTLED])
    else:
        yield from _judged(row, system)
        runs = [run for run in row.runs.values() if run.flow is not None or run.name not in closed]
        flows = [f"{run.name} {_run_flow(run, system)}" for run in runs]
        yield Sentence("runs: ", ", ".join(flows))
        for path in show:
            yield Sentence(f"{'.'.join(path)}: ", shown(row, path, system))
    for finding in row.findings:
        if of_the_row(finding) and finding.code != UNSETTLED:  # that is said above, and what rules say below
            yield from _finding(finding)


def _run_flow(run: RunResult, system: str) -> str:
    return "shut" if run.verdict == "shut" else wording.flow(run.flow, system, both=False)


def _judged(row: RowResult, system: str) -> Iterator[RenderableType]:
    """A line for each need, and for each run whose verdict none of its needs has said."""
    table = grid(("verdict", 9), ("part or run", 20), ("flow", 22), ("need", 25))
    needed = wording.needy(row)
    for part in needed:
        table.add_row(verdict(part.verdict), plain(part.name), _flow(part, system), _need(part, system))
    for run in row.runs.values():
        said = any(part.run == run.name and part.verdict == run.verdict for part in needed)
        if run.verdict in (*wording.NOTHING_WRONG, "shut") or said:
            continue
        table.add_row(verdict(run.verdict), plain(run.name), _flow(run, system), plain(_missing(run, system)))
    if table.row_count:
        yield table


def _missing(run: RunResult, system: str) -> str:
    """The pressure that a dry run lacks; nothing where it lacks only water, since a run before it is shut."""
    amount = "" if run.missing is None else units.show(run.missing, "pressure", system=system)
    return f"{amount} missing" if amount and not amount.startswith("0 ") else ""


def _flow(thing: PartResult | RunResult, system: str) -> Text:
    return plain(wording.flow(thing.flow, system))


def _line_break() -> Text:
    from rich.text import Text

    return Text("\n")


def _need(part: PartResult, system: str) -> Text:
    bounds = (("≥", part.min_flow), ("≤", part.max_flow))
    wanted = [f"{sign} {wording.flow(value, system)}" for sign, value in bounds if value is not None]
    if not wanted:
        return plain("no flow would do")
    return _line_break().join(plain(each) for each in wanted)


def _finding(finding: Finding) -> Iterator[RenderableType]:
    yield Sentence(f"{finding.severity}: ", wording.said(finding), STYLES.get(finding.severity, "bold"))
    if finding.help:
        yield Sentence("  help: ", finding.help)


def _afterwards(result: Result, system: str) -> Iterator[RenderableType]:
    """The values in use that nobody wrote, and the notes on the file."""
    yield from gathered_lines(result)
    assumed = [Sentence("", words) for words in assumed_lines(result, system)]
    if assumed:
        yield plain("")
        yield plain("assumed, because the file does not say", "bold underline")
        yield from assumed
    silenced = [code for code, limit in result.circuit.limits.items() if limit == "off"]
    if silenced:
        yield plain("")
        yield Sentence("not looked for, because limits has them off: ", ", ".join(silenced), indent=0)
    if result.circuit.notes:
        yield plain("")
        yield plain("notes", "bold underline")
    for note in result.circuit.notes:
        place = f" ({note.at})" if note.at else ""
        yield Sentence("note: ", f"{note.message}{place}")
        if note.help:
            yield Sentence("  help: ", note.help)
