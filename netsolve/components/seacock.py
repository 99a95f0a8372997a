"""Seacocks, by the angle of the handle."""

from __future__ import annotations

import numpy as np

from netsolve.plugin import (
    CLOSED_ANGLE,
    LEAK,
    Array,
    Component,
    Quadratic,
    Water,
    ball_valve,
    quadratic_k,
    quantity,
    word,
)


class Seacock(Component):
    """A seacock, open, part shut or closed.

    drop = (K + K1/Re) rho v |v| / 2, K = 3 fT with a full port, or that of a port of 0.8 bores with cones of
    30 degrees (about 0.6), plus Weisbach's K for the angle; K1 300 or 1000. From 65 degrees on K grows as
    fast as from 60 to 65; at 90 degrees a shut seat leaks 1e-14 m3/s/Pa.
    """

    roles = ("shut_off",)

    bore: float = quantity(
        "length", "bore of the valve, seen with the hose off; 10 to 80 mm", shown="mm", above=0, sizes="valve"
    )
    way: str = word(
        "full (the port is as wide as the bore) or reduced (a size smaller; 0.8 of the bore is assumed)",
        "full",
        "reduced",
        default="full",
        assumed="a full port, as seacocks have; cheap ball valves are reduced",
    )
    shut: float = quantity(
        "angle",
        "angle of the handle from open; 90 degrees is closed, and 45 is far from half open",
        shown="deg",
        default=0.0,
        at_least=0,
        at_most=np.pi / 2 * (1 + 1e-9),
        words={"open": 0.0, "closed": float(np.pi / 2)},
        worst=float(np.pi / 2),
    )

    sources = (
        "Crane TP-410, A-28: ball valve 3 fT; reduced port formulas 5 and 6",
        "Weisbach's cock by angle, as tabulated in Perry's Chemical Engineers' Handbook (5, 10, "
        "20, 40 and 60 "
        "degrees; the others from memory)",
        "Hooper (1981), Chemical Engineering 88(17), 96-100: ball valve, K1 300 full and 1000 reduced",
    )

    def quadratic(self, water: Water) -> Quadratic:
        """The loss of the valve, or the leak of its seat, as the sum of its powers."""
        k, k1 = ball_valve(self.bore, self.shut, reduced=self.way == "reduced")
        return quadratic_k(self.bore, k, water, k1 / k).closed_where(self.closed(), LEAK)

    def closed(self) -> Array | bool:
        """Whether the handle is at 90 degrees."""
        return self.shut >= CLOSED_ANGLE

    def status(self, flow: float, drop: float) -> str | None:
        """open, part shut or closed."""
        if self.closed():
            return "closed"
        return "part shut" if self.shut > 0 else "open"
