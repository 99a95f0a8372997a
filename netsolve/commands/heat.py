"""`netsolve heat`: how warm the oil and the water get, and how long until the alarm."""

from __future__ import annotations

import json
from collections.abc import Sequence
from pathlib import Path

import click

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
    print_table,
    refuse,
    say,
    solved,
)


@click.command()
@FILE
@CONDITION
@CHANGE
@PLUGINS
@UNITS
@JSON
@STRICT
def command(
    file: Path,
    conditions: Sequence[str],
    changes: Sequence[str],
    plugins: Sequence[Path],
    units: str | None,
    as_json: bool,
    strict: bool,
) -> None:
    """Print where oil settles, and how long until its alarm."""
    result = solved(file, conditions, changes, plugins, units)
    from netsolve.heat.temperatures import has_heat
    from netsolve.progress import counted
    from netsolve.study.outlook import outlooks

    if not any(has_heat(state) for state in result.states):
        refuse("nothing in this circuit has to do with heat", "add oils:, or heat: 100 kW to a cooler")
    with at_work():
        pairs = counted(zip(result, result.states, strict=True), "rows", len(result.states))
        found = [outlooks(row, state) for row, state in pairs]
    say(result.circuit.notes)
    if as_json:
        from netsolve.views.heat import heat_dict

        click.echo(json.dumps(heat_dict(result, found), allow_nan=False))
    else:
        from netsolve.views.heat import heat_table

        print_table(lambda: heat_table(result, found, units or result.circuit.units))
    leave(result, strict)
