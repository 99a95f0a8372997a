"""`netsolve solve`: flows, verdicts and findings of every row."""

from __future__ import annotations

import json
from collections.abc import Sequence
from functools import partial
from pathlib import Path
from typing import TYPE_CHECKING

import click

from netsolve.console import (
    CHANGE,
    CONDITION,
    FILE,
    JSON,
    PLUGINS,
    STRICT,
    UNITS,
    leave,
    named,
    print_table,
    quiet,
    say,
    shown_paths,
    solved,
)

if TYPE_CHECKING:
    from netsolve.result import Result


@click.command()
@FILE
@CONDITION
@CHANGE
@click.option(
    "--show", multiple=True, metavar="NAME.WHAT", help='One more value, such as "raw-water pump.inlet_pressure".'
)
@click.option("--sensitivity", metavar="PART", help="The ten numbers that move the flow of this part or run most.")
@PLUGINS
@UNITS
@JSON
@STRICT
def command(
    file: Path,
    conditions: Sequence[str],
    changes: Sequence[str],
    show: Sequence[str],
    sensitivity: str | None,
    plugins: Sequence[Path],
    units: str | None,
    as_json: bool,
    strict: bool,
) -> None:
    """Print the flows, verdicts and findings of every row."""
    result = solved(file, conditions, changes, plugins, units)
    if sensitivity is not None:
        _print_levers(result, sensitivity, units or result.circuit.units, as_json=as_json)
    elif as_json:
        say(result.circuit.notes)
        click.echo(json.dumps(result.to_dict(), allow_nan=False))
    else:
        from netsolve.views.table import solve_table

        columns = shown_paths(show, result)
        print_table(lambda: solve_table(result, units or result.circuit.units, show=columns))
    leave(result, strict)


def _print_levers(result: Result, name: str, system: str, *, as_json: bool) -> None:
    """What moves the flow of a part or run most, for each row that settled."""
    from netsolve.views.levers import levers_dict, levers_table

    told = []
    for row in result:
        if not row.settled:
            continue
        (name,) = named([name], [*row.parts, *row.runs], "part or run") or [name]
        with quiet():
            found = result.sensitivity(f"{name}.flow", row.condition, row.change)
        told.append(levers_dict(row, f"{name}.flow", found))
        if not as_json:
            print_table(partial(levers_table, row, name, found, system))
            click.echo()
    if as_json:
        click.echo(json.dumps({"format": 1, "sensitivities": told}, allow_nan=False))
