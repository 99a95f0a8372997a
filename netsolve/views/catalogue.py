"""The catalogue of components, by groups, as plain text for a terminal."""

from __future__ import annotations

import inspect
from textwrap import fill
from typing import Any

from netsolve.component import Component, Joint, Opening
from netsolve.registry import PluginError, Registry

WIDTH = 80

_BY_ROLE = {
    "pump": "Pumps",
    "cooler": "Coolers",
    "strainer": "Strainers",
    "shut_off": "Valves",
    "one_way": "Valves",
}
_OPENINGS, _MEETING, _BROKEN = "Joints: openings", "Joints: meeting places", "Not usable"
_FIRST = ("Pipes and hoses", "Valves", "Strainers", "Pumps", "Coolers", "Other fittings")
_LAST = (_OPENINGS, _MEETING, _BROKEN)


def catalogue(registry: Registry) -> str:
    """Every component with its first sentence, by groups: parts of a run, then joints."""
    groups: dict[str, list[str]] = {title: [] for title in _FIRST}
    for name in registry.names():
        try:
            kind = registry.component(name)
        except PluginError as error:
            groups.setdefault(_BROKEN, []).append(_line(name, str(error)))
            continue
        groups.setdefault(group(kind), []).append(_line(name, summary(kind)))
    titles = [title for title in groups if title not in _LAST] + [title for title in _LAST if title in groups]
    blocks = [f"{title}\n" + "\n".join(groups[title]) for title in titles if groups[title]]
    foot = (
        "'netsolve components NAME' prints the page of one, 'netsolve components oils' how a charge of oil is written."
    )
    return "\n\n".join([*blocks, fill(foot, WIDTH)])


def group(kind: type[Component] | type[Joint]) -> str:
    """The heading that a component stands under: its own, or by its roles, or by what sort of joint it is."""
    if kind.group:
        return kind.group
    if issubclass(kind, Joint):
        return _OPENINGS if issubclass(kind, Opening) else _MEETING
    return next((_BY_ROLE[role] for role in kind.roles if role in _BY_ROLE), "Other fittings")


def _line(name: str, text: str) -> str:
    return fill(text, WIDTH, initial_indent=f"  {name:18} ", subsequent_indent=" " * 21)


def summary(kind: type[Any]) -> str:
    """The first line of a component's docstring."""
    return (inspect.getdoc(kind) or "").split("\n", 1)[0]
