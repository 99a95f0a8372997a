"""`netsolve margin`: how far each part may clog, wear or close before the first need is missed."""

from __future__ import annotations

import json
from collections.abc import Sequence
from pathlib import Path

import click

from netsolve.console import CHANGE, CONDITION, FILE, JSON, PLUGINS, UNITS, at_work, loaded, named, registry_of, say


@click.command()
@FILE
@CONDITION
@CHANGE
@PLUGINS
@UNITS
@JSON
def command(
    file: Path,
    conditions: Sequence[str],
    changes: Sequence[str],
    plugins: Sequence[Path],
    units: str | None,
    as_json: bool,
) -> None:
    """Print how far each part may foul before a need is missed.

    Or wear, or close. Of the circuit as found, or under each --change.
    """
    circuit = loaded(file, registry_of(plugins))
    only = named(conditions, circuit.conditions, "condition"), named(changes, circuit.changes, "change")
    from netsolve.facade import margins
    from netsolve.study.margin import margins_to_dict
    from netsolve.views.margin_table import margin_lines

    with at_work():
        found = margins(circuit, conditions=only[0], changes=only[1])
    say(circuit.notes)
    if as_json:
        click.echo(json.dumps({"format": 1, "circuit": circuit.name, **margins_to_dict(found)}, allow_nan=False))
    else:
        click.echo("\n".join(margin_lines(found, units or circuit.units)))
