"""Where water leaves the boat, above the waterline or below it."""

from collections.abc import Iterable

import numpy as np

from netsolve.plugin import (
    ENTRANCE_SHARP,
    EXIT,
    GRAVITY,
    Array,
    Opening,
    Quadratic,
    Water,
    k_drop,
    quadratic_mouth,
    quantity,
    word,
)


class Discharge(Opening):
    """An outlet into the air, where water can only leave, or into the sea; the exit head is lost."""

    height: float = quantity("length", "height of the outlet above the waterline at rest", shown="m", example="0.2 m")
    bore: float | None = quantity("length", "bore of the outlet", shown="mm", above=0, default=None, example="16 mm")
    into: str | None = word(
        "what the water leaves into; without it, by the sign of the height", "air", "sea", default=None
    )
    losses: str = word("entrance and exit losses", "counted", "none", default="counted")

    roles = ("outlet",)
    sources = ("Borda-Carnot; Crane TP-410, A-30: exit 1.0, and 0.5 where the sea comes in",)

    def pressure(self, flow: Array, water: Water) -> Array:
        """Total gauge pressure before the outlet, Pa; flow positive inwards."""
        depth = np.where(self._in_air(), 0.0, -np.minimum(self.height, 0.0))
        outside = water.density * GRAVITY * depth
        if self.losses == "none" or self.bore is None:
            return outside + 0.0 * flow
        return outside - k_drop(flow, self.bore, np.where(flow > 0.0, ENTRANCE_SHARP, EXIT), water)

    def end_quadratic(self, water: Water) -> Quadratic:
        """The loss at the end as the sum of its powers."""
        return quadratic_mouth(self.bore if self.losses != "none" else None, ENTRANCE_SHARP, EXIT, water)

    def _in_air(self) -> Array | bool:
        if self.into is None:
            return self.height >= 0.0
        return self.into == "air"

    def one_way(self) -> Array | bool:
        """Into the air water can only leave."""
        return self._in_air()

    def check(self) -> Iterable[str]:
        """An outlet into a sea that does not reach it."""
        if self.into == "sea" and self.height >= 0.0:
            yield "the outlet is above the waterline, so it cannot be into the sea"
