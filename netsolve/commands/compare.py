"""`netsolve compare`: what each change does to every need."""

from __future__ import annotations

import json
from collections.abc import Sequence
from pathlib import Path

import click

from netsolve.console import CHANGE, CONDITION, FILE, JSON, PLUGINS, STRICT, UNITS, leave, print_table, say, solved


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
    """Print what each change does to every need."""
    from netsolve.circuit import AS_FOUND

    result = solved(file, conditions, [AS_FOUND, *changes] if changes else (), plugins, units)
    from netsolve.facade import compare as compare_rows

    effects = compare_rows(result)
    say(result.circuit.notes)
    if as_json:
        from netsolve.study.comparison import effects_to_dict

        click.echo(json.dumps(effects_to_dict(effects), allow_nan=False))
    else:
        from netsolve.views.effects import compare_table

        print_table(lambda: compare_table(effects, units or result.circuit.units))
    leave(result, strict)
