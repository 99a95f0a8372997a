"""`netsolve schema`: the JSON Schema of a circuit file."""

from __future__ import annotations

import json
from collections.abc import Sequence
from pathlib import Path

import click

from netsolve.console import PLUGINS, at_work, registry_of


@click.command()
@PLUGINS
def command(plugins: Sequence[Path]) -> None:
    """Print the JSON Schema of a circuit file, for editors."""
    from netsolve.views.schema import circuit_schema

    with at_work():
        made = circuit_schema(registry_of(plugins))
    click.echo(json.dumps(made, indent=1))
