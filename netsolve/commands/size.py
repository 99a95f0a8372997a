"""`netsolve size`: the smallest standard size that serves every need."""

from __future__ import annotations

import json
from collections.abc import Sequence
from pathlib import Path

import click

from netsolve.completing import SETTINGS
from netsolve.console import (
    CHANGE,
    CONDITION,
    FILE,
    JSON,
    PLUGINS,
    UNITS,
    at_work,
    loaded,
    named,
    refuse,
    registry_of,
    say,
)


@click.command()
@FILE
@click.argument("settings", nargs=-1, metavar="PART.PARAMETER...", shell_complete=SETTINGS)
@click.option("--reserve", metavar="SHARE", help="What is wanted above each least flow; default: 15 %.")
@CONDITION
@CHANGE
@PLUGINS
@UNITS
@JSON
def command(
    file: Path,
    settings: Sequence[str],
    reserve: str | None,
    conditions: Sequence[str],
    changes: Sequence[str],
    plugins: Sequence[Path],
    units: str | None,
    as_json: bool,
) -> None:
    """Print the smallest standard size that serves every need.

    Several settings move together. Of the circuit as found, or under each --change.
    """
    if not settings:
        refuse("nothing is to be sized", "write for example netsolve size FILE 'feed hose.bore' 'return hose.bore'")
    circuit = loaded(file, registry_of(plugins))
    only = named(conditions, circuit.conditions, "condition"), named(changes, circuit.changes, "change")
    from netsolve.circuit import AS_FOUND
    from netsolve.facade import guarded
    from netsolve.study.size import RESERVE, size, sized_settings, sizes_of, sizings_to_dict
    from netsolve.study.typed import paths_alone
    from netsolve.views.size_table import size_lines

    share = RESERVE if reserve is None else _share(reserve)
    system = units or circuit.units
    with at_work():
        sized, name = sized_settings(circuit, paths_alone("size", ", ".join(settings)))
        sizes = sizes_of(name, system)
        wanted = only[0] or circuit.conditions, only[1] or (AS_FOUND,)
        found = guarded(circuit, lambda: size(circuit, sized, sizes, *wanted, share))
    say(circuit.notes)
    if as_json:
        told = {"format": 1, "circuit": circuit.name, **sizings_to_dict(found, sized, share)}
        click.echo(json.dumps(told, allow_nan=False))
    else:
        click.echo("\n".join(size_lines(found, sized, share, system)))


def _share(text: str) -> float:
    from netsolve.units import UnitError, read

    try:
        value = read(text, "ratio").value
    except UnitError as error:
        refuse(f"--reserve: {error.message}", error.help)
    if not 0 <= value <= 10:
        refuse(f"--reserve: '{text}' is no reserve to ask for", "write for example --reserve '15 %'")
    return value
