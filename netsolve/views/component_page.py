"""The page of one component, as plain text for a terminal of 80 columns."""

from __future__ import annotations

import inspect
from collections.abc import Iterable, Iterator, Mapping
from textwrap import fill
from typing import Any

from netsolve import units
from netsolve.component import Component, Joint
from netsolve.contract.declare import Quantity, Spec, Table, Word, declared
from netsolve.problems import CircuitError
from netsolve.study.one_part import example, tried
from netsolve.views.catalogue import WIDTH
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
        ["The law", *_indented(law.split("\n\n"))] if law.strip() else [],
        ["Parameters", *_parameters(kind)],
        ["How it fouls, wears or closes", *_worst(kind)],
        ["Ports", f"  {ports}"],
        ["Sources", *_indented(kind.sources, first="  - ")],
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


def _indented(paragraphs: Iterable[str], *, first: str = "  ") -> Iterator[str]:
    rest = " " * len(first)
    for paragraph in paragraphs:
        words = " ".join(paragraph.split())
        yield fill(words, WIDTH, initial_indent=first, subsequent_indent=rest, break_on_hyphens=False)


def _parameters(kind: type[Any]) -> Iterator[str]:
    for field, spec in _shown(kind).items():
        key = kind.model_fields[field].alias or field
        facts = "; ".join(filter(None, [_measured_in(spec), _usual(kind, field, spec), _bounds(spec)]))
        yield fill(f"{key}: {facts}", WIDTH, initial_indent="  ", subsequent_indent="      ")
        below = [spec.doc, f"assumed: {spec.assumed}" if spec.assumed else ""]
        yield from _indented(filter(None, below), first="      ")


def _shown(kind: type[Any]) -> Mapping[str, Spec]:
    return {field: spec for field, spec in declared(kind).items() if not spec.hidden}


def _measured_in(spec: Spec) -> str:
    if isinstance(spec, Quantity):
        unit = " or ".join(dict.fromkeys(filter(None, [spec.shown, *units.shown_units(spec.kind)])))
        return f"{spec.kind}, {unit}" if unit else spec.kind
    if isinstance(spec, Word):
        return "one of " + ", ".join(spec.choices)
    return "points" if isinstance(spec, Table) else "yes or no"


def _usual(kind: type[Any], field: str, spec: Spec) -> str:
    """What is taken where nothing is written."""
    info = kind.model_fields[field]
    same, engine = (getattr(spec, key, "") for key in ("same_as", "engine"))
    if same or (engine and info.default is None):
        return f"left out, as {same}" if same else f"left out, the engine's {engine}"
    if info.is_required():
        return "required"
    if info.default is None:
        return "left out, assumed" if spec.assumed else "may be left out"
    if isinstance(spec, Quantity):
        value = spec.display(info.default)
    else:
        value = ("yes" if info.default else "no") if isinstance(info.default, bool) else str(info.default)
    return f"left out, {value}{' (assumed)' if spec.assumed else ''}"


def _bounds(spec: Spec) -> str:
    """Between which values it must be."""
    if not isinstance(spec, Quantity):
        return ""
    limits = {"above": spec.above, "at least": spec.at_least, "below": spec.below, "at most": spec.at_most}
    return ", ".join(f"{words} {spec.display(limit)}" for words, limit in limits.items() if limit is not None)


def _worst(kind: type[Any]) -> Iterator[str]:
    for field, spec in _shown(kind).items():
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
