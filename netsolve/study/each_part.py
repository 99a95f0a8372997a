"""Every part taken out in turn, and every part that is not fitted put in: what each gives or costs a need."""

from __future__ import annotations

from collections.abc import Iterator
from dataclasses import dataclass, replace

from netsolve.circuit import AS_FOUND, Circuit, Row
from netsolve.result import Result, RowResult

MOST_STATES = 2_000_000
"""Most parts times rows."""


@dataclass(frozen=True, slots=True)
class Worth:
    """What one part does to the flow of a need's run in one condition, m3/s; None where a row has no answer.

    `put_in` says that the part is not fitted as found, and `verdict` is the need's without the part, or with it.
    """

    part: str
    put_in: bool
    condition: str
    before: float | None
    after: float | None
    verdict: str | None

    @property
    def difference(self) -> float | None:
        """What taking it out, or putting it in, adds to the flow."""
        return None if self.before is None or self.after is None else self.after - self.before


def turned(circuit: Circuit) -> Circuit:
    """The circuit with a change for each part, named after it: the part taken out, or put in.

    ValueError where that is too much at once.
    """
    as_found = [row for row in circuit.rows if row.change == AS_FOUND]
    names = tuple(name for name in circuit.as_found.parts if not circuit.as_found.runs[_run(circuit, name)].blanked)
    if len(as_found) * (len(names) + 1) * len(circuit.as_found.parts) > MOST_STATES:
        raise ValueError(f"{len(names)} parts in {len(as_found)} conditions are too many to take out in turn")
    rows = [*as_found, *(_turned(row, name) for name in names for row in as_found)]
    return replace(circuit, rows=tuple(rows), changes=(AS_FOUND, *names))


def _run(circuit: Circuit, part: str) -> str:
    return circuit.as_found.parts[part].run


def _turned(row: Row, name: str) -> Row:
    part = row.parts[name]
    return replace(row, change=name, parts={**row.parts, name: replace(part, fitted=not part.fitted)})


def worth(result: Result, need: str) -> tuple[Worth, ...]:
    """What each part of a `turned` circuit does to a need, the most helpful first in the hardest condition.

    The need's own run is looked at, so that the part with the need has its price too.
    """
    found = list(_worths(result, need))
    hardest = hardest_condition(result, need)

    def rank(each: Worth) -> tuple[bool, float]:
        return (each.difference is None, -(each.difference or 0.0))

    order = [each.part for each in sorted((each for each in found if each.condition == hardest), key=rank)]
    return tuple(
        sorted(found, key=lambda each: (order.index(each.part), result.circuit.conditions.index(each.condition)))
    )


def _worths(result: Result, need: str) -> Iterator[Worth]:
    run = result.circuit.as_found.parts[need].run
    found = {row.condition: row for row in result if row.change == AS_FOUND}
    for row in result:
        if row.change == AS_FOUND:
            continue
        put_in = not result.circuit.as_found.parts[row.change].fitted
        verdict = row.parts[need].verdict if row.settled else "unsettled"
        yield Worth(row.change, put_in, row.condition, _flow(found[row.condition], run), _flow(row, run), verdict)


def _flow(row: RowResult, run: str) -> float | None:
    return (row.runs[run].flow or 0.0) if row.settled else None


def hardest_condition(result: Result, need: str) -> str:
    """The condition in which the need, as found, gets the smallest part of what it wants."""
    rows = [row for row in result if row.change == AS_FOUND and row.settled]
    return min(rows, key=lambda row: _served(row, need)).condition if rows else result.circuit.conditions[0]


def _served(row: RowResult, need: str) -> float:
    part = row.parts[need]
    return (part.flow or 0.0) / part.min_flow if part.min_flow else part.flow or 0.0


def worst_need(result: Result) -> str | None:
    """The part with a `min_flow` that gets the smallest part of it in any condition; None where nothing has one."""
    rows = [row for row in result if row.change == AS_FOUND and row.settled]
    wanting = [(_served(row, name), name) for row in rows for name, part in row.parts.items() if part.min_flow]
    return min(wanting)[1] if wanting else None
