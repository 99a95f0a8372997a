"""Words on a terminal: folded at its edge with numbers beside their units, never read as markup."""

from __future__ import annotations

from collections.abc import Iterator
from dataclasses import dataclass
from typing import TYPE_CHECKING

from netsolve.problems import printable
from netsolve.study.comparison import UNSETTLED
from netsolve.views import wording
from netsolve.views.markup import wrap

if TYPE_CHECKING:
    from rich.console import Console, ConsoleOptions, RenderableType
    from rich.table import Table
    from rich.text import Text

STYLES = {
    "reversed": "bold magenta",
    "shut": "bold",
    "dry": "bold red",
    "starved": "bold red",
    "marginal": "yellow",
    "overfed": "bold cyan",
    "served": "green",
    UNSETTLED: "bold red",
    "danger": "bold red",
    "fault": "bold red",
    "wear": "yellow",
}

_WIDEST_LABEL = 30
_NARROWEST = 20
_ENDLESS = 1_000_000


def plain(words: str, style: str = "") -> Text:
    """The words as they are, on lines that fold at the edge."""
    from rich.text import Text

    return Text(printable(words), style=style, overflow="fold")


def verdict(word: str | None) -> Text:
    """A verdict in its colour."""
    return plain(wording.word(word), STYLES.get(word or "", ""))


def closing(sentence: str) -> RenderableType:
    """The sentence that an answer ends with, a line below the rest."""
    from rich.console import Group

    return Group(plain(""), Sentence("", sentence, words_style="bold", indent=0))


def grid(*columns: tuple[str, int]) -> Table:
    """A table without frame whose columns stand alike in every group; a head in faint letters."""
    from rich.table import Table

    table = Table(box=None, padding=(0, 1, 0, 0), pad_edge=False, header_style="dim", show_edge=False)
    for name, width in columns:
        table.add_column(name, width=width, overflow="fold")
    return table


@dataclass(frozen=True)
class Sentence:
    """A sentence, set in; its further lines stand under the first word after the label, or one step further in.

    `style` is the label's; a label too long to stand beside the words runs on into them.
    """

    label: str
    words: str
    style: str = "dim"
    words_style: str = ""
    indent: int = 2

    def __rich_console__(self, console: Console, options: ConsoleOptions) -> Iterator[Text]:
        label, words = printable(self.label), self.words
        if len(label) > _WIDEST_LABEL:
            label, words = "", label + words
        hangs = self.indent + (len(label) or 2)
        room = max(_NARROWEST, options.max_width - hangs)
        lines = wrap(words, room, most=_ENDLESS)
        yield plain(" " * self.indent) + plain(label, self.style) + plain(lines[0], self.words_style)
        for line in lines[1:]:
            yield plain(" " * hangs) + plain(line, self.words_style)
