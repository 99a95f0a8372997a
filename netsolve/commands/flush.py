"""`netsolve flush`: the plan for flushing one part in a bucket loop."""

from __future__ import annotations

import json
from collections.abc import Sequence
from pathlib import Path
from typing import TYPE_CHECKING, Any

import click

from netsolve.commands._flushing import flushed, planned, value_of
from netsolve.commands._sheets import PAGE, check_page, tell
from netsolve.completing import CHANGES, PARTS
from netsolve.console import FILE, JSON, PLUGINS, UNITS, loaded, named, refuse, registry_of, say

if TYPE_CHECKING:
    from netsolve.study.flushing import Flush
    from netsolve.views.flush import Tested


@click.command()
@FILE
@click.argument("part", shell_complete=PARTS)
@click.option(
    "--change", metavar="NAME", shell_complete=CHANGES, help="The part as it is under this change; default: as found."
)
@flushed()
@click.option("--before", metavar="FLOW", help="A bucket test of the loop before, such as '4 L/min'.")
@click.option("--after", metavar="FLOW", help="The same after, to see whether it worked.")
@click.option("--pump", metavar="NAME", help="The pump of these tests; default: the one that the steps name.")
@PAGE
@PLUGINS
@UNITS
@JSON
def command(
    file: Path,
    part: str,
    change: str | None,
    before: str | None,
    after: str | None,
    pump: str | None,
    output: Path | None,
    plugins: Sequence[Path],
    units: str | None,
    as_json: bool,
    **given: Any,
) -> None:
    """Plan the flush of PART: pumps, acid, gas, steps, proof."""
    from netsolve.study.dosing import dose_to_dict
    from netsolve.study.flushing import flush_to_dict, tested_to_dict
    from netsolve.views.flush import flush_sheet

    check_page(output)
    circuit = loaded(file, registry_of(plugins))
    (under,) = named([change] if change else ["as found"], circuit.changes, "change") or ["as found"]
    plan, dose = planned(circuit, part, under, given)
    tested = _tested(plan, before, after, pump)
    say(circuit.notes)
    if as_json:
        proof = {} if tested is None else {"test": tested_to_dict(tested.loop, tested.before, tested.after)}
        click.echo(json.dumps(flush_to_dict(plan) | {"dose": dose_to_dict(plan, dose)} | proof, allow_nan=False))
        return
    tell(lambda: flush_sheet(plan, dose, units or circuit.units, tested), output)


def _tested(plan: Flush, before: str | None, after: str | None, pump: str | None) -> Tested | None:
    """The bucket tests, None where there are none."""
    from netsolve.views.flush import Tested

    first, last = value_of(before, "flow", "--before", zero=True), value_of(after, "flow", "--after", zero=True)
    if (first is None) != (last is None):
        refuse("--before and --after belong together", "give both bucket tests, of the same loop and pump")
    if first is None or last is None:
        if pump is not None:
            refuse("--pump is the pump of the bucket tests", "add --before and --after")
        return None
    loops = {loop.pump: loop for loop in plan.loops}
    (name,) = named([pump], list(loops), "pump") or [pump] if pump is not None else [plan.testing.pump]
    return Tested(loops[name], first, last)
