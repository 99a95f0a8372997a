"""A free surface of known height."""

from collections.abc import Iterable
from typing import ClassVar

import numpy as np

from netsolve.plugin import (
    ENTRANCE_SHARP,
    EXIT,
    Array,
    Opening,
    Quadratic,
    Water,
    k_drop,
    quadratic_mouth,
    quantity,
    word,
)


class Tank(Opening):
    """A bucket or header tank of steady level; each run loses entrance or exit there."""

    level: float = quantity("length", "height of the surface above the waterline at rest", shown="m", example="1 m")
    surface_pressure: float = quantity(
        "pressure", "gauge pressure above the surface", shown="kPa", default=0.0, alias="pressure"
    )
    losses: str = word("entrance and exit losses of the runs", "entrance", "none", default="entrance")
    bore: float | None = quantity("length", "bore of the run's end", above=0, default=None, hidden=True)

    ports: ClassVar[tuple[str, ...]] = ()
    datum: ClassVar[str] = "level"
    roles = ("surface",)
    sources = ("Crane TP-410, A-30: sharp entrance 0.5, exit 1.0",)

    def pressure(self, flow: Array, water: Water) -> Array:
        """Total gauge pressure at a run's end, at the surface's height, Pa; flow positive out of the tank."""
        if self.losses == "none" or self.bore is None:
            return self.surface_pressure + 0.0 * flow
        k = np.where(flow > 0.0, ENTRANCE_SHARP, EXIT)
        return self.surface_pressure - k_drop(flow, self.bore, k, water)

    def end_quadratic(self, water: Water) -> Quadratic:
        """The loss at the end as the sum of its powers."""
        return quadratic_mouth(self.bore if self.losses != "none" else None, ENTRANCE_SHARP, EXIT, water)

    def check(self) -> Iterable[str]:
        """A tank is placed by its surface alone."""
        if self.height is not None:
            yield "a tank has a level, the height of its surface, and no height"
