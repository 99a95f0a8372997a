"""A text, found to be one and cut into lines, so that any place in it can be shown."""

from __future__ import annotations

import re
from dataclasses import dataclass
from typing import NoReturn

from netsolve.problems import CircuitError, Problem, Span

MAX_BYTES = 10_000_000

Mark = tuple[int, int]
"""A line and a column, both counted from 0 as YAML readers do."""


@dataclass(frozen=True, slots=True, eq=False)
class Page:
    """A text with its lines at hand, so that a mark can be shown."""

    file: str
    lines: list[str]

    def line(self, number: int) -> str:
        """The line with this number from 0, empty beyond the end."""
        return self.lines[number] if 0 <= number < len(self.lines) else ""

    def span(self, start: Mark, end: Mark | None = None) -> Span:
        """The place from one mark to another, or to the end of the first line when it goes on below."""
        line, column = start
        text = self.line(line)
        stop = column + 1 if end is None else end[1] if end[0] == line else len(text.rstrip())
        return Span(self.file, line + 1, column + 1, max(1, stop - column), text)


def page_of(text: str, file: str) -> Page:
    """The text as lines, broken where YAML breaks them: CR LF, LF, CR, NEL, LS and PS."""
    plain = text.replace("\r\n", "\n")
    for line_break in "\r\x85\u2028\u2029":
        plain = plain.replace(line_break, "\n")
    return Page(file, plain.split("\n"))


def refuse(code: str, message: str, help: str, at: Span | None = None) -> NoReturn:
    """Raise the one problem that ends the reading."""
    raise CircuitError([Problem(code, message, help, at)])


UNPRINTABLE = re.compile("[^\t\n\r\x20-\x7e\x85\xa0-\ud7ff\ue000-\ufefe\uff00-\ufffd\U00010000-\U0010ffff]")
_DIRECTIVE = re.compile("(?:^|[\n\r\x85\u2028\u2029])%")


def checked(text: str | bytes, file: str) -> tuple[Page, str]:
    """The text as lines and decoded. Raises CircuitError when it is too large or no plain text."""
    if len(text) > MAX_BYTES:
        message = f"'{file}' holds more than {MAX_BYTES // 1_000_000} MB, too much for a circuit"
        refuse("too-large", message, "check that it is a circuit file")
    content = (_decoded(text, file) if isinstance(text, bytes) else text).removeprefix("\ufeff")
    page = page_of(content, file)
    if strange := UNPRINTABLE.search(content):
        message = f"the character U+{ord(strange[0]):04X} does not belong in a text"
        help = "save the file as plain UTF-8 text, without this character"
        refuse("not-text", message, help, _place_at(content, strange.start(), file))
    if directive := _DIRECTIVE.search(content):
        message = "a line may not begin with '%', which would be an order to the YAML reader"
        refuse("directive", message, "leave the line out", _place_at(content, directive.end() - 1, file))
    return page, content


def _decoded(data: bytes, file: str) -> str:
    if data.startswith((b"\xff\xfe", b"\xfe\xff")):
        refuse("not-text", f"'{file}' is written as UTF-16", "save it as UTF-8", Span(file, 1, 1))
    try:
        return data.decode("utf-8")
    except UnicodeDecodeError as error:
        kept = data[: error.start].decode("utf-8").removeprefix("\ufeff")
        message = f"the byte {data[error.start]:#04x} is not UTF-8 text"
        refuse("not-text", message, "save the file as UTF-8", _place_at(kept, len(kept), file))


def _place_at(content: str, index: int, file: str) -> Span:
    above = page_of(content[:index], file).lines
    return page_of(content, file).span((len(above) - 1, len(above[-1])))
