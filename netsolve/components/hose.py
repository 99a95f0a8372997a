"""Hose: friction along its length, easy bends, and a kink where there is one."""

from __future__ import annotations

from collections.abc import Iterable
from functools import cached_property

import numpy as np

from netsolve.plugin import (
    Array,
    Component,
    Friction,
    Quadratic,
    Water,
    bend_90,
    flag,
    orifice_recovered,
    pipe_friction,
    quadratic_k,
    quantity,
    word,
)

_CORRUGATED = 2.5
_EASY_BEND = 3.0
_KINK_CD = 0.62


class Hose(Component):
    """A run of hose with its easy bends, smooth or corrugated inside.

    drop = w f (L/d) rho v |v| / 2 + (n K_bend + K_kink) rho v |v| / 2, w = 1 for a smooth wall and 2.5 for a
    corrugated one; K_bend is Crane's for a centre-line radius of three bores; a kink is an orifice with
    recovery.
    """

    group = "Pipes and hoses"
    roles = ("hose",)

    bore: float = quantity(
        "length",
        "inside diameter, as printed on the hose; 10 to 76 mm",
        shown="mm",
        above=0,
        spread=0.04,
        sizes="hose",
    )
    length: float = quantity("length", "length along the hose's centreline", shown="m", above=0, example="2 m")
    roughness: float = quantity(
        "length",
        "height of the wall's roughness; 0.005 to 0.02 mm in smooth rubber or PVC, more where it perished",
        shown="mm",
        default=1e-5,
        at_least=0,
        assumed="the middle of 0.005 to 0.02 mm, handbook values and estimates for smooth rubber and PVC",
    )
    wall: str = word(
        "the inside as a finger feels it; corrugated has 2.5 times the friction (an estimate; 1.5 to 4 is met)",
        "smooth",
        "corrugated",
        default="smooth",
    )
    bends: float = quantity(
        "number", "number of easy 90 degree bends, radius three bores and more", default=0.0, at_least=0
    )
    kink_bore: float | None = quantity(
        "length",
        "round hole of the same area as what a kink leaves open",
        shown="mm",
        default=None,
        above=0,
        worst=1e-4,
    )
    wire: bool | None = flag("whether a wire helix keeps it from collapsing under suction", default=None)
    vacuum_rating: float | None = quantity(
        "pressure", "vacuum it stands, as a positive pressure below the air's", default=None, above=0
    )
    temperature_rating: float | None = quantity(
        "temperature", "the hottest water it stands, as printed or in its data sheet", default=None
    )

    sources = (
        "Churchill (1977), Chemical Engineering 84(24), 91-92: friction in all regimes",
        "Crane TP-410, A-30: 90 degree bend of r/d 3, 12 fT",
        "ISO 5167-2:2003, 5.4: permanent loss of an orifice, for a kink",
    )

    def friction(self, water: Water) -> Friction:
        """Friction along the wall."""
        factor = _CORRUGATED if self.wall == "corrugated" else 1.0
        return pipe_friction(self.bore, self.length, self.roughness, water, factor=factor)

    def quadratic(self, water: Water) -> Quadratic:
        """The bends and a kink."""
        return quadratic_k(self.bore, self._fittings, water)

    @cached_property
    def _fittings(self) -> Array:
        """K of the bends and of a kink."""
        bends = self.bends * bend_90(_EASY_BEND, self.bore)
        if self.kink_bore is None:
            return bends
        return bends + orifice_recovered(np.minimum(self.kink_bore / self.bore, 1.0), _KINK_CD)

    def check(self) -> Iterable[str]:
        """A kink cannot widen the hose."""
        if self.kink_bore is not None and self.kink_bore > self.bore:
            yield (
                f"the kink's hole ({1e3 * self.kink_bore:.3g} mm) is larger than the hose's bore "
                f"({1e3 * self.bore:.3g} mm)"
            )
