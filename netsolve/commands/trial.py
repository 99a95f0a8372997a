"""`netsolve trial`: a sheet for the trial, filled in and judged, and the page for the owner."""

from __future__ import annotations

import json
from collections.abc import Sequence
from pathlib import Path
from typing import TYPE_CHECKING

import click

from netsolve.completing import CHANGES
from netsolve.console import FILE, JSON, PLUGINS, UNITS, at_work, leave, named, print_table, refuse, say, solved

if TYPE_CHECKING:
    from netsolve.circuit import Circuit
    from netsolve.result import Result
    from netsolve.study.trial import Trial
    from netsolve.views.sheet import Sheet
    from netsolve.views.trial import Told

_PATH = click.Path(path_type=Path)


@click.command()
@FILE
@click.option(
    "--change", metavar="NAME", shell_complete=CHANGES, help="The circuit as it is now fitted; default: as found."
)
@click.option("--readings", type=_PATH, metavar="FILE", help="What was read: fills the sheet and judges it.")
@click.option("--last-year", type=_PATH, metavar="FILE", help="A baseline, to be compared with.")
@click.option("--baseline", type=_PATH, metavar="FILE", help="Keep the accepted readings here for next year.")
@click.option("--hand-over", is_flag=True, help="The page for the owner in place of the sheet.")
@click.option("--reported", multiple=True, metavar="TEXT", help="For the owner: what was reported.")
@click.option("--found", multiple=True, metavar="TEXT", help="For the owner: what was found.")
@click.option("--done", multiple=True, metavar="TEXT", help="For the owner: what was done.")
@click.option("--not-done", multiple=True, metavar="TEXT", help="For the owner: what was not done.")
@click.option("-o", "--output", type=_PATH, metavar="FILE", help="As a page to print: .html.")
@PLUGINS
@UNITS
@JSON
def command(
    file: Path,
    change: str | None,
    readings: Path | None,
    last_year: Path | None,
    baseline: Path | None,
    hand_over: bool,
    reported: Sequence[str],
    found: Sequence[str],
    done: Sequence[str],
    not_done: Sequence[str],
    output: Path | None,
    plugins: Sequence[Path],
    units: str | None,
    as_json: bool,
) -> None:
    """Print the sheet for a trial, or the page for the owner."""
    from netsolve.study.trial import baseline as kept
    from netsolve.study.trial import trial_to_dict
    from netsolve.views.trial import Told

    result = solved(file, (), (), plugins, units)
    circuit = result.circuit
    (under,) = named([change or "as found"], circuit.changes, "change") or ["as found"]
    if baseline is not None and readings is None:
        refuse("--baseline keeps what was read, and nothing was", "add --readings FILE")
    sheet = _sheet(circuit, under, readings, last_year)
    say(circuit.notes)
    if baseline is not None:
        _write(baseline, kept(sheet))
    if as_json:
        click.echo(json.dumps(trial_to_dict(sheet), allow_nan=False))
    else:
        told = Told(reported, found, done, not_done)
        _tell(result, sheet, told, units or circuit.units, hand_over=hand_over, output=output)
    leave(result, strict=False)


def _sheet(circuit: Circuit, change: str, readings: Path | None, last_year: Path | None) -> Trial:
    from netsolve.study.diagnosis.read import read_file
    from netsolve.study.trial import trial

    now, before = (() if path is None else read_file(path, circuit) for path in (readings, last_year))
    with at_work():
        return trial(circuit, change=change, readings=now, before=before)


def _tell(result: Result, sheet: Trial, told: Told, system: str, *, hand_over: bool, output: Path | None) -> None:
    from netsolve.views.sheet import as_html, on_terminal
    from netsolve.views.trial import trial_sheet

    page = _owners(result, sheet, told, system, output) if hand_over else trial_sheet(sheet, system)
    if output is None:
        print_table(lambda: on_terminal(page))
        return
    if output.suffix.lower() not in (".html", ".htm"):
        refuse(f"'{output}' is no .html", "write for example -o trial.html")
    _write(output, as_html(page))


def _owners(result: Result, sheet: Trial, told: Told, system: str, output: Path | None) -> Sheet:
    from netsolve.views.picture import svg
    from netsolve.views.scene import scene
    from netsolve.views.trial import handover_sheet

    picture = ""
    if output is not None:
        condition = result.circuit.conditions[-1]
        picture = svg(scene(result, condition=condition, change=sheet.change, system=system), name="fitted")
    return handover_sheet(result, sheet, told, system, picture=picture)


def _write(path: Path, content: str) -> None:
    try:
        path.write_text(content, encoding="utf-8")
    except OSError as error:
        refuse(f"'{path}' cannot be written: {(error.strerror or '').lower()}", "give another place")
