"""`netsolve report`: the answer as one page to keep, send and print."""

from __future__ import annotations

import hashlib
from collections.abc import Sequence
from pathlib import Path

import click

from netsolve.console import CHANGE, CONDITION, FILE, PLUGINS, UNITS, at_work, leave, refuse, say, solved


@click.command()
@FILE
@click.option("-o", "--output", required=True, type=click.Path(path_type=Path), help="The page: .html.")
@click.option("--pdf", is_flag=True, help="Beside it the same page as PDF, printed by a browser that is installed.")
@CONDITION
@CHANGE
@PLUGINS
@UNITS
def command(
    file: Path,
    output: Path,
    pdf: bool,
    conditions: Sequence[str],
    changes: Sequence[str],
    plugins: Sequence[Path],
    units: str | None,
) -> None:
    """Write one page to keep, send and print."""
    if output.suffix.lower() not in (".html", ".htm"):
        refuse(f"'{output}' is no .html", "write for example -o boat.html; --pdf writes a boat.pdf beside it")
    from netsolve.circuit import AS_FOUND

    result = solved(file, conditions, [AS_FOUND, *changes] if changes else (), plugins, units)
    from netsolve.facade import margins
    from netsolve.study.outlook import outlooks
    from netsolve.views.paper import printed
    from netsolve.views.render import RenderError
    from netsolve.views.report import report

    say(result.circuit.notes)
    state = hashlib.sha256(file.read_bytes()).hexdigest()[:16]
    try:
        with at_work():
            page = report(
                result,
                system=units or result.circuit.units,
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
