"""An option such as `x.bore, y.bore = 16 mm, 19 mm` taken apart, so that what is wrong is told at its place."""

from __future__ import annotations

import json
import re
from collections.abc import Iterator, Sequence
from contextlib import contextmanager
from dataclasses import dataclass, replace

from netsolve.problems import CircuitError, Problem, Span
from netsolve.reading.naming import fold
from netsolve.study.spread_out import range_of, with_unit_of

MOST_VALUES = 10_000
"""Values that one setting may take."""

_JOINED = re.compile(r"[0-9.]+,[0-9]+")
_SETTINGS = "<settings>"
"""What the reader of settings calls the text that it is given."""


@dataclass(frozen=True)
class Typed:
    """Paths on the left of `=`, texts on its right; `count` is the number of points where these are a range's ends."""

    option: str
    text: str
    line: int
    paths: tuple[str, ...]
    texts: tuple[str, ...]
    places: tuple[Span, ...]
    """Of the paths, then of the texts."""
    count: int | None = None

    def place(self) -> Span:
        """The whole option."""
        return _span(self.option, self.text, self.line, (0, len(self.text)))

    def place_of(self, path: str) -> Span:
        """Where a path stands."""
        folded = [fold(each) for each in self.paths]
        return self.places[folded.index(fold(path))] if fold(path) in folded else self.place()

    def refuse(self, code: str, message: str, help: str, at: Span | None = None) -> CircuitError:
        """The error that tells what is wrong with it."""
        return CircuitError([Problem(code, message, help, at or self.place())])

    def told(self, problem: Problem) -> Problem | None:
        """The problem at the place where the option has what it is about; None where it has no such thing."""
        if problem.at is None or problem.at.file != _SETTINGS:
            return None
        path, value = next(iter(json.loads(f"{{{problem.at.text}}}").items()))
        if fold(path) not in map(fold, self.paths):
            return None
        at = self.place_of(path)
        if problem.at.column > len(json.dumps(path)):
            at = self.places[len(self.paths) + self.texts.index(value)] if value in self.texts else self.place()
        return replace(problem, at=at, also=None)


@contextmanager
def telling(options: Sequence[Typed]) -> Iterator[None]:
    """Problems with settings that come up inside are told at the place where one of the options has them."""
    try:
        yield
    except CircuitError as error:
        told = [next(filter(None, (each.told(problem) for each in options)), problem) for problem in error.problems]
        raise CircuitError(told) from None


def split_up(option: str, text: str, line: int = 1) -> Typed:
    """The pieces of an option. Raises CircuitError where it has not the form of settings with values."""
    left, sign, right = text.partition("=")
    example = f"write {option} 'main.speed = 700 rpm, 1800 rpm' or {option} 'main.speed = 700 .. 2600 rpm, 7 points'"
    if not (left.strip() and sign and right.strip()) or len(text.splitlines()) > 1:
        at = _span(option, text, line, (0, len(text)))
        raise CircuitError([Problem("bad-setting", f"'{text}' is not NAME.PARAMETER = VALUES", example, at)])
    names = _pieces(option, text, line, (0, len(left)))
    start = len(left) + 1
    found = range_of(
        right, lambda span: _span(option, text, line, (start + span[0], start + span[1])), most=MOST_VALUES
    )
    if found is not None:
        values, count = list(zip((found.low, found.high), found.places, strict=True)), found.count
    else:
        values, count = _listed(option, text, line, start), None
    empty = next((at for piece, at in (*names, *values) if not piece), None)
    if empty is not None:
        raise CircuitError([Problem("bad-setting", "nothing stands between two commas", "take one away", empty)])
    paths, texts = (tuple(piece for piece, _ in pieces) for pieces in (names, values))
    return Typed(option, text, line, paths, texts, tuple(at for _, at in (*names, *values)), count)


def paths_alone(option: str, text: str) -> Typed:
    """Paths without values, with commas between them. Raises CircuitError where one is empty."""
    names = _pieces(option, text, 1, (0, len(text)))
    if len(text.splitlines()) > 1 or not all(piece for piece, _ in names):
        at = _span(option, text, 1, (0, len(text)))
        raise CircuitError(
            [Problem("bad-setting", f"'{text}' is not NAME.PARAMETER", f"write {option} 'main.speed'", at)]
        )
    return Typed(option, text, 1, tuple(piece for piece, _ in names), (), tuple(at for _, at in names))


def _listed(option: str, text: str, line: int, start: int) -> list[tuple[str, Span]]:
    """The values of a list; one without a unit has the last's."""
    joined = _JOINED.search(text, start)
    if joined is not None:
        at = _span(option, text, line, joined.span())
        help = f"write {joined[0].replace(',', '.')} for a fraction, {joined[0].replace(',', ', ')} for two values"
        raise CircuitError([Problem("decimal-comma", "a comma between two digits may mean either", help, at)])
    values = _pieces(option, text, line, (start, len(text)))
    if len(values) > MOST_VALUES:
        at = _span(option, text, line, (start, len(text)))
        raise CircuitError([Problem("too-large", f"more than {MOST_VALUES} values", "give fewer", at)])
    return [(with_unit_of(values[-1][0], piece), at) for piece, at in values]


def _pieces(option: str, text: str, line: int, span: tuple[int, int]) -> list[tuple[str, Span]]:
    """What stands between commas, without the spaces around it."""
    found, begin = [], span[0]
    for piece in text[span[0] : span[1]].split(","):
        left = begin + len(piece) - len(piece.lstrip())
        found.append((piece.strip(), _span(option, text, line, (left, left + len(piece.strip())))))
        begin += len(piece) + 1
    return found


def _span(option: str, text: str, line: int, span: tuple[int, int]) -> Span:
    return Span(option, line, span[0] + 1, max(1, span[1] - span[0]), text)
