"""An opening below the waterline through which sea water is drawn."""

from collections.abc import Iterable

import numpy as np

from netsolve.plugin import (
    ENTRANCE_PROJECTING,
    ENTRANCE_SHARP,
    EXIT,
    GRAVITY,
    Array,
    Opening,
    Quadratic,
    Water,
    grate,
    k_drop,
    quadratic_mouth,
    quantity,
    word,
)

ENTRANCE_LIP = 0.2
"""K of an entrance with a lip rounded to 0.06 of the bore. Source: Idelchik, diagram 3-3 (from memory)."""

ENTRANCE = {
    "flush": ENTRANCE_SHARP,
    "rounded": ENTRANCE_LIP,
    "projecting": ENTRANCE_PROJECTING,
    "scoop_forward": ENTRANCE_SHARP,
    "scoop_aft": ENTRANCE_SHARP,
}
"""K by style; for the scoops that of a sharp edge is assumed."""

RECOVERY = {"flush": 0.0, "rounded": 0.0, "projecting": 0.0, "scoop_forward": 0.5, "scoop_aft": -0.2}
"""Share of the boat's velocity pressure by style: common practice (0.3 to 0.7 forward, -0.1 to -0.3 aft)."""


class SeaInlet(Opening):
    """An opening in the hull below the waterline: sea head and ram, less the loss of entrance and grate.

    Inwards p = -rho g z + recovery rho V^2/2 - K rho v^2/2; outwards p stands rho v^2/2 above the sea's.
    """

    height: float = quantity(
        "length", "height of the opening; below the waterline it is negative", shown="m", example="-0.5 m"
    )
    bore: float | None = quantity(
        "length", "inside diameter behind the opening", shown="mm", above=0, default=None, example="32 mm"
    )
    style: str = word(
        "shape of the opening",
        "flush",
        "rounded",
        "projecting",
        "scoop_forward",
        "scoop_aft",
        default="flush",
    )
    k: float | None = quantity(
        "number",
        "loss coefficient of the entrance; without it, by style",
        at_least=0,
        default=None,
        assumed="by style: sharp edge 0.5, rounded lip 0.2, projecting 0.78",
    )
    grate: float | None = quantity("ratio", "open area of the grate over the area of the bore", above=0, default=None)
    boat_speed: float = quantity("velocity", "speed through the water", shown="kn", at_least=0, default=0.0)
    recovery: float | None = quantity(
        "ratio",
        "share of the boat's velocity pressure that the opening catches; without it, by style",
        at_least=-1,
        at_most=1,
        default=None,
        assumed="by style: flush 0, forward scoop 0.5, aft scoop -0.2 (common practice, no source)",
    )
    losses: str = word("entrance and exit losses", "counted", "none", default="counted")

    roles = ("inlet",)
    sources = (
        "Crane TP-410, A-30: sharp and projecting entrances, exit",
        "Idelchik, Handbook of Hydraulic Resistance, diagrams 3-3 and 3-12: rounded lip, grate",
        "common practice, no source: what a scoop recovers",
    )

    def pressure(self, flow: Array, water: Water) -> Array:
        """Total gauge pressure behind the opening, Pa; flow positive inwards. Zero head in the air."""
        recovery = RECOVERY[self.style] if self.recovery is None else self.recovery
        ram = recovery * 0.5 * water.density * self.boat_speed * self.boat_speed
        sea = np.where(self.height < 0.0, ram - water.density * GRAVITY * self.height, 0.0)
        if self.losses == "none" or self.bore is None:
            return sea + 0.0 * flow
        return sea - k_drop(flow, self.bore, np.where(flow > 0.0, self._entrance(), EXIT), water)

    def end_quadratic(self, water: Water) -> Quadratic:
        """The loss at the end as the sum of its powers."""
        return quadratic_mouth(self.bore if self.losses != "none" else None, self._entrance(), EXIT, water)

    def _entrance(self) -> Array:
        """K inwards; no grate makes an entrance better than the bare one."""
        bare = ENTRANCE[self.style] if self.k is None else self.k
        if self.grate is None:
            return bare
        return np.maximum(bare, grate(np.minimum(self.grate, 1.0)))

    def one_way(self) -> Array | bool:
        """Above the waterline the opening lies in air, and water can only leave."""
        return self.height >= 0.0

    def check(self) -> Iterable[str]:
        """An inlet in the air, and two answers to one question."""
        if self.height >= 0.0:
            yield "the inlet is not below the waterline, so it draws air: write a height below 0"
        if self.k is not None and self.grate is not None:
            yield "k and grate both set the entrance loss: give one"
