"""A loss known by its drop at one flow."""

from __future__ import annotations

from netsolve.plugin import (
    Array,
    Component,
    Quadratic,
    Water,
    quadratic_rated,
    quantity,
    rated,
    rated_slope,
)


class RatedLoss(Component):
    """A loss known by its drop at one flow, for whatever has no type of its own.

    drop = rated drop * (q/at)^exponent with the sign of q, straight below 2 % of `at`.
    """

    drop: float = quantity(
        "head", "drop at the flow `at`, in this circuit's water, measured or from the data sheet", above=0
    )
    at: float = quantity("flow", "the flow at which it has that drop", above=0)
    exponent: float = quantity(
        "number",
        "power of flow with which the drop grows; 2 for fittings, 1.75 for long smooth tubes, 1 if laminar",
        default=2.0,
        at_least=1,
        at_most=3,
        assumed="2, as for fittings and turns",
    )
    bore: float | None = quantity("length", "bore of its connections", shown="mm", default=None, above=0)

    sources = ("a power law through one rated point: common practice, no source",)

    def pressure_drop(self, flow: Array, water: Water) -> Array:
        """Power law of the flow, Pa."""
        return rated(flow, self.drop, self.at, self.exponent)

    def slope(self, flow: Array, water: Water) -> Array:
        """Derivative of the drop by flow, Pa s/m3."""
        return rated_slope(flow, self.drop, self.at, self.exponent)

    def quadratic(self, water: Water) -> Quadratic | None:
        """The law as the sum of its powers, where the exponent is 2."""
        return quadratic_rated(self.drop, self.at, self.exponent)
