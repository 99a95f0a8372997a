"""What a shell can complete: the names of conditions, changes and parts of the file on the command line.

The names are read off the YAML without its meaning, so that a file with faults, or one that needs plugins, completes
too.
"""

from __future__ import annotations

import os
from collections.abc import Callable, Iterator
from pathlib import Path
from typing import TYPE_CHECKING

from click.shell_completion import BashComplete, add_completion_class

if TYPE_CHECKING:
    import click

    from netsolve.text.document import Node, Table

Completer = Callable[["click.Context", "click.Parameter", str], list[str]]

SHELLS = ("bash", "zsh", "fish")


class QuotingBash(BashComplete):
    """As click has it, but names with spaces come out quoted, so that they stay one word."""

    source_template = BashComplete.source_template.replace(
        "COMPREPLY+=($value)", 'COMPREPLY+=("$(printf %%q "$value")")'
    )


def offer_completion() -> None:
    """Let bash be told of names with spaces in its own way."""
    add_completion_class(QuotingBash, "bash")


def _completer(names: Callable[[Table], Iterator[str]]) -> Completer:
    """A completer for click: those of the file's names that begin as what is typed does, whatever its case."""

    def complete(context: click.Context, parameter: click.Parameter, typed: str) -> list[str]:
        file = _file(context)
        return [name for name in _read(file, names) if name.casefold().startswith(typed.casefold())] if file else []

    return complete


def _file(context: click.Context) -> Path | None:
    """The circuit file; behind an option whose value is still to come click has not yet told which word it is."""
    words = (Path(word) for word in context.args)
    return context.params.get("file") or next((path for path in words if os.path.isfile(path)), None)


def _read(file: Path, names: Callable[[Table], Iterator[str]]) -> list[str]:
    from netsolve.problems import CircuitError
    from netsolve.source import open_source

    try:
        return list(names(open_source(file)))
    except CircuitError:
        return []


def _keys(table: Node | None) -> Iterator[str]:
    yield from (key.value for key, _ in getattr(table, "entries", ()))


def _conditions(table: Table) -> Iterator[str]:
    yield from _keys(table.get("conditions"))


def _changes(table: Table) -> Iterator[str]:
    yield "as found"
    yield from _keys(table.get("changes"))


def _parts(table: Table) -> Iterator[str]:
    for _, run in getattr(table.get("runs"), "entries", ()):
        for key, parts in getattr(run, "entries", ()):
            if key.value == "parts":
                for item in getattr(parts, "values", ()):
                    yield from _keys(item)


def _runs(table: Table) -> Iterator[str]:
    yield from _keys(table.get("runs"))


def _flows(table: Table) -> Iterator[str]:
    yield from _parts(table)
    yield from _runs(table)


def _shown(table: Table) -> Iterator[str]:
    """All that has values, with the point behind which one comes."""
    things = (*_parts(table), *_runs(table), *_keys(table.get("joints")), *_keys(table.get("oils")))
    yield from (f"{name}." for name in things)


def _settings(table: Table) -> Iterator[str]:
    """The names of what has parameters, with the point behind which one comes; of engines and water the usual ones."""
    things = (*_parts(table), *_keys(table.get("joints")), *_keys(table.get("oils")))
    yield from (f"{name}." for name in things)
    yield from (f"{name}.speed" for name in _keys(table.get("engines")))
    yield "water.temperature"


CONDITIONS = _completer(_conditions)
CHANGES = _completer(_changes)
PARTS = _completer(_parts)
FLOWS = _completer(_flows)
SHOWN = _completer(_shown)
SETTINGS = _completer(_settings)
