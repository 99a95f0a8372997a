"""The commands. Each imports what it needs when it runs, so that `--help` answers at once."""

from __future__ import annotations

import json
import sys
from collections.abc import Callable, Sequence
from io import TextIOWrapper
from pathlib import Path
from typing import TYPE_CHECKING, Any, NoReturn

import click

from netsolve import __version__
from netsolve.problems import CircuitError, Problem, explain, printable

if TYPE_CHECKING:
    from netsolve.registry import Registry
    from netsolve.result import Result

WRONG_INPUT, UNSETTLED, MISSED = 2, 3, 1

FILE = click.argument("file", type=click.Path(path_type=Path))
CONDITION = click.option(
    "--condition", "conditions", multiple=True, metavar="NAME", help="Only this condition; may be repeated."
)
CHANGE = click.option("--change", "changes", multiple=True, metavar="NAME", help="Only this change; may be repeated.")
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
    """The commands; whatever makes a circuit unusable, and whenever that shows, is told in the same way."""

    def invoke(self, ctx: click.Context) -> Any:
        """Run a command. A CircuitError is told on stderr and ends with status 2."""
        for stream in (sys.stdout, sys.stderr):
            if isinstance(stream, TextIOWrapper):
                stream.reconfigure(errors="replace")  # a terminal without '≥' shows '?' rather than nothing
        try:
            return super().invoke(ctx)
        except CircuitError as error:
            _say(error.problems)
            raise SystemExit(WRONG_INPUT) from None


@click.group(cls=Commands, context_settings={"help_option_names": ["-h", "--help"], "max_content_width": 100})
@click.version_option(__version__, prog_name="netsolve", message="%(prog)s %(version)s")
def main() -> None:
    """How much water reaches each cooler of a boat's raw-water circuit, who is starved, and what a change would do.

    An estimate, not a survey: verify before relying on it, and follow the makers' instructions.
    """


@main.command()
@FILE
@PLUGINS
@JSON
def check(file: Path, plugins: Sequence[Path], as_json: bool) -> None:
    """Read a circuit file and print every problem with its place."""
    from netsolve.facade import load

    circuit = load(file, registry=_registry(plugins))
    if as_json:
        click.echo(
            json.dumps({"format": 1, "circuit": circuit.name, "notes": [each.message for each in circuit.notes]})
        )
        return
    _say(circuit.notes)
    first = circuit.as_found
    size = f"{_some(first.parts, 'part')} in {_some(first.runs, 'run')} between {_some(first.places, 'joint')}"
    changes = circuit.changes[1:]
    rows = f"{_some(circuit.conditions, 'condition')}{f' and {_some(changes, chr(99) + chr(104) + chr(97))}' if 0 else ''}"
    click.echo(f"{printable(circuit.name)}: no problems; {size}, {rows}")


@main.command()
@FILE
@CONDITION
@CHANGE
@click.option(
    "--show", multiple=True, metavar="NAME.WHAT", help='One more column, such as "raw-water pump.inlet_pressure".'
)
@PLUGINS
@UNITS
@JSON
@STRICT
def solve(
    file: Path,
    conditions: Sequence[str],
    changes: Sequence[str],
    show: Sequence[str],
    plugins: Sequence[Path],
    units: str | None,
    as_json: bool,
    strict: bool,
) -> None:
    """Print the flows, verdicts and findings of every condition under every change."""
    result = _solved(file, conditions, changes, plugins, units)
    if as_json:
        click.echo(json.dumps(result.to_dict(), allow_nan=False))
    else:
        from netsolve.views.table import solve_table

        _say(result.circuit.notes)
        columns = [_shown(each) for each in show]
        _print(lambda: solve_table(result, units or result.circuit.units, show=columns))
    _leave(result, strict)


@main.command()
@FILE
@CONDITION
@CHANGE
@PLUGINS
@UNITS
@JSON
@STRICT
def compare(
    file: Path,
    conditions: Sequence[str],
    changes: Sequence[str],
    plugins: Sequence[Path],
    units: str | None,
    as_json: bool,
    strict: bool,
) -> None:
    """Print what each change does to every need, against the circuit as found."""
    from netsolve.circuit import AS_FOUND

    result = _solved(file, conditions, [AS_FOUND, *changes] if changes else (), plugins, units)
    from netsolve.facade import compare as compare_rows

    effects = compare_rows(result)
    if as_json:
        from netsolve.study.comparison import effects_to_dict

        click.echo(json.dumps(effects_to_dict(effects), allow_nan=False))
    else:
        from netsolve.views.effects import compare_table

        _say(result.circuit.notes)
        _print(lambda: compare_table(effects, units or result.circuit.units))
    _leave(result, strict)


@main.command()
@FILE
@click.option(
    "-o", "--output", required=True, type=click.Path(path_type=Path), help="The picture: .svg, .png or .dot."
)
@click.option("--condition", metavar="NAME", help="The condition to draw; default: the worst.")
@click.option("--change", metavar="NAME", help="The change to draw, before → after.")
@PLUGINS
@UNITS
def draw(
    file: Path, output: Path, condition: str | None, change: str | None, plugins: Sequence[Path], units: str | None
) -> None:
    """Draw the circuit with its flows, verdicts and what each part takes."""
    format = output.suffix.lstrip(".").lower()
    if format not in ("svg", "png", "dot"):
        _refuse(f"'{output}' is neither .svg, .png nor .dot", "write for example -o circuit.svg")
    from netsolve.circuit import AS_FOUND

    changes = [AS_FOUND, change] if change else ()
    result = _solved(file, [condition] if condition else (), changes, plugins, units)
    from netsolve.views.diagram import diagram
    from netsolve.views.render import RenderError, render

    _say(result.circuit.notes)
    text = diagram(result, condition=condition, change=change, system=units or result.circuit.units)
    try:
        output.write_bytes(render(text, format))
    except RenderError as error:
        _refuse(str(error), "")
    except OSError as error:
        _refuse(f"'{output}' cannot be written: {error.strerror}", "give another place after -o")
    _leave(result, strict=False)


@main.command()
@click.argument("name", required=False)
@PLUGINS
def components(name: str | None, plugins: Sequence[Path]) -> None:
    """List the kinds of parts and joints, or print the page of one."""
    registry = _registry(plugins)
    from netsolve.views.catalogue import catalogue, page

    if name is None:
        click.echo(catalogue(registry))
        return
    if name not in registry.names():
        _refuse(f"no component is called '{name}'", registry.suggest(name))
    click.echo(page(name, registry.component(name)))


@main.command()
@PLUGINS
def schema(plugins: Sequence[Path]) -> None:
    """Print the JSON Schema of a circuit file, for editors."""
    from netsolve.views.schema import circuit_schema

    click.echo(json.dumps(circuit_schema(_registry(plugins)), indent=1, ensure_ascii=False))


def _registry(plugins: Sequence[Path]) -> Registry:
    from netsolve.registry import PluginError, Registry

    registry = Registry.built_in()
    try:
        for folder in plugins:
            registry = registry.with_folder(folder)
    except PluginError as error:
        _refuse(str(error), "give another folder, or take the file out of it")
    return registry


def _solved(
    file: Path, conditions: Sequence[str], changes: Sequence[str], plugins: Sequence[Path], units: str | None
) -> Result:
    from netsolve.facade import load
    from netsolve.facade import solve as solve_circuit

    registry = _registry(plugins)
    circuit = load(file, registry=registry)
    return solve_circuit(
        circuit,
        conditions=_named(conditions, circuit.conditions, "condition"),
        changes=_named(changes, circuit.changes, "change"),
        registry=registry,
        system=units,
    )


def _named(wanted: Sequence[str], names: Sequence[str], kind: str) -> list[str] | None:
    """The names that are meant, whatever their case and spaces; None where none is wanted."""
    from netsolve.naming import did_you_mean, fold

    known = {fold(name): name for name in names}
    for name in wanted:
        if fold(name) not in known:
            _refuse(f"no {kind} is called '{name}'", did_you_mean(name, names, f"there are: {', '.join(names)}"))
    return [known[fold(name)] for name in wanted] or None


def _shown(texts: Sequence[str], result: Result) -> list[tuple[str, ...]]:
    """The values to show, each as its path; refused where a row has none such."""
    from netsolve.views.values import shown

    paths = [tuple(piece.strip() for piece in text.split(".")) for text in texts]
    for row in result:
        for path in paths if row.settled else ():
            try:
                shown(row, path, "metric")
            except KeyError as error:
                _refuse(error.args[0], 'write for example --show "raw-water pump.inlet_pressure"')
    return paths


def _say(problems: Sequence[Problem]) -> None:
    for problem in problems:
        click.echo(explain(problem) + "\n", err=True)


def _print(table: Callable[[], Any]) -> None:
    from rich.console import Console

    Console().print(table())


def _refuse(message: str, help: str) -> NoReturn:
    click.echo(f"error: {printable(message)}", err=True)
    if help:
        click.echo(f"  help: {printable(help)}", err=True)
    raise SystemExit(WRONG_INPUT)


def _leave(result: Result, strict: bool) -> None:
    """Exit with 3 where a row did not settle, with 1 where `--strict` asks for it."""
    if not all(row.settled for row in result.rows):
        raise SystemExit(UNSETTLED)
    if strict and any(each.severity in ("danger", "fault") for row in result.rows for each in row.findings):
        raise SystemExit(MISSED)
