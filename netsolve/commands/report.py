"""`netsolve report`: the answer as one page to keep, send and print."""

from __future__ import annotations

import hashlib
from collections.abc import Sequence
from pathlib import Path
from typing import TYPE_CHECKING, Any

import click

from netsolve.commands._flushing import flushed, planned
from netsolve.completing import PARTS
from netsolve.console import CHANGE, CONDITION, FILE, PLUGINS, UNITS, at_work, leave, refuse, say, solved

if TYPE_CHECKING:
    from netsolve.result import Result
    from netsolve.views.sheet import Section


@click.command()
@FILE
@click.option("-o", "--output", required=True, type=click.Path(path_type=Path), help="The page: .html.")
@click.option("--pdf", is_flag=True, help="Beside it the same page as PDF, printed by a browser that is installed.")
@CONDITION
@CHANGE
@click.option("--bands", "with_bands", is_flag=True, help="Also from how much to how much each flow may be.")
@click.option(
    "--readings",
    type=click.Path(path_type=Path),
    metavar="FILE",
    help="Also what readings taken on board say: the diagnosis, and the sheet of the trial filled in.",
)
@click.option("--flush", "part", metavar="PART", shell_complete=PARTS, help="Also the plan for flushing this part.")
@flushed("with --flush: ")
@click.option("--trial", "with_trial", is_flag=True, help="Also the sheet of the trial, to be filled in.")
@PLUGINS
@UNITS
def command(
    file: Path,
    output: Path,
    pdf: bool,
    conditions: Sequence[str],
    changes: Sequence[str],
    with_bands: bool,
    readings: Path | None,
    part: str | None,
    with_trial: bool,
    plugins: Sequence[Path],
    units: str | None,
    **of_flush: Any,
) -> None:
    """Write one page to keep, send and print."""
    if output.suffix.lower() not in (".html", ".htm"):
        refuse(f"'{output}' is no .html", "write for example -o boat.html; --pdf writes a boat.pdf beside it")
    spare = next((name for name, value in of_flush.items() if value is not None), None)
    if part is None and spare is not None:
        refuse(f"--{spare} is of a flush, and none is asked for", "add --flush PART")
    from netsolve.circuit import AS_FOUND

    result = solved(file, conditions, [AS_FOUND, *changes] if changes else (), plugins, units)
    from netsolve.facade import margins
    from netsolve.study.outlook import outlooks
    from netsolve.views.paper import printed
    from netsolve.views.render import RenderError
    from netsolve.views.report import report

    say(result.circuit.notes)
    system = units or result.circuit.units
    state = hashlib.sha256(file.read_bytes()).hexdigest()[:16]
    try:
        with at_work():
            tried = _changed(result, changes) if with_trial or readings is not None else None
            more = _more(result, system, bands=with_bands, readings=readings, flush=(part, of_flush), tried=tried)
            page = report(
                result,
                system=system,
                more=more,
                made_from=f"{file.name} (SHA-256 begins {state})",
                margins=margins(result.circuit) if AS_FOUND in {row.change for row in result} else None,
                outlooks=[outlooks(row, written) for row, written in zip(result, result.states, strict=True)],
            )
        output.write_text(page, encoding="utf-8")
        with at_work():
            if pdf:
                printed(output, output.with_suffix(".pdf"))
    except RenderError as error:
        refuse(str(error), "")
    except OSError as error:
        refuse(f"'{output}' cannot be written: {error.strerror}", "give another place after -o")
    leave(result, strict=False)


def _changed(result: Result, changes: Sequence[str]) -> str:
    """The one change that is asked for, else the circuit as found."""
    from netsolve.circuit import AS_FOUND

    made = list(dict.fromkeys(row.change for row in result if row.change != AS_FOUND))
    return made[0] if len(changes) == len(made) == 1 else AS_FOUND


def _more(
    result: Result,
    system: str,
    *,
    bands: bool,
    readings: Path | None,
    flush: tuple[str | None, dict[str, Any]],
    tried: str | None,
) -> list[Section]:
    """The sections that are asked for besides; `tried` is the change under which the trial is made, if it is."""
    circuit = result.circuit
    sections: list[Section] = []
    if bands:
        from netsolve.study import bands as study
        from netsolve.views.bands import bands_section

        conditions, changes = ([getattr(row, name) for row in result] for name in ("condition", "change"))
        sections.append(bands_section(study.bands(circuit, conditions=conditions, changes=changes), system))
    if readings is not None:
        from netsolve.study.diagnosis.diagnose import diagnose
        from netsolve.study.diagnosis.read import read_file
        from netsolve.views.diagnosis import diagnosis_sheet

        sections += diagnosis_sheet(diagnose(circuit, read_file(readings, circuit)), system).within("Diagnosis")
    part, options = flush
    if part is not None:
        from netsolve.circuit import AS_FOUND
        from netsolve.views.flush import flush_sheet

        plan, dose = planned(circuit, part, AS_FOUND, options)
        sections += flush_sheet(plan, dose, system).within(f"Flush: {plan.part}")
    if tried is not None:
        from netsolve.study.diagnosis.read import read_file
        from netsolve.study.trial import trial
        from netsolve.views.trial import trial_sheet

        read = () if readings is None else read_file(readings, circuit)
        sections += trial_sheet(trial(circuit, change=tried, readings=read), system).within("Trial")
    return sections
