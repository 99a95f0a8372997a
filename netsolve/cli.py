"""The commands. Each imports what it needs when it runs, so that `--help` answers at once."""

from __future__ import annotations

import json
from collections.abc import Sequence
from functools import partial
from pathlib import Path
from typing import TYPE_CHECKING

import click

from netsolve import __version__
from netsolve.console import (
    CHANGE,
    CONDITION,
    FILE,
    JSON,
    PLUGINS,
    STRICT,
    UNITS,
    Commands,
    leave,
    loaded,
    named,
    print_table,
    quiet,
    refuse,
    registry_of,
    say,
    shown_paths,
    solved,
    some,
)
from netsolve.problems import printable

if TYPE_CHECKING:
    from netsolve.registry import Registry
    from netsolve.result import Result


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
    circuit = loaded(file, registry_of(plugins))
    if as_json:
        click.echo(
            json.dumps({"format": 1, "circuit": circuit.name, "notes": [each.message for each in circuit.notes]})
        )
        return
    say(circuit.notes)
    first = circuit.as_found
    size = f"{some(first.parts, 'part')} in {some(first.runs, 'run')} between {some(first.places, 'joint')}"
    changes = circuit.changes[1:]
    rows = some(circuit.conditions, "condition") + (f" and {some(changes, 'change')}" if changes else "")
    click.echo(f"{printable(circuit.name)}\nno problems; {size}, {rows}")


@main.command()
@FILE
@CONDITION
@CHANGE
@click.option(
    "--show", multiple=True, metavar="NAME.WHAT", help='One more value, such as "raw-water pump.inlet_pressure".'
)
@click.option("--sensitivity", metavar="PART", help="The ten numbers that move the flow of this part or run most.")
@PLUGINS
@UNITS
@JSON
@STRICT
def solve(
    file: Path,
    conditions: Sequence[str],
    changes: Sequence[str],
    show: Sequence[str],
    sensitivity: str | None,
    plugins: Sequence[Path],
    units: str | None,
    as_json: bool,
    strict: bool,
) -> None:
    """Print the flows, verdicts and findings of every row."""
    result = solved(file, conditions, changes, plugins, units)
    if sensitivity is not None:
        _print_levers(result, sensitivity, units or result.circuit.units, as_json=as_json)
    elif as_json:
        say(result.circuit.notes)
        click.echo(json.dumps(result.to_dict(), allow_nan=False))
    else:
        from netsolve.views.table import solve_table

        columns = shown_paths(show, result)
        print_table(lambda: solve_table(result, units or result.circuit.units, show=columns))
    leave(result, strict)


def _print_levers(result: Result, name: str, system: str, *, as_json: bool) -> None:
    """What moves the flow of a part or run most, for each row that settled."""
    from netsolve.views.levers import levers_dict, levers_table

    told = []
    for row in result:
        if not row.settled:
            continue
        (name,) = named([name], [*row.parts, *row.runs], "part or run") or [name]
        with quiet():
            found = result.sensitivity(f"{name}.flow", row.condition, row.change)
        told.append(levers_dict(row, f"{name}.flow", found))
        if not as_json:
            print_table(partial(levers_table, row, name, found, system))
            click.echo()
    if as_json:
        click.echo(json.dumps({"format": 1, "sensitivities": told}, allow_nan=False))


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
    """Print what each change does to every need."""
    from netsolve.circuit import AS_FOUND

    result = solved(file, conditions, [AS_FOUND, *changes] if changes else (), plugins, units)
    from netsolve.facade import compare as compare_rows

    effects = compare_rows(result)
    say(result.circuit.notes)
    if as_json:
        from netsolve.study.comparison import effects_to_dict

        click.echo(json.dumps(effects_to_dict(effects), allow_nan=False))
    else:
        from netsolve.views.effects import compare_table

        print_table(lambda: compare_table(effects, units or result.circuit.units))
    leave(result, strict)


@main.command()
@FILE
@click.option("-o", "--output", required=True, type=click.Path(path_type=Path), help="The picture: .svg, .png or .dot.")
@click.option("--condition", metavar="NAME", help="The condition to draw; default: the worst.")
@click.option("--change", metavar="NAME", help="The change to draw, before → after.")
@PLUGINS
@UNITS
def draw(
    file: Path, output: Path, condition: str | None, change: str | None, plugins: Sequence[Path], units: str | None
) -> None:
    """Draw the circuit with its flows and verdicts."""
    format = output.suffix.lstrip(".").lower()
    if format not in ("svg", "png", "dot"):
        refuse(f"'{output}' is neither .svg, .png nor .dot", "write for example -o circuit.svg")
    from netsolve.circuit import AS_FOUND

    changes = [AS_FOUND, change] if change else ()
    result = solved(file, [condition] if condition else (), changes, plugins, units)
    last = result.rows[-1]  # the names as the file has them
    condition, change = condition and last.condition, change and last.change
    from netsolve.views.diagram import diagram
    from netsolve.views.render import RenderError, render

    say(result.circuit.notes)
    text = diagram(result, condition=condition, change=change, system=units or result.circuit.units)
    try:
        output.write_bytes(render(text, format))
    except RenderError as error:
        refuse(str(error), "")
    except OSError as error:
        refuse(f"'{output}' cannot be written: {error.strerror}", "give another place after -o")
    leave(result, strict=False)


@main.command()
@click.argument("name", required=False)
@click.option(
    "--set",
    "settings",
    multiple=True,
    metavar="NAME=VALUE",
    help="What the part is like: 'bore=5/8 in'; may be repeated.",
)
@click.option("--curve", "flows", metavar="RANGE", help="The flows at which to show it: '0 .. 6 gpm, 7 points'.")
@PLUGINS
@JSON
def components(
    name: str | None, settings: Sequence[str], flows: str | None, plugins: Sequence[Path], as_json: bool
) -> None:
    """List the kinds of parts and joints, or print the page of one.

    With --set and --curve a table shows what a part takes at a few flows, in sea water.
    """
    registry = registry_of(plugins)
    alone = bool(settings) or flows is not None or as_json
    if name is None and alone:
        refuse("--set, --curve and --json are of one component", "netsolve components hose --curve '0 .. 6 gpm'")
    if name is not None and name not in registry.names():
        refuse(f"no component is called '{name}'", registry.suggest(name))
    from netsolve.registry import PluginError

    try:
        with quiet():
            text = _of_one(name, registry, settings, flows, as_json) if alone and name else _page(name, registry)
    except PluginError as error:
        refuse(str(error), "mend the plugin")
    click.echo(text)


def _page(name: str | None, registry: Registry) -> str:
    """The page of a component, or the catalogue."""
    from netsolve.views.catalogue import catalogue
    from netsolve.views.component_page import page

    return catalogue(registry) if name is None else page(name, registry.component(name))


def _of_one(name: str, registry: Registry, settings: Sequence[str], flows: str | None, as_json: bool) -> str:
    """What one part takes by itself."""
    from netsolve.component import Component
    from netsolve.study.one_part import tried
    from netsolve.views.part_curve import as_dict, as_text

    kind = registry.component(name)
    if not issubclass(kind, Component):
        refuse(f"'{name}' is a joint: what it takes depends on the flow of each run", "see it in a circuit, by solve")
    found = tried(name, kind, settings, flows)
    return json.dumps(as_dict(found), allow_nan=False) if as_json else as_text(found)


@main.command()
@PLUGINS
def schema(plugins: Sequence[Path]) -> None:
    """Print the JSON Schema of a circuit file, for editors."""
    from netsolve.views.schema import circuit_schema

    with quiet():
        made = circuit_schema(registry_of(plugins))
    click.echo(json.dumps(made, indent=1))
