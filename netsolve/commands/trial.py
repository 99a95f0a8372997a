"""`netsolve trial`: a sheet for the trial, filled in and judged, and the page for the owner."""

from __future__ import annotations

import json
from collections.abc import Sequence
from pathlib import Path
from typing import TYPE_CHECKING

import click

from netsolve.commands._sheets import PAGE, check_page, tell
from netsolve.completing import CHANGES
from netsolve.console import FILE, JSON, PLUGINS, UNITS, at_work, leave, named, refuse, say, solved, write

if TYPE_CHECKING:
    from netsolve.circuit import Circuit
    from netsolve.result import Result
    from netsolve.study.trial import Trial
    from netsolve.views.handover import Told
    from netsolve.views.sheet import Sheet

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
@PAGE
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
    from netsolve.study.trial import trial_to_dict
    from netsolve.views.handover import Told
    from netsolve.views.trial import trial_sheet

    check_page(output)
    result = solved(file, (), (), plugins, units)
    circuit = result.circuit
    (under,) = named([change or "as found"], circuit.changes, "change") or ["as found"]
    _check_baseline(baseline, readings, (file, readings, last_year))
    sheet = _sheet(circuit, under, readings, last_year)
    told, system = Told(reported, found, done, not_done), units or circuit.units
    say(circuit.notes)
    if as_json:
        click.echo(json.dumps(trial_to_dict(sheet), allow_nan=False))
    elif hand_over:
        tell(lambda: _owners(result, sheet, told, system, output), output)
    else:
        tell(lambda: trial_sheet(sheet, system), output)
    if baseline is not None:
        _keep(sheet, baseline)
    leave(result, strict=False)


def _check_baseline(baseline: Path | None, readings: Path | None, others: Sequence[Path | None]) -> None:
    """End the command where there is nothing to keep, or where keeping it would write over what was given."""
    if baseline is None:
        return
    if readings is None:
        refuse("--baseline keeps what was read, and nothing was", "add --readings FILE")
    if any(each is not None and each.resolve() == baseline.resolve() for each in others):
        refuse(
            f"--baseline would write over '{baseline}', which is read here", "give another name, such as this-year.yaml"
        )


def _keep(sheet: Trial, baseline: Path) -> None:
    from netsolve.study.baseline import baseline as kept
    from netsolve.study.looks import PASS

    if PASS not in sheet.verdicts:
        refuse(
            f"no reading was accepted, so there is nothing to keep in '{baseline}'", "put right what was not accepted"
        )
    write(baseline, lambda path: path.write_text(kept(sheet), encoding="utf-8"))


def _sheet(circuit: Circuit, change: str, readings: Path | None, last_year: Path | None) -> Trial:
    from netsolve.study.diagnosis.read import read_file
    from netsolve.study.trial import trial

    now, before = (() if path is None else read_file(path, circuit) for path in (readings, last_year))
    with at_work():
        return trial(circuit, change=change, readings=now, before=before)


def _owners(result: Result, sheet: Trial, told: Told, system: str, output: Path | None) -> Sheet:
    from netsolve.views.handover import handover_sheet, row_drawn
    from netsolve.views.picture import svg
    from netsolve.views.scene import scene

    picture = ""
    if output is not None:
        picture = svg(scene(result, condition=row_drawn(result), change=sheet.change, system=system), name="fitted")
    return handover_sheet(result, sheet, told, system, picture=picture)
