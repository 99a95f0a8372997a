"""Heights: those of joints that nobody wrote, and those along the parts of a run."""

from __future__ import annotations

from collections.abc import Iterable, Mapping, Sequence
from itertools import pairwise

import numpy as np
import numpy.typing as npt

from netsolve.circuit import Part, Place, Row, Run

RISING = ("hose", "tube")
"""The types that lead from one height to another; their `height` is the top of their rise."""

Level = tuple[float, float, float]


def written_height(place: Place) -> float | None:
    """The height of a joint as written: of a tank that of its surface."""
    value: float | None = getattr(place.joint, place.joint.datum)
    return value


def place_heights(places: Mapping[str, Place], runs: Iterable[Run]) -> dict[str, float | None]:
    """The height of every joint in m: as written, else the mean of its neighbours'.

    None where no joint in reach has one. Harmonic on the graph of joints; conjugate gradients, which end after as
    many steps as there are unknowns.
    """
    known = {name: written_height(place) for name, place in places.items()}
    neighbours = _neighbours(places, runs)
    open_names = _in_reach(known, neighbours)
    if not open_names:
        return known
    index = {name: number for number, name in enumerate(open_names)}
    degree = np.array([len(neighbours[name]) for name in open_names], dtype=float)
    fixed = np.array([sum(known[other] or 0.0 for other in neighbours[name]) for name in open_names])
    links = [(index[name], index[other]) for name in open_names for other in neighbours[name] if other in index]
    pairs = np.array(links, dtype=int).reshape(-1, 2)
    solved = _harmonic(degree, fixed, pairs)
    return known | {name: round(float(solved[number]), 9) for name, number in index.items()}


def _neighbours(places: Mapping[str, Place], runs: Iterable[Run]) -> dict[str, list[str]]:
    beside: dict[str, dict[str, None]] = {name: {} for name in places}
    for run in runs:
        one, other = run.source.joint, run.target.joint
        if one != other and one in beside and other in beside:
            beside[one][other] = None
            beside[other][one] = None
    return {name: list(others) for name, others in beside.items()}


def _in_reach(known: Mapping[str, float | None], neighbours: Mapping[str, list[str]]) -> list[str]:
    """The joints without a height from which one with a height can be reached."""
    front = [name for name, height in known.items() if height is not None]
    seen = dict.fromkeys(front)
    while front:
        front = [other for name in front for other in neighbours[name] if other not in seen]
        seen |= dict.fromkeys(front)
    return [name for name in known if known[name] is None and name in seen]


def _harmonic(
    degree: npt.NDArray[np.float64], fixed: npt.NDArray[np.float64], pairs: npt.NDArray[np.int_]
) -> npt.NDArray[np.float64]:
    """Heights of which each is the mean of its neighbours': (degree - adjacency) heights = fixed."""
    size = len(degree)

    def apply(x: npt.NDArray[np.float64]) -> npt.NDArray[np.float64]:
        return degree * x - np.bincount(pairs[:, 0], weights=x[pairs[:, 1]], minlength=size)

    heights = fixed / degree
    rest = fixed - apply(heights)
    step = scaled = rest / degree
    size_before = float(rest @ scaled)
    for _ in range(4 * size):
        if float(np.abs(rest).max()) < 1e-12:
            break
        moved = apply(step)
        along = size_before / float(step @ moved)
        heights, rest = heights + along * step, rest - along * moved
        scaled = rest / degree
        size_now = float(rest @ scaled)
        step, size_before = scaled + size_now / size_before * step, size_now
    return heights


def part_levels(row: Row, run: Run) -> tuple[Level, ...]:
    """Heights of inlet, outlet and top (m) of each fitted part of a run, in order.

    A hose or tube leads from the height before it to the height behind it; any other part is in one place. Where no
    height is written it lies on the straight line between the nearest known ones, by length of hose and tube, else by
    count.
    """
    parts = [row.parts[name] for name in run.parts if row.parts[name].fitted]
    first, last = (row.places[end.joint].height for end in (run.source, run.target))
    start = first if first is not None else last if last is not None else 0.0
    finish = last if last is not None else start
    anchors = [(-1, start)]
    anchors += [(at, part.height) for at, part in enumerate(parts) if not _rises(part) and part.height is not None]
    anchors.append((len(parts), finish))
    levels: list[Level] = []
    for (here, low), (there, high) in pairwise(anchors):
        levels += _between(parts[here + 1 : there], low, high)
        if there < len(parts):
            levels.append((high, high, high))
    return tuple(levels)


def _between(parts: Sequence[Part], low: float, high: float) -> list[Level]:
    """Levels of the parts between two known heights."""
    lengths = [_length(part) for part in parts]
    whole = sum(lengths)
    if whole == 0.0:
        at = [low + (high - low) * number / (len(parts) + 1) for number in range(1, len(parts) + 1)]
        return [(height, height, height) for height in at]
    levels: list[Level] = []
    passed = 0.0
    for part, length in zip(parts, lengths, strict=True):
        before = low + (high - low) * passed / whole
        passed += length
        after = low + (high - low) * passed / whole
        top = max(before, after, part.height if part.height is not None else before)
        levels.append((before, after, top))
    return levels


def _rises(part: Part) -> bool:
    return part.type in RISING


def _length(part: Part) -> float:
    return float(getattr(part.component, "length", 0.0) or 0.0) * part.count if _rises(part) else 0.0
