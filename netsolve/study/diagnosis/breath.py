"""The way of a breath from one part to another, hoses off outside of the two, other ways at the joints held shut."""

from __future__ import annotations

from collections.abc import Iterator, Mapping, Sequence

from netsolve.circuit import Row, Run
from netsolve.component import Opening
from netsolve.graph import way
from netsolve.study.diagnosis.rows import plug_of

Piece = tuple[str, float]
"""A part, and which way the breath goes through it: 1 as its run goes, -1 against it."""

Link = tuple[tuple[str, str], list[Piece]]
"""The nodes at the ends of what a breath may pass, and its parts."""

_BLOWN_INTO, _BLOWN_OUT_OF = "blown into", "blown out of"


class NoBreathError(ValueError):
    """Nothing is told by blowing there: `code`, and `help` that says what to write instead."""

    def __init__(self, code: str, message: str, help: str) -> None:
        super().__init__(message)
        self.code, self.help = code, help


def breath(row: Row, names: Sequence[str]) -> tuple[Piece, ...]:
    """The fitted parts from the first to the last in the order in which they are blown through, with their plugs.

    Raises NoBreathError where no way leads there but through the open, where a pump stands in it, or where two lead
    there.
    """
    first, last = (row.runs[row.parts[name].run] for name in names)
    pieces = _between(first, names) if first.name == last.name else _across(row, names, first, last)
    pump = next((name for name, _ in pieces if _is_pump(row, name)), None)
    if pump is not None:
        message = f"a breath tells nothing through the pump '{pump}'"
        raise NoBreathError("pump-in-the-way", message, "blow up to it, and from behind it")
    return tuple((name, sense) for name, sense in pieces if row.parts[name].fitted)


def _is_pump(row: Row, name: str) -> bool:
    return row.parts[name].fitted and "pump" in row.parts[name].component.roles


def _between(run: Run, names: Sequence[str]) -> list[Piece]:
    """The parts of one run from the first to the last."""
    first, last = (run.parts.index(name) for name in names)
    low, high = _with_plug(run, min(first, last)), max(first, last)
    forth = [(name, 1.0) for name in run.parts[low : high + 1]]
    return forth if first <= last else _back(forth)


def _with_plug(run: Run, at: int) -> int:
    """Where a part begins, the plug that may be stuck in it before it."""
    return at - 1 if at and run.parts[at - 1] == plug_of(run.parts[at]) else at


def _back(pieces: Sequence[Piece]) -> list[Piece]:
    return [(name, -sense) for name, sense in reversed(pieces)]


def _across(row: Row, names: Sequence[str], first: Run, last: Run) -> list[Piece]:
    """The parts from one run to another by the only way that there is; without pumps, where one is."""
    links = dict(_links(row, names, (first, last), pumps=False))
    found = _way(links)
    for link, _ in found or ():
        if _way({other: each for other, each in links.items() if other != link}):
            message = f"more than one way leads from '{names[0]}' to '{names[1]}'"
            raise NoBreathError("two-ways", message, "blow through each by itself: name its first and last part")
    if found is None:
        links = dict(_links(row, names, (first, last), pumps=True))
        found = _way(links)
    if found is None:
        message = f"no way leads from '{names[0]}' to '{names[1]}' but through the open"
        raise NoBreathError("no-way", message, "name two parts with nothing but parts and joints between them")
    return [piece for link, onward in found for piece in (links[link][1] if onward else _back(links[link][1]))]


def _way(links: Mapping[str, Link]) -> list[tuple[str, bool]] | None:
    return way({name: ends for name, (ends, _) in links.items()}, _BLOWN_INTO, _BLOWN_OUT_OF)


def _links(row: Row, names: Sequence[str], outer: tuple[Run, Run], *, pumps: bool) -> Iterator[tuple[str, Link]]:
    """What a breath may pass, by name: whole runs, and what is left of the outer; no opening, no blanked run."""
    for name, node in zip(names, (_BLOWN_INTO, _BLOWN_OUT_OF), strict=True):
        run = row.runs[row.parts[name].run]
        at = run.parts.index(name)
        before = _back([(each, 1.0) for each in run.parts[: at + 1]])
        behind = [(each, 1.0) for each in run.parts[_with_plug(run, at) :]]
        for joint, pieces in ((run.source.joint, before), (run.target.joint, behind)):
            if _passes(row, run, joint) and (pumps or not _has_pump(row, pieces)):
                yield f"{node} {joint}", ((node, joint), pieces)
    for run in row.runs.values():
        pieces = [(each, 1.0) for each in run.parts]
        ends = run.source.joint, run.target.joint
        if run not in outer and all(_passes(row, run, each) for each in ends) and (pumps or not _has_pump(row, pieces)):
            yield f"run {run.name}", (ends, pieces)


def _passes(row: Row, run: Run, joint: str) -> bool:
    return not run.blanked and not isinstance(row.places[joint].joint, Opening)


def _has_pump(row: Row, pieces: Sequence[Piece]) -> bool:
    return any(_is_pump(row, name) for name, _ in pieces)
