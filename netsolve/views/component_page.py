"""The page of one component, as plain text for a terminal of 80 columns."""

from __future__ import annotations

import inspect
from collections.abc import Iterator
from textwrap import fill
from typing import Any

from netsolve.component import Component, Joint
from netsolve.contract.cooling import Cooling
from netsolve.contract.declare import Quantity
from netsolve.problems import CircuitError
from netsolve.study.one_part import example, tried
from netsolve.views.catalogue import WIDTH
from netsolve.views.oil_page import cooler_keys
from netsolve.views.parameters import indented, parameters, shown
from netsolve.views.part_curve import plot

_PLOT_WIDTH = 60
_TIED = "\N{NO-BREAK SPACE}"


def page(name: str, kind: type[Component] | type[Joint]) -> str:
    """One component: what it is, its law, its parameters, how it fouls, its sources, an example and its curve."""
    about, _, law = (inspect.getdoc(kind) or "").partition("\n\n")
    ports = ", ".join(kind.ports) or "any number of runs"
    blocks = [
        [name, "=" * len(name)],
        [fill(about, WIDTH)],
        ["The law", *indented(law.split("\n\n"))] if law.strip() else [],
        ["Parameters", *parameters(kind)],
        ["What it may say of heat", *cooler_keys(kind)],
        ["How it fouls, wears or closes", *_worst(kind), *(_worst(Cooling) if any(cooler_keys(kind)) else ())],
        ["Ports", f"  {ports}"],
        ["Sources", *indented(kind.sources, first="  - ")],
        ["An example to paste", example_lines(name, kind)],
        _plotted(name, kind),
    ]
    return "\n\n".join("\n".join(block) for block in blocks if len(block) > 1 or block == blocks[1])


def example_lines(name: str, kind: type[Component] | type[Joint]) -> str:
    """The example as YAML: an item of a run's `parts:`, or a line of `joints:`."""
    values = {"type": name, **example(kind)}
    pairs = ", ".join(f"{key}: {value}".replace(" ", _TIED) for key, value in values.items())
    item = f"{'- ' if issubclass(kind, Component) else ''}{name.replace('_', _TIED)}:{_TIED}{{{pairs}}}"
    lines = fill(item, WIDTH, initial_indent="  ", subsequent_indent="      ", break_on_hyphens=False)
    return lines.replace(_TIED, " ")


def _worst(kind: type[Any]) -> Iterator[str]:
    for field, spec in shown(kind).items():
        if isinstance(spec, Quantity) and spec.worst is not None:
            info = kind.model_fields[field]
            first = f"from {spec.display(info.default)} " if isinstance(info.default, float) else ""
            yield f"  {info.alias or field}: {first}to {spec.display(spec.worst)}"


def _plotted(name: str, kind: type[Component] | type[Joint]) -> list[str]:
    """The curve of the example; nothing for a joint, nor where the example cannot be made or tried."""
    if not issubclass(kind, Component):
        return []
    try:
        points = tried(name, kind, (), columns=_PLOT_WIDTH).points
    except CircuitError:
        return []
    drawn = plot(points, gives="pump" in kind.roles)
    return [f"What the example {'gives' if 'pump' in kind.roles else 'takes'}", drawn] if drawn else []
