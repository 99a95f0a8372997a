"""`netsolve compare --each-part`: what every part gives or costs a need."""

from __future__ import annotations

import json
from collections.abc import Sequence
from typing import TYPE_CHECKING

import click

from netsolve.console import named, print_table, refuse, solved_circuit

if TYPE_CHECKING:
    from netsolve.circuit import Circuit
    from netsolve.registry import Registry
    from netsolve.result import Result


def tell_each_part(
    circuit: Circuit,
    conditions: Sequence[str],
    need: str | None,
    registry: Registry,
    units: str | None,
    *,
    as_json: bool,
) -> Result:
    """Print what taking out each part, or putting it in, does to a need: the one named, or the one worst off."""
    from netsolve.study.each_part import hardest_condition, turned, worst_need, worth
    from netsolve.views.customer import of_parts
    from netsolve.views.parts_ranked import parts_table, parts_to_dict
    from netsolve.views.prose import closing

    try:
        result = solved_circuit(turned(circuit), conditions, (), registry, units)
    except ValueError as error:
        refuse(str(error), "compare a few parts with --remove and --fit")
    wanted = named([need], list(circuit.as_found.parts), "part") if need is not None else None
    about = wanted[0] if wanted else worst_need(result)
    if about is None:
        refuse("no part has a need, so nothing can be ranked", "write min_flow to a part, or name one with --need")
    system = units or circuit.units
    found, hardest = worth(result, about), hardest_condition(result, about)
    sentence = of_parts(found, about, hardest, system=system)
    if as_json:
        click.echo(json.dumps(parts_to_dict(found, about) | {"sentence": sentence}, allow_nan=False))
    else:
        print_table(lambda: parts_table(found, about, hardest, system))
        print_table(lambda: closing(sentence))
    return result
