"""One further row of a circuit, solved and with its verdicts."""

from __future__ import annotations

from collections.abc import Mapping

from netsolve.answer import answer
from netsolve.assemble import assemble
from netsolve.circuit import Circuit
from netsolve.findings import judge
from netsolve.result import RowResult
from netsolve.warmed import solve_rows


def row_at(circuit: Circuit, condition: str, change: str, settings: Mapping[str, str]) -> RowResult:
    """The row of a condition and a change with further settings, as text."""
    warmed = solve_rows(assemble([circuit.row(condition, change, settings)]))
    row: RowResult = judge(answer(circuit, *warmed)).rows[0]
    return row
