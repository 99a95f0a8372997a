"""Losses known by a table of flows and drops."""

from __future__ import annotations

from collections.abc import Iterable
from functools import lru_cache

import numpy as np

from netsolve.plugin import Array, Component, Curve, Water, quantity, table


class MeasuredLoss(Component):
    """A loss known by a maker's table of flows and drops, or by one's own readings.

    drop = sign(q) T(|q|), T a monotone curve through no drop at no flow and the points, straight on beyond the last: a
    drop read off there is too small. The same is taken backwards.
    """

    curve: Curve = table(
        "points of flow and drop, in this circuit's water, measured or from the data sheet",
        flow="flow",
        drop="head",
        example="[{flow: 5 L/min, drop: 2 kPa}, {flow: 10 L/min, drop: 7 kPa}]",
    )
    bore: float | None = quantity("length", "bore of its connections", shown="mm", default=None, above=0)

    sources = (
        "the maker's or one's own table; monotone between points (Fritsch & Butland 1984, SIAM J. Sci. Stat. Comput. "
        "5, 300), the mirror of it backwards: common practice, no source",
    )

    def pressure_drop(self, flow: Array, water: Water) -> Array:
        """The table's drop, Pa."""
        drop: Array = np.sign(flow) * _from_zero(self.curve).value(np.abs(flow))
        return drop

    def slope(self, flow: Array, water: Water) -> Array:
        """Derivative of the drop by flow, Pa s/m3."""
        steepness: Array = _from_zero(self.curve).slope(np.abs(flow))
        return steepness

    def status(self, flow: float, drop: float) -> str | None:
        """beyond its table, where the flow is more than it was measured at."""
        return "beyond its table" if abs(flow) > self.curve.columns[0][-1] else None

    def check(self) -> Iterable[str]:
        """The drop must rise with the flow, from none at no flow."""
        flows, drops = self.curve.columns[:2]
        if flows[0] < 0:
            yield "the curve's flows must not be below zero"
        elif flows[0] == 0 and drops[0] != 0:
            yield "the curve has a drop at no flow: that is a difference of height or a gauge's error, take it off"
        elif drops[0] < 0 or (flows[0] > 0 and drops[0] == 0) or (np.diff(drops) <= 0).any():
            yield "the curve's drop must rise from point to point as the flow rises"


@lru_cache(maxsize=256)
def _from_zero(curve: Curve) -> Curve:
    """The curve with a first point of no drop at no flow."""
    if curve.columns[0][0] == 0:
        return curve
    return Curve.through([(0.0, 0.0), *((flow, drop) for flow, drop in zip(*curve.columns[:2], strict=True))])
