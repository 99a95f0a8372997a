"""A sheet of sections, to be read on a terminal or printed from HTML: the same words in both."""

from __future__ import annotations

from collections.abc import Collection, Sequence
from dataclasses import dataclass, field, replace
from typing import TYPE_CHECKING, Any

from netsolve.problems import printable
from netsolve.views.markup import tied
from netsolve.views.prose import Sentence, grid, plain

if TYPE_CHECKING:
    from rich.console import RenderableType


@dataclass(frozen=True, slots=True)
class Grid:
    """A table: heads with the width that they have on a terminal, and rows; an empty cell is a blank to be filled.

    Cells that say one of the words in `stressed` stand out.
    """

    heads: Sequence[tuple[str, int]]
    rows: Sequence[Sequence[str]]
    stressed: Collection[str] = ()


@dataclass(frozen=True, slots=True)
class Section:
    """A heading, then warnings, sentences, a table, and so many empty lines to write on.

    `picture` is SVG, for HTML alone; `small` is for what is only looked up, smaller on paper.
    """

    title: str
    sentences: Sequence[str] = ()
    grid: Grid | None = None
    room: int = 0
    picture: str = ""
    numbered: bool = False
    small: bool = False
    warnings: Sequence[str] = ()


@dataclass(frozen=True, slots=True)
class Sheet:
    """All of it; `sign` are the blanks at its end."""

    title: str
    subtitle: str
    sections: Sequence[Section]
    sign: Sequence[str] = field(default=("name", "date", "engine hours", "signature"))

    def within(self, topic: str) -> list[Section]:
        """The sections as those of another page, each under the topic."""
        return [replace(each, title=f"{topic}: {each.title}") for each in self.sections]


def on_terminal(sheet: Sheet) -> RenderableType:
    """The sheet for a terminal of 80 columns."""
    from rich.console import Group

    lines: list[RenderableType] = [plain(sheet.title, "bold"), plain(sheet.subtitle)]
    for section in sheet.sections:
        lines += [plain(""), plain(section.title, "bold underline")]
        lines += [Sentence("", each, words_style="bold red") for each in section.warnings]
        for number, each in enumerate(section.sentences, 1):
            lines.append(Sentence(f"{number}. " if section.numbered else "", each, style="bold"))
        if section.grid is not None:
            table = grid(*section.grid.heads)
            for row in section.grid.rows:
                cells = zip(row, section.grid.heads, strict=True)
                table.add_row(*(_cell(cell, width, section.grid) for cell, (_, width) in cells))
            lines.append(table)
        lines += [plain("  " + "_" * 76) for _ in range(section.room)]
    lines += [plain(""), plain("   ".join(f"{each} ______________" for each in sheet.sign[:2]))]
    lines.append(plain("   ".join(f"{each} ______________" for each in sheet.sign[2:])))
    return Group(*lines)


def _cell(words: str, width: int, table: Grid) -> RenderableType:
    return plain(words or "_" * (width - 2), "bold red" if words in table.stressed else "")


def as_html(sheet: Sheet) -> str:
    """The sheet as one page of HTML that needs nothing but itself, to be printed."""
    import base64
    import hashlib

    from jinja2 import Environment, PackageLoader, StrictUndefined

    pages = Environment(
        loader=PackageLoader("netsolve.views", "pages"),
        autoescape=True,
        undefined=StrictUndefined,
        trim_blocks=True,
        lstrip_blocks=True,
        finalize=_harmless,
    )
    style = pages.get_template("report.css").render(looks={})
    hashed = base64.b64encode(hashlib.sha256(style.encode()).digest()).decode()
    return pages.get_template("sheet.html").render(sheet=sheet, style=style, style_hash=hashed)


def _harmless(value: Any) -> Any:
    """Text without control characters, numbers tied to their units; what is already HTML stays as it is."""
    return tied(printable(value)) if type(value) is str else value
