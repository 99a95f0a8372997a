"""The catalogue of components, and the page of one, as plain text for a terminal."""

from __future__ import annotations

import inspect
from collections.abc import Iterator
from textwrap import fill
from typing import Any

from netsolve.component import Component, Joint
from netsolve.declare import Quantity, Spec, Word, declared
from netsolve.registry import PluginError, Registry

WIDTH = 80


def catalogue(registry: Registry) -> str:
    """Every component with its first sentence, parts before joints."""
    groups: dict[str, list[str]] = {"Parts in a run": [], "Joints": [], "Not usable": []}
    for name in registry.names():
        try:
            kind = registry.component(name)
        except PluginError as error:
            groups["Not usable"].append(_line(name, str(error)))
            continue
        group = "Parts in a run" if issubclass(kind, Component) else "Joints"
        groups[group].append(_line(name, summary(kind)))
    blocks = [f"{title}\n" + "\n".join(lines) for title, lines in groups.items() if lines]
    return "\n\n".join(blocks) + "\n\n'netsolve components NAME' prints the page of one."


def _line(name: str, text: str) -> str:
    return fill(text, WIDTH, initial_indent=f"  {name:18} ", subsequent_indent=" " * 21)


def summary(kind: type[Any]) -> str:
    """The first line of a component's docstring."""
    return (inspect.getdoc(kind) or "").split("\n", 1)[0]


def page(name: str, kind: type[Component] | type[Joint]) -> str:
    """One component: what it is, its parameters, where its law comes from."""
    lines = [name, "=" * len(name), "", *_wrapped(inspect.getdoc(kind) or ""), "", "Parameters"]
    for field, spec in declared(kind).items():
        if not spec.hidden:
            lines += [*_parameter(kind, field, spec)]
    if kind.ports:
        lines += ["", f"Ports: {', '.join(kind.ports)}"]
    sources = (fill(each, WIDTH, initial_indent="  - ", subsequent_indent="    ") for each in kind.sources)
    lines += ["", "Sources", *sources]
    return "\n".join(lines)


def _wrapped(text: str) -> Iterator[str]:
    for paragraph in text.split("\n\n"):
        yield fill(paragraph, WIDTH)
        yield ""


def _parameter(kind: type[Any], field: str, spec: Spec) -> Iterator[str]:
    yield f"  {field}: {_usual(kind, field, spec)}"
    yield fill(spec.doc, WIDTH, initial_indent="      ", subsequent_indent="      ")
    if isinstance(spec, Word):
        yield fill("one of " + ", ".join(spec.choices), WIDTH, initial_indent="      ", subsequent_indent="        ")
    if spec.assumed:
        yield fill(f"assumed: {spec.assumed}", WIDTH, initial_indent="      ", subsequent_indent="        ")


def _usual(kind: type[Any], field: str, spec: Spec) -> str:
    """What is taken where nothing is written."""
    info = kind.model_fields[field]
    if info.is_required():
        return "required"
    if info.default is None:
        same = spec.same_as if isinstance(spec, Quantity) else ""
        engine = spec.engine if isinstance(spec, Quantity) else ""
        return f"as {same}" if same else f"the engine's {engine}" if engine else "may be left out"
    if isinstance(spec, Quantity):
        return spec.display(info.default)
    if isinstance(info.default, bool):
        return "yes" if info.default else "no"
    return str(info.default)
