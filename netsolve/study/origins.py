"""Where every component and rule comes from, its version, and whether it loads."""

from __future__ import annotations

from collections.abc import Callable, Iterator, Mapping
from dataclasses import dataclass
from typing import Any

from netsolve.component import Component
from netsolve.discovery.entries import Entry
from netsolve.loading import loading, version_of
from netsolve.registry import Registry


@dataclass(frozen=True)
class Origin:
    """One name: what it is (component, joint, rule), where from, which version, and what is wrong with it, if anything.

    `usable` is no where it cannot be loaded; a usable one may be slow to import all the same.
    """

    name: str
    what: str
    origin: str
    version: str
    usable: bool
    complaint: str


def origins(registry: Registry, wanted: str | None = None) -> tuple[Origin, ...]:
    """Every component, then every rule, each by name, or those of one name. All of them are imported."""
    return (
        *_each(registry.components, registry.component, "component", wanted),
        *_each(registry.rule_entries, registry.rule, "rule", wanted),
    )


def _each(
    entries: Mapping[str, tuple[Entry, ...]], load: Callable[[str], type[Any]], what: str, wanted: str | None
) -> Iterator[Origin]:
    for name in sorted(entries):
        if wanted not in (None, name):
            continue
        found = loading(lambda name=name: load(name))  # type: ignore[misc]
        first = entries[name][0]
        is_joint = found.kind is not None and what == "component" and not issubclass(found.kind, Component)
        version = version_of(found.kind, first.version)
        where = " and ".join(entry.origin for entry in entries[name])
        yield Origin(name, "joint" if is_joint else what, where, version, found.kind is not None, found.complaint)
