"""What the commands share that plan a flush: its options, and the plan that they ask for."""

from __future__ import annotations

from collections.abc import Callable
from typing import TYPE_CHECKING, Any

import click

from netsolve.console import at_work, named, refuse
from netsolve.study.descaling import AGENT_NAMES

if TYPE_CHECKING:
    from netsolve.circuit import Circuit
    from netsolve.study.dosing import Dose
    from netsolve.study.flushing import Flush

_OPTIONS = {
    "--hole": ("LENGTH", "what a plug in the part leaves open, such as '3 mm'; '0 mm' is shut"),
    "--scale": ("LENGTH", "how much has grown on its walls, such as '0.5 mm'"),
    "--bucket": ("VOLUME", "the bucket at hand, such as '15 L'"),
    "--strength": ("SHARE", "of pure acid in the mix, by the label, such as '8 %'"),
}


def flushed(before: str = "") -> Callable[[Callable[..., None]], Callable[..., None]]:
    """A command with the options of a flush; each one's help begins with `before`."""

    def with_options(command: Callable[..., None]) -> Callable[..., None]:
        for name, (metavar, help) in reversed(_OPTIONS.items()):
            command = click.option(name, metavar=metavar, help=_capital(f"{before}{help}."))(command)
        help = _capital(f"{before}the acid; default: {AGENT_NAMES[0]}.")
        return click.option("--agent", type=click.Choice(AGENT_NAMES), help=help)(command)

    return with_options


def _capital(text: str) -> str:
    return text[:1].upper() + text[1:]


def planned(circuit: Circuit, part: str, change: str, given: dict[str, Any]) -> tuple[Flush, Dose]:
    """The plan for a part with what the options say; whatever cannot be read ends the command."""
    from dataclasses import replace

    from netsolve.study.descaling import AGENTS
    from netsolve.study.dosing import dose
    from netsolve.study.flushing import flush

    (name,) = named([part], list(circuit.as_found.parts), "part") or [part]
    hole, scale = (value_of(given[each], "length", f"--{each}", zero=each == "hole") for each in ("hole", "scale"))
    bucket, strength = (value_of(given[each], kind, f"--{each}") for each, kind in _OTHERS.items())
    agent = AGENTS[given["agent"] or AGENT_NAMES[0]]
    if strength is not None:
        if strength > agent.bought:
            refuse(f"--strength: {agent.name} as bought has {100 * agent.bought:.0f} %", "give the share in the mix")
        agent = replace(agent, strength=strength)
    with at_work():
        plan = flush(circuit, name, change=change, hole=hole, scale=scale, bucket=bucket)
    return plan, dose(plan, agent)


_OTHERS = {"bucket": "volume", "strength": "ratio"}
_EXAMPLES = {"length": "3 mm", "volume": "15 L", "ratio": "8 %", "flow": "4 L/min"}


def value_of(text: str | None, kind: str, option: str, *, zero: bool = False) -> float | None:
    """The value of an option; a number that cannot be read, or is too small, ends the command."""
    if text is None:
        return None
    from netsolve.units import UnitError, read

    try:
        value = read(text, kind).value
    except UnitError as error:
        refuse(f"{option}: {error.message}", error.help)
    if value < 0 or (value == 0 and not zero):
        refuse(f"{option}: '{text}' is not above zero", f"for example {option} '{_EXAMPLES[kind]}'")
    return value
