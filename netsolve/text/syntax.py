"""What a slip in YAML means in plain words, at its place, with the usual cure."""

from __future__ import annotations

import re
from collections.abc import Callable
from dataclasses import dataclass

from netsolve.problems import Problem, Span
from netsolve.text.page import Mark, Page

_LONGEST_NAME = 1024  # YAML looks no further than this for the colon after a name


def quoted(text: str) -> str:
    """The text as it can be typed in quotes, cut when it is long."""
    short = text if len(text) <= 40 else text[:39] + "…"
    return "'" + short.replace("'", "''") + "'"


@dataclass(frozen=True, slots=True)
class Slip:
    """A YAML reader's complaint: its words, the mark it stopped at, and where what it was reading began."""

    page: Page
    words: str
    mark: Mark
    begin: Mark

    @property
    def line(self) -> str:
        return self.page.line(self.mark[0])

    @property
    def before(self) -> str:
        return self.line[: self.mark[1]]

    @property
    def char(self) -> str:
        return self.line[self.mark[1] : self.mark[1] + 1]

    @property
    def opener(self) -> str:
        """The character at which what was being read began."""
        return self.page.line(self.begin[0])[self.begin[1] : self.begin[1] + 1]

    def problem(self, message: str, help: str, at: Span | None = None, also: Span | None = None) -> Problem:
        return Problem("not-yaml", message, help, at or self.page.span(self.mark), also)


def explain_slip(slip: Slip) -> Problem:
    """One problem in plain words for one complaint of the YAML reader."""
    for usual in (_tab, _cut):
        if problem := usual(slip):
            return problem
    for words, explanation in _EXPLANATIONS:
        if re.search(words, slip.words):
            return explanation(slip)
    return slip.problem(f"this is not YAML: {slip.words}", "compare the line with those around it")


def _tab(slip: Slip) -> Problem | None:
    indent = slip.line[: len(slip.line) - len(slip.line.lstrip())]
    column = slip.mark[1] if slip.char == "\t" else indent.find("\t")
    allowed = re.search(r"expected ',' or|cannot start|quoted", slip.words)  # a tab may stand inside brackets
    if column < 0 or (allowed and slip.char != "\t"):
        return None
    return slip.problem("a tab is used to indent", "use spaces", slip.page.span((slip.mark[0], column)))


def _cut(slip: Slip) -> Problem | None:
    above = _line_above(slip.page, slip.mark[0])
    for number in dict.fromkeys((slip.begin[0], above, slip.mark[0])):
        text = slip.page.line(number)
        if (comment := re.search(r"\s#", text)) and (lost := _lost(text[: comment.start()], text[comment.end() - 1 :])):
            start = comment.end() - 1
            return slip.problem(
                f"' #' begins a comment here, so {quoted(lost)} and the rest of the line are not read",
                "write it without ' #', or put the whole name or value in quotes",
                slip.page.span((number, start), (number, start + len(lost))),
            )
    return None


def _lost(kept: str, comment: str) -> str | None:
    """What a comment took from the name or value before it; None when it looks like a real comment."""
    kept = kept.rstrip()
    name = kept.lstrip(" -")
    if not name or name[-1] in ",{[\"'" or kept.count("'") % 2 or kept.count('"') % 2:
        return None
    if ":" in comment and ":" not in name and name[0] not in "\"'{[":
        return comment.partition(":")[0].rstrip()
    still_open = max(kept.rfind("{"), kept.rfind("[")) > max(kept.rfind("}"), kept.rfind("]"))
    if still_open and re.search(r"[}\]]", comment):
        return re.split(r"[,}\]]", comment, maxsplit=1)[0].rstrip()
    return None


def _line_above(page: Page, number: int) -> int:
    """The number of the nearest line above that is neither blank nor a comment; -1 if there is none."""
    number -= 1
    while number >= 0 and re.match(r"\s*(#|$)", page.line(number)):
        number -= 1
    return number


def _unclosed_quote(slip: Slip) -> Problem:
    where = slip.page.span(slip.begin)
    return slip.problem(f"the quote {slip.opener} opened here is never closed", f"close it with {slip.opener}", where)


def _bracket(slip: Slip) -> Problem:
    opener, closer = ("[", "]") if "or ']'" in slip.words else ("{", "}")
    opening = slip.page.span(slip.begin)
    if slip.mark[0] >= len(slip.page.lines) - 1 and not slip.char:
        return slip.problem(f"the '{opener}' opened here is never closed", f"close it with '{closer}'", opening)
    if slip.mark[0] > slip.begin[0]:
        message = f"the '{opener}' opened on line {slip.begin[0] + 1} is still open here"
        return slip.problem(message, f"close it with '{closer}', or put ',' between entries", None, opening)
    if slip.char in ("}", "]"):
        return slip.problem(f"'{slip.char}' does not close '{opener}'", f"close it with '{closer}' first")
    cure = "put ',' between entries, or put a value that holds ': ' in quotes"
    return slip.problem(f"expected ',' or '{closer}' before this", cure)


def _no_colon(slip: Slip, start: Mark) -> Problem:
    text = re.split(r"\s#", slip.page.line(start[0])[start[1] :], maxsplit=1)[0].rstrip()
    where = slip.page.span(start, (start[0], start[1] + len(text)))
    if text[:1] in ("'", '"', "{", "["):
        return slip.problem("a name stands on one line, with ': ' after it", "write 'name: value'", where)
    if tight := re.match(r"([^:]+):(.+)", text):
        cure = f"write {quoted(tight[1] + ': ' + tight[2])[1:-1]}"
        return slip.problem(f"no space after the colon in {quoted(text)}", cure, where)
    return slip.problem(f"no colon after the name in {quoted(text)}", "write 'name: value'", where)


def _stray_colon(slip: Slip) -> Problem:
    if slip.mark[1] > _LONGEST_NAME:
        return slip.problem(f"a name is longer than {_LONGEST_NAME} characters", "use a short name")
    if bare := re.match(r"(\s*(?:- +)*)([^\s:{}\[\]\"',#][^:{}\[\]\"',#]*?)(\s*)\{", slip.before):
        where = slip.page.span((slip.mark[0], bare.end(1)), (slip.mark[0], bare.end(2)))
        return slip.problem(f"no colon after {quoted(bare[2])}", f"write {bare[2]}: {{…}}", where)
    if first := re.search(r":\s+", slip.before):
        value = re.split(r"\s#", slip.line[first.end() :], maxsplit=1)[0].strip()
        return slip.problem("a second ': ' on one line", f"put the value in quotes: {quoted(value)}")
    above = _line_above(slip.page, slip.mark[0])
    text = slip.page.line(above)
    body = re.match(r"\s*(?:- +)*", text)
    if above >= 0 and body and not re.search(r":(\s|$)", re.split(r"\s#", text, maxsplit=1)[0]):
        return _no_colon(slip, (above, body.end()))
    return _indent(slip)


def _indent(slip: Slip) -> Problem:
    begin = len(slip.line) - len(slip.line.lstrip())
    where = slip.page.span((slip.mark[0], begin), (slip.mark[0], max(slip.mark[1], begin + 1)))
    cure = "begin it under the first letter of the line it belongs with"
    return slip.problem("this line does not line up with those above", cure, where)


def _unexpected(slip: Slip) -> Problem:
    if slip.char and slip.char in "}]":
        return slip.problem(f"this '{slip.char}' closes nothing", "take it out, or put the value in quotes")
    if slip.before.rstrip().endswith(("'", '"')):
        cure = "put the whole value in quotes, and close every quote above"
        return slip.problem("something follows a closing quote", cure)
    if slip.char == ":":
        return slip.problem("there is no name before the colon", "write 'name: value'")
    if (slip.char and slip.char in "&*!") or slip.before.rstrip().endswith(("}", "]")):
        return slip.problem("something follows a value that has ended", "put the whole value in quotes")
    return _indent(slip)


def _no_value(slip: Slip) -> Problem:
    return slip.problem(f"expected a name or a value before '{slip.char}'", "write one, or take the mark out")


def _reserved(slip: Slip, mark: Mark) -> Problem:
    line = slip.page.line(mark[0])
    stops = r"\s#" if re.match(r"[^{\[]*$", line[: mark[1]]) else r"\s#|[,}\]]"
    value = re.split(stops, line[mark[1] :], maxsplit=1)[0].strip() or line[mark[1] : mark[1] + 1]
    message = f"a name or value may not begin with '{value[:1]}'"
    return slip.problem(message, f"put it in quotes: {quoted(value)}", slip.page.span(mark))


def _list_on_line(slip: Slip) -> Problem:
    return slip.problem("'- ' does not begin a list on this line", "begin it on a line of its own, or write [a, b]")


def _not_in_list(slip: Slip) -> Problem:
    return slip.problem("this line stands in a list but does not begin with '- '", "begin it with '- ', or line it up")


def _escape(slip: Slip) -> Problem:
    return slip.problem("a backslash in double quotes begins a code, and this is none", "use single quotes")


_EXPLANATIONS: tuple[tuple[str, Callable[[Slip], Problem]], ...] = (
    (r"unexpected (end of stream|document)", _unclosed_quote),
    (r"expected ',' or", _bracket),
    (r"could not find expected ':'", lambda slip: _no_colon(slip, slip.begin)),
    (r"mapping values are not allowed", _stray_colon),
    (r"sequence entries are not allowed", _list_on_line),
    (r"cannot start any token|mapping keys are not allowed", lambda slip: _reserved(slip, slip.mark)),
    (r"alphabetic|while (scanning|parsing) a (block scalar|tag)", lambda slip: _reserved(slip, slip.begin)),
    (r"escape|hexdecimal", _escape),
    (r"expected '-' indicator", _not_in_list),
    (r"node content", _no_value),
    (r"expected key|<block end>|<document start>", _unexpected),
)
