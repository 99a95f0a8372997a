"""What may be written of a thing, one parameter after the other, for a terminal of 80 columns."""

from __future__ import annotations

from collections.abc import Iterable, Iterator, Mapping
from textwrap import fill
from typing import Any

from netsolve import units
from netsolve.contract.declare import Quantity, Spec, Table, Word, declared
from netsolve.views.catalogue import WIDTH


def indented(paragraphs: Iterable[str], *, first: str = "  ") -> Iterator[str]:
    """Paragraphs folded to the width, the first line of each with a mark before it."""
    rest = " " * len(first)
    for paragraph in paragraphs:
        words = " ".join(paragraph.split())
        yield fill(words, WIDTH, initial_indent=first, subsequent_indent=rest, break_on_hyphens=False)


def parameters(kind: type[Any]) -> Iterator[str]:
    """Each parameter with its unit, its usual value, its bounds and what it is."""
    for field, spec in shown(kind).items():
        key = kind.model_fields[field].alias or field
        facts = "; ".join(filter(None, [_measured_in(spec), _usual(kind, field, spec), _bounds(spec)]))
        yield fill(f"{key}: {facts}", WIDTH, initial_indent="  ", subsequent_indent="      ")
        below = [spec.doc, f"assumed: {spec.assumed}" if spec.assumed else ""]
        yield from indented(filter(None, below), first="      ")


def shown(kind: type[Any]) -> Mapping[str, Spec]:
    """Its parameters by field, those left out that nobody writes."""
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
