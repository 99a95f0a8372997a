"""DOT as text: whatever a user wrote goes in as plain characters, in labels and in names.

Graphviz reads entities in HTML-like labels and then its own backslash escapes, so both are written out.
"""

from __future__ import annotations

import re
import textwrap
from collections.abc import Iterable
from html import escape

from netsolve.problems import printable

INK = "#1f2933"
FAINT = "#52606d"

_TIED = "\N{NO-BREAK SPACE}"


def quoted(name: str) -> str:
    """A name as a DOT string; Graphviz shows it as the title of the thing drawn."""
    plain = printable(name).replace("\\", "/").replace('"', '\\"')
    return f'"{plain}"'


def text(words: str, *, size: int = 11, colour: str = INK, bold: bool = False) -> str:
    """Words of one line in a label."""
    safe = escape(printable(words)).replace("\\", "\\\\") or " "
    safe = f"<B>{safe}</B>" if bold else safe
    return f'<FONT POINT-SIZE="{size}" COLOR="{colour}">{safe}</FONT>'


def wrap(words: str, width: int, *, most: int = 3) -> list[str]:
    """The words in lines of at most `width` characters, at most `most` lines; a cut one ends in `…`.

    A number stays with its unit, and with the number that an arrow leads to.
    """
    lines = textwrap.wrap(tied(printable(words)), width, max_lines=most, placeholder=" …", break_on_hyphens=False)
    return [line.replace(_TIED, " ") for line in lines] or [" "]


def tied(words: str) -> str:
    """The words with every number tied to its unit, and to the number that an arrow leads to."""
    return re.sub(r"(?<=\d) (?=[A-Za-z%°→])|(?<=→) (?=\d)", _TIED, words)


def stacked(lines: Iterable[str]) -> str:
    """Lines of a label, one below the other, all beginning at the left."""
    lines = list(lines)
    if len(lines) == 1:
        return lines[0]
    return "".join(f'{line}<BR ALIGN="LEFT"/>' for line in lines)


def cell(
    content: str, *, align: str = "LEFT", span: int = 1, fill: str = "", padding: int = 3, outline: str = ""
) -> str:
    """A cell of a table; `outline` holds the attributes of its frame."""
    attributes = f'ALIGN="{align}" BALIGN="{align}" COLSPAN="{span}" CELLPADDING="{padding}"'
    attributes += f' BGCOLOR="{fill}"' if fill else ""
    return f"<TD {attributes}{f' {outline}' if outline else ''}>{content}</TD>"


def bar(share: float, *, colour: str, track: str = "#e4e7eb", width: int = 44, height: int = 9) -> str:
    """A bar for a share between 0 and 1 on its track, as a table of two cells."""
    filled = min(width - 1, max(1, round(width * share)))
    cells = "".join(
        f'<TD FIXEDSIZE="TRUE" WIDTH="{part}" HEIGHT="{height}" BGCOLOR="{fill}"></TD>'
        for part, fill in ((filled, colour), (width - filled, track))
    )
    return f'<TABLE BORDER="0" CELLBORDER="0" CELLSPACING="0" CELLPADDING="0"><TR>{cells}</TR></TABLE>'
