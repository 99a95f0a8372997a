"""`netsolve sweep`: rows over values."""

from __future__ import annotations

import json
from collections.abc import Mapping, Sequence
from pathlib import Path
from typing import TYPE_CHECKING

import click

from netsolve.completing import FLOWS, SETTINGS
from netsolve.console import (
    CHANGE,
    CONDITION,
    FILE,
    JSON,
    PLUGINS,
    UNITS,
    UNSETTLED,
    at_work,
    loaded,
    look_at,
    named,
    refuse,
    registry_of,
    say,
    write,
)

if TYPE_CHECKING:
    from netsolve.circuit import Circuit
    from netsolve.study.axes import Axis
    from netsolve.study.sweep import Sweep
    from netsolve.views.chart import Chart


@click.command()
@FILE
@click.option(
    "--vary",
    "varied",
    multiple=True,
    metavar="SETTING = VALUES",
    shell_complete=SETTINGS,
    help="'main.speed = 700 .. 2600 rpm, 7 points' or 'a.bore, b.bore = 16 mm, 19 mm'; several are crossed.",
)
@click.option(
    "--find",
    "wanted",
    metavar="SETTING",
    shell_complete=SETTINGS,
    help="Find the value of this one, between others: 'x.bore = 8 .. 25 mm'.",
)
@click.option(
    "--for",
    "goal",
    metavar="PART = FLOW",
    shell_complete=FLOWS,
    help="What to find it for: 'oil cooler = 3 gpm', 'A = B' or 'hydraulic = 66 degC'.",
)
@CONDITION
@CHANGE
@click.option("--csv", "csv_file", type=click.Path(path_type=Path), metavar="FILE", help="Write the rows to a file.")
@click.option(
    "-o", "--output", type=click.Path(path_type=Path), metavar="FILE", help="The chart (.svg) or the rows (.csv)."
)
@PLUGINS
@UNITS
@JSON
def command(
    file: Path,
    varied: Sequence[str],
    wanted: str | None,
    goal: str | None,
    conditions: Sequence[str],
    changes: Sequence[str],
    csv_file: Path | None,
    output: Path | None,
    plugins: Sequence[Path],
    units: str | None,
    as_json: bool,
) -> None:
    """Solve over values of settings, or find one for a flow.

    Several --vary are crossed, in every condition under every change.
    """
    _check_options(varied, wanted, goal, csv_file, output)
    files = {"csv": csv_file} | ({output.suffix[1:].lower(): output} if output else {})
    registry = registry_of(plugins)
    circuit = loaded(file, registry)
    only = named(conditions, circuit.conditions, "condition"), named(changes, circuit.changes, "change")
    from netsolve.facade import swept
    from netsolve.study.axes import axes_as_typed
    from netsolve.study.typed import split_up, telling

    typed = [split_up("--vary", text, line) for line, text in enumerate(varied, 1)]
    system = units or circuit.units
    with telling(typed), at_work():
        axes = axes_as_typed(circuit, typed)
        if wanted is None:
            found = swept(circuit, axes, conditions=only[0], changes=only[1], registry=registry, system=units)
            text = _swept(found, system, files, as_json=as_json)
        else:
            text = _found(circuit, axes, wanted, goal or "", only, system=system, as_json=as_json)
    say(circuit.notes)
    click.echo(text)
    if wanted is None and not found.settled.all():
        raise SystemExit(UNSETTLED)


def _check_options(
    varied: Sequence[str], wanted: str | None, goal: str | None, csv_file: Path | None, output: Path | None
) -> None:
    """Refuse what does not go together."""
    if (wanted is None) != (goal is None):
        refuse("--find and --for go together", "write --find 'main.speed' --for 'oil cooler = 3 gpm'")
    if not varied and wanted is None:
        refuse("nothing is varied", "write for example --vary 'main.speed = 700 .. 2600 rpm, 7 points'")
    if wanted is not None and (csv_file or output):
        refuse("--csv and -o are for rows, and --find prints none", "use --json")
    if output is not None and output.suffix.lower() not in (".csv", ".svg"):
        refuse(f"'{output}' is neither .csv nor .svg", "write for example -o chart.svg")


def _swept(found: Sweep, system: str, files: Mapping[str, Path | None], *, as_json: bool) -> str:
    """The rows, where needs are crossed along the first axis of numbers, and what that looks like."""
    from netsolve.facade import guarded
    from netsolve.study.crossings import crossings, needs_of
    from netsolve.views.chart import chart_lines, charts_of
    from netsolve.views.sweep_answers import crossing_lines, crossings_dict
    from netsolve.views.sweep_table import sweep_lines

    along = next((axis for axis in found.axes if axis.is_continuous and len(axis) > 1), None)
    crossed = guarded(found.circuit, lambda: crossings(found, along, needs_of(found)) if along else [])
    charts = charts_of(found, along, crossed, system) if along else []
    if csv_file := files.get("csv"):
        write(csv_file, found.to_csv)
    if svg := files.get("svg"):
        _draw(svg, charts, found.circuit.name, system)
    if as_json:
        look_at(found.rows)
        return json.dumps(found.to_dict() | {"crossings": crossings_dict(crossed)}, allow_nan=False)
    lines = [] if csv_file else [*sweep_lines(found, system), ""]
    lines += crossing_lines(found, along, crossed, system) if along else ()
    for chart in () if any(files.values()) else charts:
        lines += ["", *chart_lines(chart, system)]
    return "\n".join(lines).rstrip("\n")


def _draw(file: Path, charts: Sequence[Chart], title: str, system: str) -> None:
    from netsolve.views.chart_svg import charts_svg

    if not charts:
        refuse("there is nothing to draw", "vary a number over three values or more, in a circuit with a need")
    write(file, lambda path: path.write_text(charts_svg(charts, title, system), encoding="utf-8"))


def _found(
    circuit: Circuit,
    axes: Sequence[Axis],
    wanted: str,
    goal: str,
    only: tuple[Sequence[str] | None, Sequence[str] | None],
    *,
    system: str,
    as_json: bool,
) -> str:
    """The values that give a flow."""
    from netsolve.facade import guarded, situations_of
    from netsolve.study.asked import axis_to_search, goal_of, read_find
    from netsolve.study.find import find
    from netsolve.study.typed import telling
    from netsolve.views.sweep_answers import found_dict, found_lines

    typed, situations, wish = read_find(wanted), situations_of(circuit, *only), goal_of(circuit, goal)
    axis = axis_to_search(circuit, typed, situations)
    with telling([typed]):
        found = guarded(circuit, lambda: find(circuit, axis, wish, axes, situations))
    if as_json:
        return json.dumps(
            {"format": 1, "circuit": circuit.name, "found": found_dict(axis, wish, found)}, allow_nan=False
        )
    return "\n".join(found_lines(axis, wish, found, axes, system))
