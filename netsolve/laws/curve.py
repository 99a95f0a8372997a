"""A curve through measured points, monotone between them and straight outside."""

from __future__ import annotations

from collections.abc import Sequence
from dataclasses import dataclass
from functools import cached_property
from typing import Any

import numpy as np


@dataclass(frozen=True)
class Curve:
    """Points in rising order of the first column; equal curves have equal points.

    `columns[0]` is the abscissa (flow, say), `columns[1]` the ordinate; further columns are kept as they are.
    Between points a monotone cubic runs (Fritsch & Butland 1984, SIAM J. Sci. Stat. Comput. 5, 300, in scipy's
    `PchipInterpolator`), outside them straight lines through the two outermost points, which it joins without a kink.
    """

    columns: tuple[tuple[float, ...], ...]

    @classmethod
    def through(cls, points: Sequence[tuple[float, ...]]) -> Curve:
        """A curve through the points, in any order; ValueError where two share an abscissa."""
        ordered = sorted(points)
        abscissae = [point[0] for point in ordered]
        if len(ordered) < 2:
            raise ValueError("a curve needs at least two points")
        if len(set(abscissae)) < len(abscissae):
            raise ValueError("two points of the curve stand at the same place")
        return cls(tuple(zip(*ordered, strict=True)))

    @cached_property
    def _pieces(self) -> tuple[Any, Any]:
        from scipy.interpolate import CubicHermiteSpline, PchipInterpolator  # a slow import that few circuits need

        x, y = np.array(self.columns[0]), np.array(self.columns[1])
        slopes = PchipInterpolator(x, y).derivative()(x)
        slopes[0], slopes[-1] = self._end_slopes()  # a slope of zero at an end would leave the curve flat there
        inside = CubicHermiteSpline(x, y, slopes)
        return inside, inside.derivative()

    def value(self, at: Any) -> Any:
        """The ordinate at `at`, of the same shape."""
        x = self.columns[0]
        inside = self._pieces[0](np.clip(at, x[0], x[-1]))
        below, above = self._end_slopes()
        return inside + below * np.minimum(np.asarray(at) - x[0], 0.0) + above * np.maximum(np.asarray(at) - x[-1], 0.0)

    def slope(self, at: Any) -> Any:
        """The derivative of `value` at `at`, of the same shape."""
        x = self.columns[0]
        below, above = self._end_slopes()
        inside = self._pieces[1](np.clip(at, x[0], x[-1]))
        return np.where(np.asarray(at) < x[0], below, np.where(np.asarray(at) > x[-1], above, inside))

    def _end_slopes(self) -> tuple[float, float]:
        x, y = self.columns[:2]
        return (y[1] - y[0]) / (x[1] - x[0]), (y[-1] - y[-2]) / (x[-1] - x[-2])


@dataclass(frozen=True)
class CurveFamily:
    """Curves measured at several values of a further quantity, as a pump's at several speeds, in rising order of it."""

    at: tuple[float, ...]
    curves: tuple[Curve, ...]

    @classmethod
    def through(cls, points: Sequence[tuple[float, ...]]) -> CurveFamily:
        """One curve for each value of the last column, in any order; ValueError where a curve cannot be drawn."""
        values = tuple(sorted({point[-1] for point in points}))
        return cls(values, tuple(Curve.through([p[:-1] for p in points if p[-1] == value]) for value in values))
