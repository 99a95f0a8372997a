"""`netsolve diagnose`: what is likely to be wrong, after what was read on board."""

from __future__ import annotations

import json
from collections.abc import Sequence
from pathlib import Path

import click

from netsolve.commands._sheets import PAGE, check_page, tell
from netsolve.console import FILE, JSON, PLUGINS, UNITS, at_work, loaded, print_table, registry_of, say


@click.command()
@FILE
@click.argument("readings", type=click.Path(path_type=Path))
@PAGE
@PLUGINS
@UNITS
@JSON
def command(
    file: Path, readings: Path, output: Path | None, plugins: Sequence[Path], units: str | None, as_json: bool
) -> None:
    """Rank what may be wrong, by READINGS taken on board."""
    from netsolve.study.diagnosis.diagnose import diagnose, diagnosis_to_dict
    from netsolve.study.diagnosis.read import read_file

    check_page(output)
    circuit = loaded(file, registry_of(plugins))
    with at_work():
        found = diagnose(circuit, read_file(readings, circuit))
    say(circuit.notes)
    if as_json:
        click.echo(json.dumps(diagnosis_to_dict(found), allow_nan=False))
        return
    from netsolve.views.diagnosis import diagnosis_sheet, diagnosis_table

    if output is not None:
        tell(lambda: diagnosis_sheet(found, units or circuit.units), output)
        return
    print_table(lambda: diagnosis_table(found, units or circuit.units))
