"""Long strips folded: what matters keeps its line, what lies between becomes one line with its sum."""

from __future__ import annotations

from collections.abc import Iterable, Iterator, Sequence
from dataclasses import dataclass
from itertools import groupby

from netsolve import units

MOST_LINES = 14
"""Lines from which on a strip is folded."""

_KEPT = 6
"""Unmarked lines that stay in a folded strip: those that take most."""


@dataclass(frozen=True, slots=True)
class Line:
    """One line of a strip: a part or what else takes pressure; `note` stands small below the name.

    `mark` is `added`, `removed` or `changed` where a change did so; `pressure` is what it takes, Pa. What has a
    need is `asked` about.
    """

    name: str
    amount: str
    share: float | None = None
    note: str = ""
    strong: bool = False
    aside: bool = False
    mark: str = ""
    pressure: float = 0.0
    asked: bool = False


def folded(lines: Sequence[Line], system: str) -> list[Line]:
    """The lines, or of very many those that matter and between them one for each stretch of others."""
    if len(lines) <= MOST_LINES:
        return list(lines)
    plain = [place for place, line in enumerate(lines) if not line.mark and not line.aside]
    most = sorted(plain, key=lambda place: _weight(lines[place]), reverse=True)[:_KEPT]
    kept = {*most, *(place for place in range(len(lines)) if place not in plain)}
    return list(_merged(lines, kept, system))


def _weight(line: Line) -> tuple[bool, bool, float]:
    """What is to blame or has a need goes before all; like pressures weigh alike, so that neighbours stay together."""
    return (line.strong, line.asked, float(f"{abs(line.pressure):.2e}"))


def _merged(lines: Sequence[Line], kept: Iterable[int], system: str) -> Iterator[Line]:
    for stays, places in groupby(range(len(lines)), key=lambda place: place in kept):
        stretch = [lines[place] for place in places]
        if stays or len(stretch) == 1:
            yield from stretch
            continue
        yield _one(stretch, system)


def _one(stretch: Sequence[Line], system: str) -> Line:
    taken = sum(line.pressure for line in stretch)
    share = sum(line.share or 0.0 for line in stretch)
    amount = units.show(abs(taken), "pressure", system=system)
    note = f"{stretch[0].name} to {stretch[-1].name}"
    told = f"gives {amount}" if taken < 0 else amount
    return Line(f"{len(stretch)} in line", told, min(share, 1.0) or None, note, aside=True, pressure=taken)
