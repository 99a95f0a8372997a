"""`netsolve flush`: the plan for flushing one part in a bucket loop."""

from __future__ import annotations

import json
from collections.abc import Sequence
from pathlib import Path

import click

from netsolve.completing import CHANGES, PARTS
from netsolve.console import FILE, JSON, PLUGINS, UNITS, at_work, loaded, named, print_table, refuse, registry_of, say
from netsolve.study.descaling import AGENT_NAMES


@click.command()
@FILE
@click.argument("part", shell_complete=PARTS)
@click.option(
    "--change", metavar="NAME", shell_complete=CHANGES, help="The part as it is under this change; default: as found."
)
@click.option("--hole", metavar="LENGTH", help="What a plug in it leaves open, such as '3 mm'.")
@click.option("--scale", metavar="LENGTH", help="How much has grown on its walls, such as '0.5 mm'.")
@click.option("--bucket", metavar="VOLUME", help="The bucket at hand, such as '15 L'.")
@click.option("--agent", type=click.Choice(AGENT_NAMES), default="phosphoric", help="The acid; default: phosphoric.")
@click.option("--before", metavar="FLOW", help="A bucket test of the loop before, such as '4 L/min'.")
@click.option("--after", metavar="FLOW", help="The same after, to see whether it worked; with the first pump.")
@PLUGINS
@UNITS
@JSON
def command(
    file: Path,
    part: str,
    change: str | None,
    hole: str | None,
    scale: str | None,
    bucket: str | None,
    agent: str,
    before: str | None,
    after: str | None,
    plugins: Sequence[Path],
    units: str | None,
    as_json: bool,
) -> None:
    """Plan the flush of PART: pumps, acid, gas, steps, proof."""
    from netsolve.study.flushing import flush, flush_to_dict

    circuit = loaded(file, registry_of(plugins))
    (name,) = named([part], list(circuit.as_found.parts), "part") or [part]
    (under,) = named([change] if change else ["as found"], circuit.changes, "change") or ["as found"]
    sizes = {"hole": _read(hole, "length", "--hole"), "scale": _read(scale, "length", "--scale")}
    with at_work():
        plan = flush(circuit, name, change=under, **sizes, bucket=_read(bucket, "volume", "--bucket"))
    tests = _read(before, "flow", "--before"), _read(after, "flow", "--after")
    if (tests[0] is None) != (tests[1] is None):
        refuse("--before and --after belong together", "give both bucket tests, of the same loop and pump")
    say(circuit.notes)
    if as_json:
        click.echo(json.dumps(flush_to_dict(plan), allow_nan=False))
        return
    from netsolve.views.flush import flush_table, index_sentence

    print_table(lambda: flush_table(plan, agent, units or circuit.units))
    if tests[0] is not None and tests[1] is not None:
        click.echo()
        from netsolve.views.prose import Sentence

        told = index_sentence(tests[0], tests[1], plan.loops[0].clean)
        print_table(lambda: Sentence("did it work? ", told, words_style="bold", indent=0))


def _read(text: str | None, kind: str, option: str) -> float | None:
    """The value of an option; a number that cannot be read, or is not above zero, ends the command."""
    if text is None:
        return None
    from netsolve.units import UnitError, read

    try:
        value = read(text, kind).value
    except UnitError as error:
        refuse(f"{option}: {error.message}", error.help)
    if value <= 0:
        refuse(f"{option}: '{text}' is not above zero", f"for example {option} '3 mm'" if kind == "length" else "")
    return value
