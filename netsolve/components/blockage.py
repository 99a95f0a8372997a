"""Blockages: whatever has stuck in a line and left a hole."""

from __future__ import annotations

from collections.abc import Iterable

import numpy as np

from netsolve.plugin import Array, Component, Quadratic, Water, orifice_recovered, quadratic_k, quantity

_CONTRACTION = 0.62
# Keeps the curve rising where the hole is as wide as the bore and nothing is lost.
_LEAST_K = 1e-6


class Blockage(Component):
    """Something stuck in the line, as a plug of weed or a vane of an impeller, by the hole that it leaves.

    drop = [sqrt(1 - b^4 (1 - C^2)) / (C b^2) - 1]^2 rho v |v| / 2 in the bore, b = hole over bore, C = 0.62: a
    sharp hole, after which the jet fills the bore again; nothing is lost when the hole is the bore.
    """

    hole: float = quantity(
        "length",
        "diameter of a round hole that would let as much through as what is left open; an estimate",
        shown="mm",
        above=0,
        worst=1e-4,
        example="8 mm",
    )
    bore: float = quantity("length", "inside diameter of what is blocked", shown="mm", above=0)

    sources = (
        "ISO 5167-2:2003, 5.4: permanent pressure loss of an orifice plate, with C 0.62",
        "common practice, no source: that a plug loses as much as a sharp round hole of the same area",
    )

    def quadratic(self, water: Water) -> Quadratic:
        """The law as the sum of its powers."""
        return quadratic_k(self.bore, self._coefficient(), water)

    def _coefficient(self) -> Array:
        beta = np.minimum(self.hole / self.bore, 1.0)
        return np.maximum(orifice_recovered(beta, _CONTRACTION), _LEAST_K)

    def check(self) -> Iterable[str]:
        """The hole lies in the bore."""
        if self.hole > self.bore:
            yield (
                f"the hole ({1e3 * self.hole:.3g} mm) is larger than the bore that is blocked "
                f"({1e3 * self.bore:.3g} mm)"
            )
