"""Curves made monotone by pooling: neighbouring points that run the wrong way take their common mean.

Source: pool-adjacent-violators, Ayer et al. (1955), Annals of Mathematical Statistics 26, 641-647.
"""

from __future__ import annotations

from functools import lru_cache

from netsolve.laws.curve import Curve


@lru_cache(maxsize=256)
def falling(curve: Curve) -> Curve:
    """The curve with its second column nowhere rising; the same curve where it falls already."""
    return _pooled(curve, -1.0)


@lru_cache(maxsize=256)
def rising(curve: Curve) -> Curve:
    """The curve with its second column nowhere falling; the same curve where it rises already."""
    return _pooled(curve, 1.0)


def moved(curve: Curve, pooled: Curve) -> float:
    """How far pooling moved a point of the curve at most, in the unit of the second column."""
    return max(abs(before - after) for before, after in zip(curve.columns[1], pooled.columns[1], strict=True))


def _pooled(curve: Curve, direction: float) -> Curve:
    blocks: list[tuple[float, int]] = []
    for value in curve.columns[1]:
        block = (direction * value, 1)
        while blocks and blocks[-1][0] > block[0]:
            mean, size = blocks.pop()
            total = size + block[1]
            block = ((mean * size + block[0] * block[1]) / total, total)
        blocks.append(block)
    ordinates = tuple(direction * mean for mean, size in blocks for _ in range(size))
    return Curve((curve.columns[0], ordinates, *curve.columns[2:]))
