"""What a picture shows: one row of a result, the row that it is set against, and the sentence on top."""

from __future__ import annotations

from dataclasses import dataclass, replace

from netsolve.circuit import AS_FOUND, Circuit, Row
from netsolve.result import JointResult, PartResult, Result, RowResult, RunResult
from netsolve.study.comparison import UNSETTLED, compare
from netsolve.views import headline, wording


@dataclass(frozen=True)
class Scene:
    """One row, the row as found where a change is drawn, and the finding in a sentence."""

    circuit: Circuit
    row: RowResult
    before: RowResult | None
    title: str
    system: str

    def changed(self) -> frozenset[str]:
        """The names of the parts whose own settings the change has altered."""
        if self.before is None:
            return frozenset()
        first, last = written_row(self.circuit, self.before), written_row(self.circuit, self.row)
        if first is None or last is None:
            return frozenset()
        alike = ("type", "component", "count", "height")
        return frozenset(
            name
            for name, part in last.parts.items()
            if name in first.parts and any(getattr(part, key) != getattr(first.parts[name], key) for key in alike)
        )


def scene(result: Result, *, condition: str | None = None, change: str | None = None, system: str = "metric") -> Scene:
    """The row asked for, or the worst; a change is set against `as found`.

    Raises KeyError where the result has no such row.
    """
    row = _chosen(result, condition, change)
    before = as_found(result, row)
    if before is None:
        title = headline.of_row(row, system=system)
    else:
        title = headline.of_change(before, row, compare(result), system=system)
        before = _drawable(result.circuit, before)
    return Scene(result.circuit, _drawable(result.circuit, row), before, title, system)


def bare(circuit: Circuit) -> Scene:
    """The circuit as written, before anything is solved: without numbers and verdicts."""
    first = circuit.as_found
    blank = RowResult(first.condition, first.change, False, 0, 0.0, 0.0, {}, {}, {})
    row = _drawable(circuit, blank)
    runs = {name: replace(run, verdict=None) for name, run in row.runs.items()}
    return Scene(circuit, replace(row, runs=runs), None, f"{circuit.name}, as written", circuit.units)


def _chosen(result: Result, condition: str | None, change: str | None) -> RowResult:
    if condition is not None and change is not None:
        return result[condition, change]
    wanted = change or next((row.change for row in result if row.change == AS_FOUND), None)
    rows = [row for row in result if condition in (None, row.condition) and wanted in (None, row.change)]
    if not rows:
        raise KeyError(f"no row of condition '{condition or 'any'}' and change '{change or 'any'}'")
    return min(rows, key=wording.worst)


def as_found(result: Result, row: RowResult) -> RowResult | None:
    """The row as found of the same condition; None for one that is as found itself, and where there is none."""
    if row.change == AS_FOUND:
        return None
    return next((each for each in result if (each.condition, each.change) == (row.condition, AS_FOUND)), None)


def written_row(circuit: Circuit, row: RowResult) -> Row | None:
    """What is fitted, set and open in a row, as the circuit has it."""
    return next((each for each in circuit.rows if (each.condition, each.change) == (row.condition, row.change)), None)


def _drawable(circuit: Circuit, row: RowResult) -> RowResult:
    """The row, or for an unsettled one the same with all that is written, without numbers."""
    written = written_row(circuit, row)
    if row.settled or written is None:
        return row
    runs = {
        name: RunResult(name, str(run.source), str(run.target), run.parts, verdict=UNSETTLED)
        for name, run in written.runs.items()
    }
    parts = {name: PartResult(name, part.type, part.run, part.fitted) for name, part in written.parts.items()}
    joints = {name: JointResult(name, place.type, place.height, None, {}) for name, place in written.places.items()}
    return replace(row, runs=runs, parts=parts, joints=joints)
