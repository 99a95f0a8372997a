"""`netsolve solve`: flows, verdicts and findings of every row."""

from __future__ import annotations

import json
from collections.abc import Sequence
from functools import partial
from pathlib import Path
from typing import TYPE_CHECKING

import click

from netsolve.completing import FLOWS, SHOWN
from netsolve.console import (
    CHANGE,
    CONDITION,
    FILE,
    JSON,
    PLUGINS,
    STRICT,
    UNITS,
    at_work,
    leave,
    named,
    print_table,
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
    "--show",
    multiple=True,
    metavar="NAME.WHAT",
    shell_complete=SHOWN,
    help='One more value, such as "raw-water pump.inlet_pressure".',
)
@click.option(
    "--sensitivity",
    metavar="PART",
    shell_complete=FLOWS,
    help="The ten numbers that move the flow of this part or run most.",
)
@click.option("--bands", is_flag=True, help="From how much to how much each flow may be, as the numbers are uncertain.")
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
    bands: bool,
    plugins: Sequence[Path],
    units: str | None,
    as_json: bool,
    strict: bool,
) -> None:
    """Print the flows, verdicts and findings of every row."""
    result = solved(file, conditions, changes, plugins, units)
    if sensitivity is not None:
        _print_levers(result, sensitivity, units or result.circuit.units, as_json=as_json)
    elif bands:
        _print_bands(result, units or result.circuit.units, as_json=as_json)
    elif as_json:
        say(result.circuit.notes)
        click.echo(json.dumps(result.to_dict(), allow_nan=False))
    else:
        from netsolve.views.table import solve_table

        columns = shown_paths(show, result)
        print_table(lambda: solve_table(result, units or result.circuit.units, show=columns))
    leave(result, strict)


def _print_bands(result: Result, system: str, *, as_json: bool) -> None:
    """How far off the flows of the rows may be."""
    from netsolve.study.bands import bands, bands_to_dict
    from netsolve.views.bands import bands_table

    conditions, changes = ([getattr(row, name) for row in result] for name in ("condition", "change"))
    with at_work():
        found = bands(result.circuit, conditions=conditions, changes=changes)
    if as_json:
        click.echo(json.dumps(bands_to_dict(found), allow_nan=False))
    else:
        print_table(lambda: bands_table(result.circuit.name, found, system))


def _print_levers(result: Result, name: str, system: str, *, as_json: bool) -> None:
    """What moves the flow of a part or run most, for each row that settled."""
    from netsolve.views.levers import levers_dict, levers_table

    told = []
    for row in result:
        if not row.settled:
            continue
        (name,) = named([name], [*row.parts, *row.runs], "part or run") or [name]
        with at_work():
            found = result.sensitivity(f"{name}.flow", row.condition, row.change)
        told.append(levers_dict(row, f"{name}.flow", found))
        if not as_json:
            print_table(partial(levers_table, row, name, found, system))
            click.echo()
    if as_json:
        click.echo(json.dumps({"format": 1, "sensitivities": told}, allow_nan=False))
