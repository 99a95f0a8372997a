"""`netsolve heat`: how warm the oil and the water get, and how long until the alarm."""

from __future__ import annotations

import json
from collections.abc import Sequence
from pathlib import Path
from typing import TYPE_CHECKING

import click

from netsolve.console import (
    CHANGE,
    CONDITION,
    FILE,
    JSON,
    PLUGINS,
    STRICT,
    UNITS,
    at_work,
    leave,
    print_table,
    refuse,
    say,
    solved,
    write,
)

if TYPE_CHECKING:
    from netsolve.result import Result
    from netsolve.views.chart import Chart


@click.command()
@FILE
@CONDITION
@CHANGE
@click.option(
    "-o",
    "--output",
    type=click.Path(path_type=Path),
    metavar="FILE",
    help="The charts of temperature over time (.svg).",
)
@click.option(
    "--measured",
    metavar="OIL = TEMPERATURE",
    help="Turned round: 'oil = 25 degC to 31 degC in 10 min' gives the heat put in, 'oil = 58 degC' the ua.",
)
@PLUGINS
@UNITS
@JSON
@STRICT
def command(
    file: Path,
    conditions: Sequence[str],
    changes: Sequence[str],
    output: Path | None,
    measured: str | None,
    plugins: Sequence[Path],
    units: str | None,
    as_json: bool,
    strict: bool,
) -> None:
    """Print where oil settles, and how long until its alarm."""
    if output is not None and output.suffix.lower() != ".svg":
        refuse(f"'{output}' is no .svg", "write for example -o heat.svg")
    result = solved(file, conditions, changes, plugins, units)
    from netsolve.heat.stated import has_heat
    from netsolve.progress import counted
    from netsolve.study.outlook import outlooks
    from netsolve.study.warm_up import warm_ups
    from netsolve.views.heat_chart import heat_charts

    if not any(has_heat(state) for state in result.states):
        refuse("nothing in this circuit has to do with heat", "add oils:, or heat: 100 kW to a cooler")
    if measured is not None:
        _tell_measured(measured, result, units or result.circuit.units, as_json=as_json)
        return
    with at_work():
        pairs = counted(zip(result, result.states, strict=True), "rows", len(result.states))
        found = [outlooks(row, state) for row, state in pairs]
    say(result.circuit.notes)
    system = units or result.circuit.units
    charts = heat_charts(warm_ups(result))
    if output is not None:
        _draw(output, charts, result.circuit.name, system)
    if as_json:
        from netsolve.views.heat import heat_dict

        click.echo(json.dumps(heat_dict(result, found), allow_nan=False))
    else:
        from netsolve.views.heat import heat_table

        print_table(lambda: heat_table(result, found, system, [] if output else charts))
    leave(result, strict)


def _draw(file: Path, charts: Sequence[Chart], title: str, system: str) -> None:
    from netsolve.views.chart_svg import charts_svg

    if not charts:
        refuse("there is no oil whose temperature could be drawn", "add oils:, and say which cooler cools them")
    write(file, lambda path: path.write_text(charts_svg(charts, title, system), encoding="utf-8"))


def _tell_measured(text: str, result: Result, system: str, *, as_json: bool) -> None:
    """What a thermometer in an oil tells of the heat put in, or of its coolers."""
    from netsolve.study.measured import read_measured, told
    from netsolve.views.heat import measured_dict, measured_lines
    from netsolve.views.sweep_answers import wrapped

    measured = read_measured(result.circuit, text)
    rows = [pair for pair in zip(result, result.states, strict=True) if pair[0].settled]
    found = [(row, each) for row, state in rows for each in told(measured, row, state)]
    if as_json:
        click.echo(json.dumps(measured_dict(result.circuit.name, found), allow_nan=False))
        return
    if not found:
        refuse(f"no cooler of {measured.oil} is fitted", "write cools: NAME to one")
    for line in measured_lines(found, system):
        click.echo("\n".join(wrapped(line)))
