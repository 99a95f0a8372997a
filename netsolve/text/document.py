"""What a text holds once YAML is read: texts, tables and lists, each with its place."""

from __future__ import annotations

import re
from dataclasses import dataclass, field
from typing import NamedTuple

from netsolve.problems import Span
from netsolve.text.page import Mark, Page


class Place(NamedTuple):
    """Where a piece begins and ends; a Span is made of it only when asked for, as few are ever shown."""

    page: Page
    line: int
    column: int
    end_line: int
    end_column: int

    @property
    def end(self) -> Mark:
        return (self.end_line, self.end_column)

    def span(self) -> Span:
        return self.page.span((self.line, self.column), self.end)


@dataclass(frozen=True, slots=True)
class Text:
    """A scalar, always as text; `quoted` says that it was written in quotes or as a block."""

    value: str
    quoted: bool
    place: Place = field(compare=False, repr=False)

    @property
    def span(self) -> Span:
        return self.place.span()


@dataclass(frozen=True, slots=True)
class Table:
    """Names with their values in file order; a name given twice never gets this far."""

    entries: tuple[tuple[Text, Node], ...]
    place: Place = field(compare=False, repr=False)
    index: dict[str, Node] = field(compare=False, repr=False)

    @property
    def span(self) -> Span:
        return self.place.span()

    def get(self, key: str) -> Node | None:
        """The value under this very text, or None."""
        return self.index.get(key)


@dataclass(frozen=True, slots=True)
class Items:
    """A list of values."""

    values: tuple[Node, ...]
    place: Place = field(compare=False, repr=False)

    @property
    def span(self) -> Span:
        return self.place.span()


Node = Text | Table | Items


_CUT_OFF = re.compile(r"\s+(#\w[^:]*|#\s+\d+(?=\s*:|\s*$))")


def cut_short(node: Text) -> str | None:
    """What a comment seems to have cut off a name or value, as '#2' in `hose #2: {…}`, or None."""
    if node.quoted:
        return None
    line, column = node.place.end
    found = _CUT_OFF.match(node.place.page.line(line), column)
    return found[1].rstrip() if found else None
