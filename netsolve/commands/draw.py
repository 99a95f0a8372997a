"""`netsolve draw`: the circuit as a picture."""

from __future__ import annotations

from collections.abc import Sequence
from pathlib import Path

import click

from netsolve.completing import CHANGES, CONDITIONS
from netsolve.console import FILE, PLUGINS, UNITS, at_work, leave, refuse, say, solved


@click.command()
@FILE
@click.option(
    "-o", "--output", required=True, type=click.Path(path_type=Path), help="The picture: .svg, .png, .pdf or .dot."
)
@click.option(
    "--condition", metavar="NAME", shell_complete=CONDITIONS, help="The condition to draw; default: the worst."
)
@click.option("--change", metavar="NAME", shell_complete=CHANGES, help="The change to draw, before → after.")
@click.option("--line", is_flag=True, help="Instead the pressure along each way from opening to opening (.svg).")
@click.option("--left-to-right", is_flag=True, help="Instead of from top to bottom.")
@PLUGINS
@UNITS
def command(
    file: Path,
    output: Path,
    condition: str | None,
    change: str | None,
    line: bool,
    left_to_right: bool,
    plugins: Sequence[Path],
    units: str | None,
) -> None:
    """Draw the circuit with its flows and verdicts."""
    format = output.suffix.lstrip(".").lower()
    if format not in ("svg", "png", "pdf", "dot"):
        refuse(f"'{output}' is neither .svg, .png, .pdf nor .dot", "write for example -o circuit.svg")
    if line and format != "svg":
        refuse(f"a pressure line is drawn as .svg, not as '{output}'", "write for example -o line.svg")
    from netsolve.circuit import AS_FOUND

    changes = [AS_FOUND, change] if change else ()
    result = solved(file, [condition] if condition else (), changes, plugins, units)
    last = result.rows[-1]  # the names as the file has them
    condition, change = condition and last.condition, change and last.change
    from netsolve.views.lines import line_file
    from netsolve.views.picture import picture
    from netsolve.views.render import RenderError
    from netsolve.views.scene import scene

    say(result.circuit.notes)
    drawn = scene(result, condition=condition, change=change, system=units or result.circuit.units)
    try:
        with at_work():
            made = line_file(result, drawn) if line else picture(drawn, format, across=left_to_right)
        output.write_bytes(made)
    except RenderError as error:
        refuse(str(error), "")
    except OSError as error:
        refuse(f"'{output}' cannot be written: {error.strerror}", "give another place after -o")
    leave(result, strict=False)
