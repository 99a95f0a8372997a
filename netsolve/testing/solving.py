"""A circuit solved with the plugins of a folder, for the tests of a plugin."""

from __future__ import annotations

import os
from pathlib import Path

from netsolve.facade import load, loads, solve
from netsolve.registry import Registry
from netsolve.result import Result


def solved(circuit: str | os.PathLike[str], folder: str | os.PathLike[str] | None = None) -> Result:
    """The result of a circuit, a file or (a text of several lines) the YAML itself, with a folder's plugins or none.

    Raises CircuitError where the circuit or a plugin cannot be used; AssertionError where a row does not settle.
    """
    registry = Registry.built_in() if folder is None else Registry.built_in().with_folder(folder)
    if isinstance(circuit, str) and "\n" in circuit:
        read = loads(circuit, registry=registry)
    else:
        read = load(Path(circuit), registry=registry)
    result = solve(read, registry=registry)
    for row in result.rows:
        if not row.settled:
            raise AssertionError(f"'{row.condition}', '{row.change}' does not settle: {row.findings[0].message}")
    return result
