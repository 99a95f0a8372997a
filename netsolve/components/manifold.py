"""A chamber in which any number of runs meet."""

import numpy as np

from netsolve.plugin import (
    ENTRANCE_SHARP,
    EXIT,
    Array,
    Joint,
    Quadratic,
    Water,
    k_drop,
    quadratic_mouth,
    quantity,
    word,
)


class Manifold(Joint):
    """A header or sea chest: its runs meet at one pressure, without loss unless asked for."""

    losses: str = word("losses where runs leave and enter the chamber", "none", "entrance", default="none")
    bore: float | None = quantity("length", "bore of the run's end", above=0, default=None, hidden=True)

    sources = ("Crane TP-410, A-30: sharp entrance 0.5, exit 1.0",)

    def end_loss(self, flow: Array, water: Water) -> Array:
        """Total pressure lost from the chamber to the run's end, Pa: an entrance, or backwards an exit."""
        if self.losses == "none" or self.bore is None:
            return 0.0 * flow
        return k_drop(flow, self.bore, np.where(flow > 0.0, ENTRANCE_SHARP, EXIT), water)

    def end_quadratic(self, water: Water) -> Quadratic:
        """The loss at the end as the sum of its powers."""
        return quadratic_mouth(self.bore if self.losses != "none" else None, ENTRANCE_SHARP, EXIT, water)
