"""What is wrong or worth saying, where it stands in the file, and what to type instead."""

from __future__ import annotations

from collections.abc import Iterable
from dataclasses import dataclass, field


@dataclass(frozen=True, slots=True)
class Span:
    """A place in a text: line and column count from 1, `width` is in characters, `text` is the whole line."""

    file: str
    line: int
    column: int
    width: int = 1
    text: str = field(default="", compare=False, repr=False)

    def __str__(self) -> str:
        return f"{self.file}:{self.line}:{self.column}"


@dataclass(frozen=True, slots=True)
class Problem:
    """Something that makes a circuit file wrong, or that its writer should hear about.

    `severity` is `error` (no answer can be given) or `note` (said, not refused). `also` is the second place where
    two things disagree. `message` and `help` are lower case without a full stop; `help` can be typed.
    """

    code: str
    message: str
    help: str = ""
    at: Span | None = None
    also: Span | None = None
    severity: str = "error"


@dataclass(frozen=True, slots=True)
class Finding:
    """Something worth saying about a solved row: `severity` is one of danger, fault, wear, note.

    `cautions` are the hazards that it belongs to; `lacks` is the parameter that keeps a rule from judging at all.
    """

    code: str
    severity: str
    about: str
    message: str
    help: str = ""
    value: float | None = None
    limit: float | None = None
    unit: str = ""
    basis: str = ""
    at: Span | None = None
    cautions: tuple[str, ...] = ()
    lacks: str = ""


class CircuitError(Exception):
    """A circuit that cannot be used; `.problems` says why, in file order."""

    def __init__(self, problems: Iterable[Problem]) -> None:
        self.problems = in_file_order(problems)
        super().__init__("\n\n".join(explain(problem) for problem in self.problems))


def in_file_order(problems: Iterable[Problem]) -> tuple[Problem, ...]:
    """Problems sorted by their place, those without a place first; equal ones are said once."""
    unique = dict.fromkeys(problems)
    return tuple(sorted(unique, key=_place))


def _place(problem: Problem) -> tuple[str, int, int, str]:
    if problem.at is None:
        return ("", 0, 0, problem.code)
    return (problem.at.file, problem.at.line, problem.at.column, problem.code)


def explain(problem: Problem) -> str:
    """The problem as it is printed: place and message, the line with a caret below, the help."""
    head = f"{problem.severity}[{problem.code}]: {printable(problem.message)}"
    lines = [f"{printable(str(problem.at))}: {head}" if problem.at else head]
    for span in (problem.at, problem.also):
        if span is not None and span.text:
            lines += _excerpt(span)
    if problem.help:
        lines.append(f"  help: {printable(problem.help)}")
    return "\n".join(lines)


_LONGEST_LINE = 110


def _excerpt(span: Span) -> list[str]:
    """The line of the file with carets under the span; a long line is cut around it."""
    first = max(0, span.column - 1 - _LONGEST_LINE // 2) if len(span.text) > _LONGEST_LINE else 0
    shown = printable(span.text[first : first + _LONGEST_LINE])
    start = span.column - 1 - first
    width = max(1, min(span.width, len(shown) - start))
    margin = f"{span.line:>5}"
    return [f"{margin} | {shown}", f"{' ' * len(margin)} | {' ' * start}{'^' * width}"]


def printable(text: str) -> str:
    """The text with every control character replaced, so that no file can drive a terminal."""
    return "".join(_harmless(char) for char in text)


def _harmless(char: str) -> str:
    if char.isprintable():
        return char
    return " " if char in "\t\N{NO-BREAK SPACE}\N{NARROW NO-BREAK SPACE}" else "\N{REPLACEMENT CHARACTER}"
