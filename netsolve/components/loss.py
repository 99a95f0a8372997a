"""A loss coefficient on a bore, for whatever has no type of its own."""

from __future__ import annotations

from netsolve.plugin import (
    Array,
    Component,
    Quadratic,
    Water,
    k_drop,
    k_slope,
    quadratic_k,
    quantity,
)


class Loss(Component):
    """A loss coefficient on a bore, for whatever has no type of its own.

    drop = K (1 + 10/Re) rho v |v| / 2; the term in Re gives the curve a slope at no flow and nothing else.
    """

    bore: float = quantity("length", "bore in which the speed is taken", shown="mm", above=0)
    k: float = quantity("number", "loss coefficient, velocity heads in that bore, from a handbook", above=0)

    sources = ("the definition of a loss coefficient; values from Crane TP-410 or Idelchik are the user's",)

    def pressure_drop(self, flow: Array, water: Water) -> Array:
        """K velocity heads, Pa."""
        return k_drop(flow, self.bore, self.k, water)

    def slope(self, flow: Array, water: Water) -> Array:
        """Derivative of the drop by flow, Pa s/m3."""
        return k_slope(flow, self.bore, self.k, water)

    def quadratic(self, water: Water) -> Quadratic:
        """The law as the sum of its powers."""
        return quadratic_k(self.bore, self.k, water)
