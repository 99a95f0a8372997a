"""The line run end to end: load a circuit, solve it, compare its changes."""

from __future__ import annotations

from collections.abc import Sequence
from pathlib import Path
from typing import TYPE_CHECKING

from netsolve.circuit import AS_FOUND, Circuit
from netsolve.problems import CircuitError, Problem

if TYPE_CHECKING:
    from netsolve.registry import Registry
    from netsolve.result import Result
    from netsolve.study.comparison import Effect


def load(path: str | Path, *, registry: Registry | None = None) -> Circuit:
    """The circuit in a YAML file; CircuitError with every problem at its place where it cannot be used."""
    from netsolve.source import open_source

    return _checked(open_source(Path(path)), registry, Path(path).resolve().parent)


def loads(text: str | bytes, *, registry: Registry | None = None) -> Circuit:
    """The circuit in a YAML text; CircuitError with every problem at its place where it cannot be used."""
    from netsolve.source import parse

    return _checked(parse(text), registry, None)


def _checked(table: object, registry: Registry | None, folder: Path | None) -> Circuit:
    from netsolve.graph import check
    from netsolve.read import read
    from netsolve.registry import Registry

    circuit = read(table, registry or Registry.built_in(), folder)  # type: ignore[arg-type]
    problems = check(circuit)
    if problems:
        raise CircuitError(problems)
    return circuit


def solve(
    circuit: Circuit,
    *,
    conditions: Sequence[str] | None = None,
    changes: Sequence[str] | None = None,
    registry: Registry | None = None,
    system: str | None = None,
) -> Result:
    """Every row of the circuit, or those of some conditions and changes, solved and judged, settled or not.

    `system` (`metric` or `us`) is the one that sentences use; the circuit's own where none is given. KeyError where a
    condition or change does not exist.
    """
    from netsolve.answer import answer
    from netsolve.assemble import assemble
    from netsolve.findings import judge, with_limits
    from netsolve.registry import Registry
    from netsolve.solver import solve as solve_network

    _known(conditions, circuit.conditions, "condition")
    _known(changes, circuit.changes, "change")
    rows = [
        row
        for row in circuit.rows
        if (conditions is None or row.condition in conditions) and (changes is None or row.change in changes)
    ]
    network = assemble(circuit, rows)
    rules = with_limits((registry or Registry.built_in()).rules(), circuit.limits)
    return judge(answer(circuit, network, solve_network(network)), rules, system=system)


def _known(wanted: Sequence[str] | None, names: Sequence[str], kind: str) -> None:
    for name in wanted or ():
        if name not in names:
            raise KeyError(f"no {kind} is called '{name}'; there are: {', '.join(names)}")


def compare(result: Result) -> tuple[Effect, ...]:
    """The effect of each change on each need in each condition, against `as found`."""
    from netsolve.study.comparison import compare as compare_rows

    return compare_rows(result)


__all__ = ["AS_FOUND", "Problem", "compare", "load", "loads", "solve"]
