"""What the commands share: options, loading and solving, saying what is wrong, and how they end."""

from __future__ import annotations

import errno
import os
import sys
from collections.abc import Callable, Iterator, Sequence, Sized
from contextlib import contextmanager, nullcontext, redirect_stdout
from importlib import import_module, resources
from io import TextIOWrapper
from pathlib import Path
from threading import Timer
from typing import TYPE_CHECKING, Any, NoReturn

import click

from netsolve.completing import CHANGES, CONDITIONS
from netsolve.problems import CircuitError, Problem, explain, printable

if TYPE_CHECKING:
    from netsolve.circuit import Circuit
    from netsolve.reading.on_the_spot import OnTheSpot
    from netsolve.registry import Registry
    from netsolve.result import Result

WRONG_INPUT, UNSETTLED, MISSED = 2, 3, 1

FILE = click.argument("file", type=click.Path(path_type=Path))
CONDITION = click.option(
    "--condition",
    "conditions",
    multiple=True,
    metavar="NAME",
    shell_complete=CONDITIONS,
    help="Only this condition; may be repeated.",
)
CHANGE = click.option(
    "--change",
    "changes",
    multiple=True,
    metavar="NAME",
    shell_complete=CHANGES,
    help="Only this change; may be repeated.",
)
PLUGINS = click.option(
    "--plugins",
    multiple=True,
    type=click.Path(path_type=Path),
    metavar="FOLDER",
    help="Components and rules of your own.",
)
UNITS = click.option(
    "--units", type=click.Choice(["metric", "us"]), help="The units that come first; default: the file's."
)
JSON = click.option("--json", "as_json", is_flag=True, help="Print the answer as JSON in SI units.")
STRICT = click.option(
    "--strict", is_flag=True, help="Exit status 1 when a need is missed or a danger or fault is found."
)


class Commands(click.Group):
    """The commands, a file of `netsolve.commands` each, imported when it is asked for.

    Whatever makes a circuit unusable, and whenever that shows, is told in the same way.
    """

    def list_commands(self, ctx: click.Context) -> list[str]:
        """The files' names, as they are typed."""
        files = resources.files("netsolve.commands").iterdir()
        stems = (Path(file.name).stem for file in files if file.name.endswith(".py"))
        return sorted(stem.replace("_", "-") for stem in stems if not stem.startswith("_"))

    def get_command(self, ctx: click.Context, cmd_name: str) -> click.Command | None:
        """The command of that name; None where there is none."""
        if cmd_name not in self.list_commands(ctx):
            return None
        module = import_module(f"netsolve.commands.{cmd_name.replace('-', '_')}")
        command: click.Command = module.command
        command.name = cmd_name
        return command

    def invoke(self, ctx: click.Context) -> Any:
        """Run a command. A CircuitError, or an answer that cannot be written, is told on stderr: status 2."""
        for stream in (sys.stdout, sys.stderr):
            if isinstance(stream, TextIOWrapper):
                stream.reconfigure(errors="replace")  # a terminal without '≥' shows '?' rather than nothing
        try:
            return super().invoke(ctx)
        except CircuitError as error:
            say(error.problems)
            raise SystemExit(WRONG_INPUT) from None
        except OSError as error:
            if error.errno in (errno.EPIPE, None):  # whoever read the answer has seen enough: click ends quietly
                raise
            _give_up_output()
            refuse(f"the answer cannot be written: {error.strerror}".lower(), "make room, or write it elsewhere")


def _give_up_output() -> None:
    """Throw away what could not be written, so that it is not tried again at the very end."""
    nowhere = os.open(os.devnull, os.O_WRONLY)
    os.dup2(nowhere, sys.stdout.fileno())
    os.close(nowhere)


PATIENCE = 1.0
"""s: work that takes longer shows a bar."""


@contextmanager
def at_work() -> Iterator[None]:
    """While plugins are at work what they print goes to stderr, so that stdout holds the answer alone.

    Where somebody looks on, a bar on stderr says how far long work has got, and goes away with it.
    """
    with redirect_stdout(sys.stderr), _bar() if _looked_on() else nullcontext():
        yield


def _looked_on() -> bool:
    """Whether somebody waits at a terminal, without a bar so far."""
    from netsolve.progress import is_listened

    return sys.stderr.isatty() and not is_listened()


@contextmanager
def _bar() -> Iterator[None]:
    """A bar that appears once work has taken longer than is pleasant."""
    from rich.console import Console
    from rich.progress import Progress

    from netsolve.progress import listened

    bar = Progress(console=Console(stderr=True), transient=True, redirect_stdout=False, redirect_stderr=False)
    task = bar.add_task("working", total=None)
    timer = Timer(PATIENCE, bar.start)
    timer.start()
    try:
        with listened(lambda what, done, count: bar.update(task, description=what, completed=done, total=count)):
            yield
    finally:
        timer.cancel()
        timer.join()
        bar.stop()


def loaded(file: Path, registry: Registry, on_the_spot: OnTheSpot | None = None) -> Circuit:
    """The circuit of a file, with what is made on the spot as its last change."""
    from netsolve.facade import load

    with at_work():
        return load(file, registry=registry, on_the_spot=on_the_spot)


def registry_of(plugins: Sequence[Path]) -> Registry:
    """The components and rules at hand, those of the folders among them."""
    from netsolve.registry import PluginError, Registry

    registry = Registry.built_in()
    try:
        for folder in plugins:
            registry = registry.with_folder(folder)
    except PluginError as error:
        refuse(str(error), "give another folder, or take the file out of it")
    return registry


def solved(
    file: Path, conditions: Sequence[str], changes: Sequence[str], plugins: Sequence[Path], units: str | None
) -> Result:
    """The solved rows of a file; a name that it does not have ends the command."""
    registry = registry_of(plugins)
    return solved_circuit(loaded(file, registry), conditions, changes, registry, units)


def solved_circuit(
    circuit: Circuit, conditions: Sequence[str], changes: Sequence[str], registry: Registry, units: str | None
) -> Result:
    """The solved rows of a circuit; a name that it does not have ends the command."""
    from netsolve.facade import solve as solve_circuit

    wanted = named(conditions, circuit.conditions, "condition"), named(changes, circuit.changes, "change")
    with at_work():
        result = solve_circuit(circuit, conditions=wanted[0], changes=wanted[1], registry=registry, system=units)
        look_at(result.rows)
    return result


def look_at(rows: Sequence[Any]) -> None:
    """Put every row together, by rules too, which is done when it is first looked at: now, so that a bar can tell."""
    from netsolve.progress import counted

    for _ in counted(rows, "rows", len(rows)):
        pass


def named(wanted: Sequence[str], names: Sequence[str], kind: str) -> list[str] | None:
    """The names that are meant, whatever their case and spaces; None where none is wanted."""
    from netsolve.reading.naming import did_you_mean, fold

    known = {fold(name): name for name in names}
    for name in wanted:
        if fold(name) not in known:
            refuse(f"no {kind} is called '{name}'", did_you_mean(name, names, f"there are: {', '.join(names)}"))
    return [known[fold(name)] for name in wanted] or None


def shown_paths(texts: Sequence[str], result: Result) -> list[tuple[str, ...]]:
    """The values to show, each as its path; refused where a row has none such."""
    from netsolve.reading.naming import fold
    from netsolve.views.values import shown

    names = (name for row in result for things in (row.oils, row.joints, row.runs, row.parts) for name in things)
    known = {fold(name): name for name in names}
    pieces = [[piece.strip() for piece in text.split(".")] for text in texts]
    paths = [(known.get(fold(first), first), *rest) for first, *rest in pieces]
    for row in result:
        for path in paths if row.settled else ():
            try:
                shown(row, path, "metric")
            except KeyError as error:
                refuse(error.args[0], 'write for example --show "raw-water pump.inlet_pressure"')
    return paths


def say(problems: Sequence[Problem]) -> None:
    """Tell problems and notes on stderr."""
    for problem in problems:
        click.echo(explain(problem) + "\n", err=True)


def print_table(table: Callable[[], Any]) -> None:
    """Print what rich can lay out."""
    from rich.console import Console

    Console().print(table())


def refuse(message: str, help: str) -> NoReturn:
    """Tell what is wrong with the command line, and end."""
    click.echo(f"error: {printable(message)}", err=True)
    if help:
        click.echo(f"  help: {printable(help)}", err=True)
    raise SystemExit(WRONG_INPUT)


def leave(result: Result, strict: bool) -> None:
    """Exit with 3 where a row did not settle, with 1 where `--strict` asks for it."""
    if not all(row.settled for row in result.rows):
        raise SystemExit(UNSETTLED)
    if strict and any(each.severity in ("danger", "fault") for row in result.rows for each in row.findings):
        raise SystemExit(MISSED)


def write(file: Path, writer: Callable[[Path], object]) -> None:
    """Write a file that was asked for, and tell so on stderr; a place where none can be written ends the command."""
    try:
        writer(file)
    except OSError as error:
        refuse(f"'{file}' cannot be written: {error.strerror}".lower(), "give another place")
    click.echo(f"written: {printable(str(file))}", err=True)


def some(things: Sized, name: str) -> str:
    """`1 run`, `3 runs`."""
    return f"{len(things)} {name}{'' if len(things) == 1 else 's'}"
