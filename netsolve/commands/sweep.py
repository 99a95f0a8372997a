"""`netsolve sweep`: rows over values."""

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
    UNITS,
    UNSETTLED,
    loaded,
    named,
    quiet,
    refuse,
    registry_of,
    say,
)
from netsolve.problems import printable

if TYPE_CHECKING:
    from netsolve.circuit import Circuit
    from netsolve.study.axes import Axis
    from netsolve.study.sweep import Sweep


@click.command()
@FILE
@click.option(
    "--vary",
    "varied",
    multiple=True,
    metavar="SETTING = VALUES",
    help="'main.speed = 700 .. 2600 rpm, 7 points' or 'a.bore, b.bore = 16 mm, 19 mm'; several are crossed.",
)
@click.option(
    "--find", "wanted", metavar="SETTING", help="Find the value of this one, between others: 'x.bore = 8 .. 25 mm'."
)
@click.option("--for", "goal", metavar="PART = FLOW", help="What to find it for: 'oil cooler = 3 gpm' or 'A = B'.")
@CONDITION
@CHANGE
@click.option("--csv", "csv_file", type=click.Path(path_type=Path), metavar="FILE", help="Write the rows to a file.")
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
    plugins: Sequence[Path],
    units: str | None,
    as_json: bool,
) -> None:
    """Solve over values of settings, or find the value that gives a flow.

    Several --vary are crossed, in every condition under every change.
    """
    _check_options(varied, wanted, goal, csv_file)
    registry = registry_of(plugins)
    circuit = loaded(file, registry)
    only = named(conditions, circuit.conditions, "condition"), named(changes, circuit.changes, "change")
    from netsolve.facade import swept
    from netsolve.study.axes import axes_as_typed
    from netsolve.study.typed import split_up, telling

    typed = [split_up("--vary", text, line) for line, text in enumerate(varied, 1)]
    system = units or circuit.units
    with telling(typed), quiet():
        axes = axes_as_typed(circuit, typed)
        if wanted is None:
            found = swept(circuit, axes, conditions=only[0], changes=only[1], registry=registry, system=units)
            text = _swept(found, system, csv_file, as_json=as_json)
        else:
            text = _found(circuit, axes, wanted, goal or "", only, system=system, as_json=as_json)
    say(circuit.notes)
    click.echo(text)
    if wanted is None and not found.settled.all():
        raise SystemExit(UNSETTLED)


def _check_options(varied: Sequence[str], wanted: str | None, goal: str | None, csv_file: Path | None) -> None:
    """Refuse what does not go together."""
    if (wanted is None) != (goal is None):
        refuse("--find and --for go together", "write --find 'main.speed' --for 'oil cooler = 3 gpm'")
    if not varied and wanted is None:
        refuse("nothing is varied", "write for example --vary 'main.speed = 700 .. 2600 rpm, 7 points'")
    if wanted is not None and csv_file is not None:
        refuse("--csv is for rows, and --find prints none", "use --json")


def _swept(found: Sweep, system: str, csv_file: Path | None, *, as_json: bool) -> str:
    """The rows, and where needs are crossed along the first axis of numbers."""
    from netsolve.study.crossings import crossings, needs_of
    from netsolve.views.sweep_answers import crossing_lines, crossings_dict
    from netsolve.views.sweep_table import sweep_lines

    if csv_file is not None:
        _write(csv_file, found)
    along = next((axis for axis in found.axes if axis.is_continuous and len(axis) > 1), None)
    crossed = crossings(found, along, needs_of(found)) if along else []
    if as_json:
        return json.dumps(found.to_dict() | {"crossings": crossings_dict(crossed)}, allow_nan=False)
    lines = [] if csv_file else [*sweep_lines(found, system), ""]
    return "\n".join([*lines, *(crossing_lines(found, along, crossed, system) if along else ())]).rstrip("\n")


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
    from netsolve.facade import situations_of
    from netsolve.study.asked import axis_to_search, goal_of, read_find
    from netsolve.study.find import find
    from netsolve.study.typed import telling
    from netsolve.views.sweep_answers import found_dict, found_lines

    typed, situations, wish = read_find(wanted), situations_of(circuit, *only), goal_of(circuit, goal)
    axis = axis_to_search(circuit, typed, situations)
    with telling([typed]):
        found = find(circuit, axis, wish, axes, situations)
    if as_json:
        return json.dumps(
            {"format": 1, "circuit": circuit.name, "found": found_dict(axis, wish, found)}, allow_nan=False
        )
    return "\n".join(found_lines(axis, wish, found, axes, system))


def _write(file: Path, found: Sweep) -> None:
    try:
        found.to_csv(file)
    except OSError as error:
        refuse(f"'{file}' cannot be written: {error.strerror}".lower(), "give another place after --csv")
    click.echo(f"{len(found.rows):,} rows written to {printable(str(file))}", err=True)
