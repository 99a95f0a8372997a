"""`netsolve watch`: check, solve and redraw on every save."""

from __future__ import annotations

import re
import time
from collections.abc import Callable, Iterator, Sequence
from dataclasses import dataclass
from pathlib import Path
from typing import TYPE_CHECKING

import click

from netsolve.completing import CHANGES, CONDITIONS
from netsolve.console import FILE, PLUGINS, UNITS, at_work, refuse, say, solved
from netsolve.problems import CircuitError, Problem, printable

if TYPE_CHECKING:
    from netsolve.result import Result

_PAUSE = 0.3
"""Seconds between two looks at the files."""

_FORMATS = (".svg", ".png", ".pdf", ".dot")
_TABLE = re.compile(r""""([^"\n]+\.csv)"|'([^'\n]+\.csv)'|([^\s"'{}\[\],]+\.csv)""", re.IGNORECASE)
"""A CSV file named in a circuit, in quotes or without."""


@click.command()
@FILE
@click.option("-o", "--output", type=click.Path(path_type=Path), help="A picture to redraw: .svg, .png, .pdf or .dot.")
@click.option(
    "--condition", metavar="NAME", shell_complete=CONDITIONS, help="The condition to draw; default: the worst."
)
@click.option("--change", metavar="NAME", shell_complete=CHANGES, help="The change to draw, before → after.")
@PLUGINS
@UNITS
def command(
    file: Path,
    output: Path | None,
    condition: str | None,
    change: str | None,
    plugins: Sequence[Path],
    units: str | None,
) -> None:
    """Check, solve and redraw on every save; Ctrl-C ends it."""
    if not file.exists():
        refuse(f"there is no file '{file}'", "check the name and the folder")
    if output is not None and output.suffix.lower() not in _FORMATS:
        refuse(f"'{output}' is neither .svg, .png, .pdf nor .dot", "write for example -o circuit.svg")
    watcher = Watcher(file, output, condition, change, plugins, units)
    click.echo(f"watching {printable(str(file))}; Ctrl-C ends it")
    try:
        for _ in saves(file, plugins, lambda: time.sleep(_PAUSE)):
            watcher.look()
    except KeyboardInterrupt:
        click.echo("\nno longer watching")


def saves(file: Path, folders: Sequence[Path], pause: Callable[[], None]) -> Iterator[None]:
    """Once at first, then whenever the circuit, a CSV file that it names or a plugin was saved."""
    seen: object = None
    while True:
        now = _state(file, folders)
        if now != seen and file.exists():  # an editor may take the old file away before it puts the new one there
            seen = now
            yield
        pause()


def _state(file: Path, folders: Sequence[Path]) -> dict[Path, tuple[int, int]]:
    files = [file, *_tables(file), *(each for folder in folders for each in folder.glob("*.py"))]
    state = {}
    for each in files:
        try:
            seen = each.stat()
        except OSError:
            continue
        state[each] = (seen.st_mtime_ns, seen.st_size)
    return state


def _tables(file: Path) -> Iterator[Path]:
    """The CSV files that a circuit names, wherever they are; none while it cannot be read."""
    try:
        text = file.read_text(encoding="utf-8", errors="replace")
    except OSError:
        return
    for found in _TABLE.finditer(text):
        yield file.parent / next(filter(None, found.groups()))


@dataclass
class Watcher:
    """Solves a file again and again, and keeps the last answer to tell what is new."""

    file: Path
    output: Path | None
    condition: str | None
    change: str | None
    plugins: Sequence[Path]
    units: str | None
    last: Result | None = None

    def look(self) -> None:
        """Solve the file as it is now, say what is new and redraw; problems are said where they stand."""
        click.echo(f"[{time.strftime('%H:%M:%S')}] ", nl=False)
        try:
            result = solved(self.file, (), (), self.plugins, self.units)
        except CircuitError as error:
            click.echo("this cannot be solved:")
            say(error.problems)
            return
        except SystemExit:  # what is wrong has been said
            return
        self._tell(result)
        self.last = result
        self._draw(result)

    def _tell(self, result: Result) -> None:
        from netsolve.views import wording
        from netsolve.views.news import news
        from netsolve.views.sweep_answers import wrapped

        say(result.circuit.notes if self.last is None else _new_notes(self.last, result))
        if self.last is None:
            click.echo(wording.trouble(result))
            return
        lines = news(self.last, result, system=self.units or result.circuit.units)
        for line in lines or ["saved; nothing is new"]:
            click.echo("\n".join(wrapped(printable(line))))

    def _draw(self, result: Result) -> None:
        if self.output is None:
            return
        from netsolve.views.picture import picture
        from netsolve.views.render import RenderError
        from netsolve.views.scene import scene

        try:
            shown = scene(
                result, condition=self.condition, change=self.change, system=self.units or result.circuit.units
            )
            with at_work():
                made = picture(shown, self.output.suffix.lstrip(".").lower())
            self.output.write_bytes(made)
        except (KeyError, RenderError) as error:
            click.echo(f"not drawn: {printable(str(error.args[0]))}", err=True)
        except OSError as error:
            click.echo(f"'{self.output}' cannot be written: {error.strerror}", err=True)


def _new_notes(before: Result, after: Result) -> list[Problem]:
    known = {note.message for note in before.circuit.notes}
    return [note for note in after.circuit.notes if note.message not in known]
