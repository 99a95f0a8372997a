"""`netsolve check`: read and validate a circuit file."""

from __future__ import annotations

import json
from collections.abc import Sequence
from pathlib import Path

import click

from netsolve.console import FILE, JSON, PLUGINS, loaded, registry_of, say, some
from netsolve.problems import printable


@click.command()
@FILE
@PLUGINS
@JSON
def command(file: Path, plugins: Sequence[Path], as_json: bool) -> None:
    """Read a circuit file and print every problem with its place."""
    circuit = loaded(file, registry_of(plugins))
    if as_json:
        click.echo(
            json.dumps({"format": 1, "circuit": circuit.name, "notes": [each.message for each in circuit.notes]})
        )
        return
    say(circuit.notes)
    first = circuit.as_found
    size = f"{some(first.parts, 'part')} in {some(first.runs, 'run')} between {some(first.places, 'joint')}"
    changes = circuit.changes[1:]
    rows = some(circuit.conditions, "condition") + (f" and {some(changes, 'change')}" if changes else "")
    click.echo(f"{printable(circuit.name)}\nno problems; {size}, {rows}")
