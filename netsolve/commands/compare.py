"""`netsolve compare`: what each change does to every need."""

from __future__ import annotations

import json
from collections.abc import Sequence
from dataclasses import asdict
from pathlib import Path
from typing import TYPE_CHECKING

import click

from netsolve.completing import PARTS, SETTINGS
from netsolve.console import (
    CHANGE,
    CONDITION,
    FILE,
    JSON,
    PLUGINS,
    STRICT,
    UNITS,
    leave,
    loaded,
    print_table,
    refuse,
    registry_of,
    say,
    solved,
    solved_circuit,
)

if TYPE_CHECKING:
    from netsolve.reading.on_the_spot import OnTheSpot
    from netsolve.registry import Registry
    from netsolve.result import Result
    from netsolve.study.oil_effects import CoolerEffect


@click.command()
@FILE
@click.argument("other", required=False, type=click.Path(path_type=Path))
@CONDITION
@CHANGE
@click.option(
    "--fit",
    multiple=True,
    metavar="PART",
    shell_complete=PARTS,
    help="Fit this part; may be repeated, as the next three.",
)
@click.option("--remove", multiple=True, metavar="PART", shell_complete=PARTS, help="Take this part out.")
@click.option(
    "--set",
    "settings",
    multiple=True,
    metavar="SETTING",
    shell_complete=SETTINGS,
    help='Set this: "feed hose.bore = 3/4 in".',
)
@click.option("--insert", multiple=True, metavar="NEW", help='A new part: "elbow: {type: bend, bore: 16 mm}".')
@click.option("--before", metavar="PART", shell_complete=PARTS, help="Where new parts go.")
@click.option("--after", metavar="PART", shell_complete=PARTS, help="Where new parts go.")
@click.option("--each-part", is_flag=True, help="Take every part out in turn, put each unfitted one in, and rank them.")
@click.option(
    "--need",
    metavar="PART",
    shell_complete=PARTS,
    help="The need that --each-part looks at; default: the one worst off.",
)
@PLUGINS
@UNITS
@JSON
@STRICT
def command(
    file: Path,
    other: Path | None,
    conditions: Sequence[str],
    changes: Sequence[str],
    fit: Sequence[str],
    remove: Sequence[str],
    settings: Sequence[str],
    insert: Sequence[str],
    before: str | None,
    after: str | None,
    each_part: bool,
    need: str | None,
    plugins: Sequence[Path],
    units: str | None,
    as_json: bool,
    strict: bool,
) -> None:
    """Print what changes, or another file, do to every need."""
    from netsolve.reading.on_the_spot import OnTheSpot

    on_the_spot = OnTheSpot(fit, remove, settings, insert, before, after)
    _refuse_mixed(other, changes, on_the_spot, each_part=each_part, need=need)
    registry = registry_of(plugins)
    if each_part:
        from netsolve.commands._each_part import tell_each_part

        result = tell_each_part(loaded(file, registry), conditions, need, registry, units, as_json=as_json)
    elif other is not None:
        result = _against(file, other, conditions, plugins, units)
        _tell(result, file.name, units, as_json=as_json)
    else:
        result = _changed(file, conditions, changes, on_the_spot, registry, units)
        _tell(result, "the circuit as found", units, as_json=as_json)
    leave(result, strict)


def _refuse_mixed(
    other: Path | None, changes: Sequence[str], on_the_spot: OnTheSpot, *, each_part: bool, need: str | None
) -> None:
    """End the command where its options ask for two things at once."""
    if need is not None and not each_part:
        refuse("--need belongs to --each-part", "add --each-part")
    if each_part and (other or changes or on_the_spot):
        refuse("--each-part looks at the circuit as found alone", "leave the other changes out")
    if other is not None and (changes or on_the_spot):
        refuse("another file is compared as it stands, without further changes", "leave them out, or the other file")


def _changed(
    file: Path,
    conditions: Sequence[str],
    changes: Sequence[str],
    on_the_spot: OnTheSpot,
    registry: Registry,
    units: str | None,
) -> Result:
    """The rows as found and of the changes that are asked for, what is made on the spot among them."""
    from netsolve.circuit import AS_FOUND

    circuit = loaded(file, registry, on_the_spot)
    wanted = [*changes, *circuit.changes[-1:]] if on_the_spot else list(changes)
    return solved_circuit(circuit, conditions, [AS_FOUND, *wanted] if wanted else (), registry, units)


def _against(file: Path, other: Path, conditions: Sequence[str], plugins: Sequence[Path], units: str | None) -> Result:
    """The rows of a file, and those of another as a change of it."""
    from netsolve.circuit import AS_FOUND
    from netsolve.study.two_files import against

    first = solved(file, conditions, [AS_FOUND], plugins, units)
    last = solved(other, conditions, [AS_FOUND], plugins, units)
    both = against(first, last, other.name if other.name != file.name else str(other))
    if not both.rows:
        here, there = (", ".join(each.circuit.conditions) for each in (first, last))
        refuse(f"the files share no condition: {here} here, {there} there", "give one the same name in both")
    return both


def _tell(result: Result, before: str, units: str | None, *, as_json: bool) -> None:
    """Print the effects, what lies behind them, and the sentence for the customer."""
    from netsolve.study.budget import budget
    from netsolve.study.comparison import compare, effects_to_dict
    from netsolve.study.diverted import diverted
    from netsolve.study.oil_effects import cooler_effects, oil_effects
    from netsolve.views.customer import of_changes, plights
    from netsolve.views.effects import compare_table
    from netsolve.views.gathered import brought, objections
    from netsolve.views.prose import closing

    system = units or result.circuit.units
    effects, shares, oils, coolers = compare(result), diverted(result), oil_effects(result), cooler_effects(result)
    sentence = of_changes(result, effects, system=system)
    say(result.circuit.notes)
    if as_json:
        budgets = [asdict(budget(result, each)) for each in effects]
        more = {
            "oils": [each.to_dict() for each in oils],
            "coolers": [_cooler_dict(each) for each in coolers],
            "diverted": [asdict(each) for each in shares],
            "budgets": budgets,
            "sentence": sentence,
        }
        click.echo(json.dumps(effects_to_dict(effects) | more, allow_nan=False))
        return
    told = [budget(result, each) for each in plights(result, effects)]
    print_table(
        lambda: compare_table(effects, system, diverted=shares, oils=oils, coolers=coolers, budgets=told, before=before)
    )
    if brought(result):
        print_table(lambda: objections(result))
    if effects:
        print_table(lambda: closing(sentence))


def _cooler_dict(effect: CoolerEffect) -> dict[str, object]:
    """A cooler's water before and after as plain data."""
    names = {"change": effect.change, "condition": effect.condition, "cooler": effect.cooler}
    return names | {"outlet_before_k": effect.before, "outlet_after_k": effect.after}
