"""YAML text to plain data, with the place of every piece; the only door to yaml."""

from __future__ import annotations

import os
import re
from collections.abc import Callable
from dataclasses import dataclass, field
from typing import Any, NoReturn

import yaml

from netsolve.problems import CircuitError, Problem, Span
from netsolve.text.document import Items, Node, Place, Table, Text, cut_short
from netsolve.text.page import MAX_BYTES, UNPRINTABLE, Mark, Page, checked, refuse
from netsolve.text.syntax import Slip, explain_slip, quoted

__all__ = ["Items", "Node", "Table", "Text", "cut_short", "open_source", "parse"]

MAX_DEPTH = 20
MAX_NODES = 300_000
MAX_ALIASED = 150_000
MAX_PROBLEMS = 100

_LOADER: Any = getattr(yaml, "CSafeLoader", yaml.SafeLoader)
_UNMARKED = (yaml.YAMLError, ValueError, OverflowError)  # so the pure reader refuses a code like \UFFFFFFFF


def open_source(path: str | os.PathLike[str]) -> Table:
    """The file's content as a table. Raises CircuitError, also for a file that cannot be read."""
    name = os.fspath(path)
    try:
        with open(name, "rb") as file:
            data = file.read(MAX_BYTES + 1)
    except FileNotFoundError:
        refuse("no-such-file", f"there is no file '{name}'", "check the name and the folder")
    except IsADirectoryError:
        refuse("unreadable", f"'{name}' is a folder, not a file", "name a file in it")
    except (OSError, ValueError) as error:
        why = (getattr(error, "strerror", None) or str(error)).lower()
        refuse("unreadable", f"'{name}' cannot be read: {why}", "check the name and the rights to read it")
    return parse(data, name)


def parse(text: str | bytes, file: str = "<text>") -> Table:
    """The text as a table. Raises CircuitError with all problems seen without knowing what it means."""
    page, content = checked(text, file)
    tree = _Tree(page)
    try:
        for event in yaml.parse(content, Loader=_LOADER):
            tree.take(event)
    except yaml.MarkedYAMLError as error:
        _give_up(tree, _misread(page, error))
    except _UNMARKED:
        help = "look for '\\' in double quotes"
        _give_up(tree, Problem("not-yaml", "this is not YAML", help, page.span((0, 0))))
    return tree.finished()


def _give_up(tree: _Tree, last: Problem) -> NoReturn:
    """Raise what was seen before, less what the last problem may itself have caused on its lines."""
    lines = {span.line for span in (last.at, last.also) if span}
    raise CircuitError([*(p for p in tree.problems if p.at and p.at.line not in lines), last])


def _mark(mark: Any) -> Mark:
    return (mark.line, mark.column) if mark else (0, 0)


def _misread(page: Page, error: yaml.MarkedYAMLError) -> Problem:
    mark = _mark(error.problem_mark or error.context_mark)
    words = f"{error.context or ''} {error.problem or ''}".strip()
    if "nesting" in words:
        return _too_deep(page.span(mark))
    if "tag handle" in words:
        return _tag(page, mark)
    if "<document start>" in words and re.match(r"\.\.\.|---", page.line(mark[0] - 1)):
        return _second_document(page.span(mark))
    return explain_slip(Slip(page, words, mark, _mark(error.context_mark or error.problem_mark)))


def _too_deep(at: Span) -> Problem:
    return Problem("too-deep", f"more than {MAX_DEPTH} levels deep", "close the brackets, or indent less", at)


def _second_document(at: Span) -> Problem:
    help = "keep one circuit to a file and leave '---' and '...' out"
    return Problem("second-document", "a second document begins here", help, at)


def _tag(page: Page, mark: Mark) -> Problem:
    word = re.match(r"[^\s,\]}]*", page.line(mark[0])[mark[1] :])
    written = word[0] if word else "!"
    at = page.span(mark, (mark[0], mark[1] + len(written)))
    help = f"leave it out, or put the whole value in quotes: {quoted(written)}"
    return Problem("tag", f"{quoted(written)} is a tag, and tags are not used here", help, at)


_ANCHOR = re.compile(r"&\S+\s+")
_COLON = re.compile(r"\s*:")
_CUT_NUMBER = re.compile(r"[0-9][0-9.]*,$")


@dataclass(slots=True)
class _Open:
    """A table or a list whose end is still to come."""

    event: Any
    nodes_before: int
    is_table: bool
    height: int = 1
    values: list[Node] = field(default_factory=list)
    keys: dict[str, Text] = field(default_factory=dict)
    key: Node | None = None


class _Tree:
    """Builds the table from the reader's events, without recursion, and notes what is wrong on the way."""

    def __init__(self, page: Page) -> None:
        self.page = page
        self.problems: list[Problem] = []
        self._stack: list[_Open] = []
        self._anchors: dict[str, tuple[Node, int, int] | None] = {}
        self._nodes = self._aliased = self._documents = 0
        self._root: Node | None = None
        self._steps: dict[type[Any], Callable[[Any], None]] = {
            yaml.DocumentStartEvent: self._document,
            yaml.ScalarEvent: self._scalar,
            yaml.AliasEvent: self._alias,
            yaml.MappingStartEvent: self._begin,
            yaml.SequenceStartEvent: self._begin,
            yaml.MappingEndEvent: self._end,
            yaml.SequenceEndEvent: self._end,
        }

    def take(self, event: Any) -> None:
        """Take the reader's next event."""
        if step := self._steps.get(type(event)):
            step(event)

    def finished(self) -> Table:
        """The whole table; raises CircuitError when anything was wrong."""
        root, start = self._root, self.page.span((0, 0))
        if root is None or (isinstance(root, Text) and not root.value and not root.quoted):
            self._report("empty", "there is nothing in this file", "begin with 'format: 1'", start)
        elif not isinstance(root, Table):
            kind = "a list" if isinstance(root, Items) else "a single text"
            message = f"this is {kind}, not names with values"
            self._report("not-a-mapping", message, "begin with 'format: 1'", root.span)
        if self.problems or not isinstance(root, Table):
            raise CircuitError(self.problems)
        return root

    def _report(self, code: str, message: str, help: str, at: Span, also: Span | None = None) -> None:
        self._note(Problem(code, message, help, at, also))

    def _note(self, problem: Problem) -> None:
        self.problems.append(problem)
        if len(self.problems) >= MAX_PROBLEMS:
            raise CircuitError(self.problems)

    def _stop(self, problem: Problem) -> NoReturn:
        raise CircuitError([*self.problems, problem])

    def _document(self, event: Any) -> None:
        self._documents += 1
        if self._documents > 1:
            self._stop(_second_document(self._place(event).span()))

    def _place(self, event: Any, end: Any = None) -> Place:
        start, stop = event.start_mark, (end or event).end_mark
        return Place(self.page, start.line, start.column, stop.line, stop.column)

    def _scalar(self, event: Any) -> None:
        self._count(event)
        node = Text(event.value, bool(event.style), self._place(event))
        if event.tag is not None:
            self._tagged(event)
        if event.style == '"' and (strange := UNPRINTABLE.search(event.value)):
            message = f"the character U+{ord(strange[0]):04X} does not belong in a text"
            self._report("not-text", message, "leave the backslash code out", node.span)
        if event.anchor:
            self._anchors[event.anchor] = (node, 1, 0)
        self._put(node)

    def _tagged(self, event: Any) -> None:
        start = _mark(event.start_mark)  # an anchor may stand before the tag
        found = _ANCHOR.match(self.page.line(start[0]), start[1])
        self._note(_tag(self.page, (start[0], found.end() if found else start[1])))

    def _count(self, event: Any, nodes: int = 1) -> None:
        self._nodes += nodes
        if self._nodes > MAX_NODES:
            message = f"more than {MAX_NODES} names and values, too many for a circuit"
            at = self._place(event).span()
            self._stop(Problem("too-large", message, "check that this is a circuit file", at))

    def _alias(self, event: Any) -> None:
        place, name = self._place(event), event.anchor
        if name not in self._anchors:
            written = quoted("*" + name)
            message = f"{written} repeats a value marked with '&' and this name, and there is none above"
            self._report("unknown-alias", message, f"put it in quotes: {written}", place.span())
            return self._put(Text("", True, place))
        marked = self._anchors[name]
        if marked is None:
            message = f"{quoted('*' + name)} stands inside the very value it repeats"
            self._report("recursive-alias", message, "write the value out", place.span())
            return self._put(Text("", True, place))
        node, nodes, height = marked
        self._aliased += nodes
        if self._aliased > MAX_ALIASED:
            message = f"aliases repeat more than {MAX_ALIASED} names and values"
            self._stop(Problem("too-many-aliases", message, "write the values out", place.span()))
        if len(self._stack) + height > MAX_DEPTH:
            self._stop(_too_deep(place.span()))
        self._count(event, nodes)
        self._put(Text(node.value, node.quoted, place) if isinstance(node, Text) else node, height)

    def _begin(self, event: Any) -> None:
        self._stack.append(_Open(event, self._nodes, isinstance(event, yaml.MappingStartEvent)))
        self._count(event)
        if len(self._stack) > MAX_DEPTH:
            self._stop(_too_deep(self._place(event).span()))
        if event.tag is not None:
            self._tagged(event)
        if event.anchor:
            self._anchors[event.anchor] = None

    def _end(self, event: Any) -> None:
        done = self._stack.pop()
        node = self._closed(done, event)
        if done.event.anchor:
            self._anchors[done.event.anchor] = (node, self._nodes - done.nodes_before, done.height)
        self._put(node, done.height)

    def _closed(self, done: _Open, event: Any) -> Node:
        place = self._place(done.event, event if done.event.flow_style else None)
        if not done.is_table:
            return Items(tuple(done.values), place)
        if done.keys and not done.event.flow_style:
            place = next(iter(done.keys.values())).place
        entries = tuple(zip(done.keys.values(), done.values, strict=True))
        return Table(entries, place, dict(zip(done.keys, done.values, strict=True)))

    def _put(self, node: Node, height: int = 0) -> None:
        """Give the finished node to the table or list it stands in."""
        if not self._stack:
            self._root = node
            return
        inside = self._stack[-1]
        inside.height = max(inside.height, height + 1)
        if not inside.is_table:
            inside.values.append(node)
        elif inside.key is None:
            inside.key = node
        else:
            key, inside.key = inside.key, None
            self._pair(inside, key, node)

    def _pair(self, inside: _Open, key: Node, value: Node) -> None:
        if not isinstance(key, Text):
            message = "a name is a text, not a list or a table"
            return self._report("key-not-text", message, "write 'name: value', or put it in quotes", key.span)
        if key.value == "<<" and not key.quoted:
            return self._report("merge-key", "'<<' is not used here", "write the values out", key.span)
        if first := inside.keys.get(key.value):
            message = f"{quoted(key.value)} is given twice"
            return self._report("duplicate-key", message, "keep one of the two", key.span, first.span)
        if isinstance(value, Text) and not value.value and not value.quoted:
            self._check_colon(key)
        inside.keys[key.value] = key
        inside.values.append(value)

    def _check_colon(self, key: Text) -> None:
        """A name without a value may be a name whose colon was forgotten or has no space behind it."""
        line, column = key.place.end
        if _COLON.match(self.page.line(line), column):
            return None
        if not key.quoted and self._cut_by_comma(key):
            return None
        if key.quoted or ":" not in key.value:
            message = f"no colon after {quoted(key.value)}"
            return self._report("missing-colon", message, "write 'name: value'", key.span)
        help = f"write {quoted(key.value.replace(':', ': ', 1))}"
        self._report("missing-space", f"no space after the colon in {quoted(key.value)}", help, key.span)

    def _cut_by_comma(self, key: Text) -> bool:
        """Tell of `{length: 2,5 m}`, in which the comma has cut a number in two; whether it has."""
        before = _CUT_NUMBER.search(self.page.line(key.place.line)[: key.place.column])
        if before is None or not key.value[:1].isdigit():
            return False
        start = (key.place.line, before.start())
        written = f"{before[0]}{key.value}"
        help = f"write {written.replace(',', '.', 1)}"
        at = self.page.span(start, key.place.end)
        self._report("decimal-comma", f"{quoted(written)} has a comma in its number", help, at)
        return True
