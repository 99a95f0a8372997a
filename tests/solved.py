"""Solves a circuit that stands in a test as text."""

from __future__ import annotations

import netsolve
from netsolve.result import RowResult

KILO = 1e3
LITRE = 1e-3
"""m3, or m3/s for a flow in L/s."""

PLAIN_WATER = "{kind: custom, density: 1000 kg/m3, viscosity: 1 mPa.s}"
"""For circuits whose losses do not depend on the water."""


def solved(body: str, *, water: str = PLAIN_WATER, change: str = "as found") -> RowResult:
    """The one row of a circuit that is written without its head, under a change; it must have settled."""
    circuit = netsolve.loads(f"format: 1\ncircuit: of a test\nwater: {water}\n{body}")
    (row,) = netsolve.solve(circuit, changes=[change]).rows
    assert row.settled
    return row  # type: ignore[no-any-return]


def flow(row: RowResult, run: str) -> float:
    """The flow of a run, m3/s."""
    amount = row.run(run).flow
    assert amount is not None
    return amount


def drop(row: RowResult, *parts: str) -> float:
    """What these parts take together, Pa."""
    taken = [row.part(part).pressure_drop for part in parts]
    assert None not in taken
    return sum(each for each in taken if each is not None)
