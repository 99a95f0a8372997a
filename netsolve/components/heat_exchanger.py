"""Heat exchangers, by one rated point."""

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


class HeatExchanger(Component):
    """A heat exchanger, aftercooler, condenser or oil cooler, by the maker's drop at one flow.

    drop = fouled * rated drop * (q/at)^exponent with the sign of q, straight below 2 % of `at`.
    """

    roles = ("cooler",)

    drop: float = quantity(
        "head",
        "drop when clean at the flow `at`, from the data sheet, in this circuit's water; 10 to 40 kPa",
        above=0,
    )
    at: float = quantity("flow", "the flow at which it has that drop", above=0, example="100 L/min")
    exponent: float = quantity(
        "number",
        "power of flow with which the drop grows; 1.75 to 2",
        default=2.0,
        at_least=1,
        at_most=3,
        assumed="2, turns and ends; long plain tubes have 1.75",
    )
    fouled: float = quantity(
        "number",
        "how many times the clean drop it has now: 1 is clean, 3 badly fouled",
        default=1.0,
        at_least=1,
        worst=5.0,
    )
    bore: float | None = quantity("length", "bore of its water connections", shown="mm", default=None, above=0)
    passage: float | None = quantity(
        "length", "its smallest hole, as the bore of one tube; 4 to 10 mm", shown="mm", default=None, above=0
    )

    sources = ("a power law through the maker's rated point: common practice, no source",)

    def pressure_drop(self, flow: Array, water: Water) -> Array:
        """Loss on the water side, Pa."""
        return rated(flow, self.drop * self.fouled, self.at, self.exponent)

    def slope(self, flow: Array, water: Water) -> Array:
        """Derivative of the drop by flow, Pa s/m3."""
        return rated_slope(flow, self.drop * self.fouled, self.at, self.exponent)

    def quadratic(self, water: Water) -> Quadratic | None:
        """The law as the sum of its powers, where the exponent is 2."""
        return quadratic_rated(self.drop * self.fouled, self.at, self.exponent)
