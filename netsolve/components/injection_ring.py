"""Injection rings: the spray holes through which the water enters the exhaust elbow."""

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


class InjectionRing(Component):
    """A spray ring, or the holes of a mixing elbow, with what share of them is blocked.

    drop = rated drop * (q/at)^2 / (1 - blocked)^2 with the sign of q, straight below 2 % of `at`. The water leaves at
    the opening that follows, which adds the exit loss: rate the ring without it.
    """

    drop: float = quantity(
        "head",
        "drop at the flow `at` with all holes open, without the exit; 5 to 20 kPa",
        shown="kPa",
        above=0,
        example="12 kPa",
    )
    at: float = quantity("flow", "the flow at which it has that drop", shown="L/min", above=0, example="100 L/min")
    blocked: float = quantity(
        "ratio",
        "share of its holes' area closed by salt and rust",
        default=0.0,
        at_least=0,
        below=1,
        worst=0.95,
    )
    bore: float | None = quantity("length", "bore of its water connection", shown="mm", default=None, above=0)

    sources = (
        "a hole's loss goes with the square of flow over open area: Crane TP-410, ch. 2, flow through orifices",
        "the square through one rated point: common practice, no source",
    )

    def pressure_drop(self, flow: Array, water: Water) -> Array:
        """Loss of the holes, Pa."""
        return rated(flow, self._at_rating(), self.at, 2.0)

    def slope(self, flow: Array, water: Water) -> Array:
        """Derivative of the drop by flow, Pa s/m3."""
        return rated_slope(flow, self._at_rating(), self.at, 2.0)

    def quadratic(self, water: Water) -> Quadratic | None:
        """The law as the sum of its powers."""
        return quadratic_rated(self._at_rating(), self.at, 2.0)

    def _at_rating(self) -> Array:
        return self.drop / (1 - self.blocked) ** 2
