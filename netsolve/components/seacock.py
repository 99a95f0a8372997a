"""Seacocks and ball valves, by the angle of the handle."""

from __future__ import annotations

import numpy as np

from netsolve.plugin import (
    LEAK,
    Array,
    Component,
    Water,
    ft,
    k_drop,
    k_slope,
    quantity,
    taper_contraction,
    taper_enlargement,
    word,
)

# Weisbach's K of a cock in a round pipe by degrees from open. The last point is the line through 60 and 65
# degrees in ln K drawn on to 90: his cock shut at 82.5, and between 65 and that he gives nothing.
_DEGREES = (5, 10, 15, 20, 25, 30, 35, 40, 45, 50, 55, 60, 65, 90)
_K = (
    0.05,
    0.29,
    0.75,
    1.56,
    3.10,
    5.47,
    9.68,
    17.3,
    31.2,
    52.6,
    106.0,
    206.0,
    486.0,
    486.0 * (486.0 / 206.0) ** 5,
)
_LN_K = np.log(_K)
_CLOSED = np.pi / 2 * (1 - 1e-9)
# A port one size below the valve, in a cone of 30 degrees.
_PORT, _CONE = 0.8, np.pi / 6


def _throttling(shut: Array) -> Array:
    """K that the angle adds: ln K straight between Weisbach's angles, as the square below 5 degrees."""
    degrees = np.degrees(shut)
    k: Array = np.exp(np.interp(degrees, _DEGREES, _LN_K)) * np.minimum(degrees / _DEGREES[0], 1.0) ** 2
    return k


class Seacock(Component):
    """A seacock or ball valve, open, part shut or closed.

    drop = (K + K1/Re) rho v |v| / 2, K = 3 fT with a full port, or that of a port of 0.8 bores with cones of
    30 degrees (about 0.6), plus Weisbach's K for the angle; K1 300 or 1000. From 65 degrees on K grows as
    fast as from 60 to 65; at 90 degrees a shut seat leaks 1e-14 m3/s/Pa.
    """

    roles = ("shut_off",)

    bore: float = quantity("length", "bore of the valve, seen with the hose off; 10 to 80 mm", shown="mm", above=0)
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

    def pressure_drop(self, flow: Array, water: Water) -> Array:
        """Loss of the valve, or leak of its seat, Pa."""
        k = self._coefficient()
        through = k_drop(flow, self.bore, k, water, laminar=self._hooper() / k)
        return np.where(self.closed(), LEAK * flow, through)

    def slope(self, flow: Array, water: Water) -> Array:
        """Derivative of the drop by flow, Pa s/m3."""
        k = self._coefficient()
        return np.where(self.closed(), LEAK, k_slope(flow, self.bore, k, water, laminar=self._hooper() / k))

    def closed(self) -> Array | bool:
        """Whether the handle is at 90 degrees."""
        return self.shut >= _CLOSED

    def status(self, flow: float, drop: float) -> str | None:
        """open, part shut or closed."""
        if self.closed():
            return "closed"
        return "part shut" if self.shut > 0 else "open"

    def _coefficient(self) -> Array:
        straight = 3 * ft(self.bore)
        if self.way == "reduced":
            cones = taper_contraction(_PORT, _CONE) + taper_enlargement(_PORT, _CONE)
            straight = (straight + cones) / _PORT**4
        return straight + _throttling(self.shut)

    def _hooper(self) -> float:
        return 1000.0 if self.way == "reduced" else 300.0
