"""Shell-and-tube coolers with the water in the tubes."""

from __future__ import annotations

from collections.abc import Iterable

import numpy as np

from netsolve.plugin import (
    MATERIAL_NAMES,
    Array,
    Component,
    Water,
    friction_drop,
    friction_slope,
    k_drop,
    k_slope,
    quantity,
    roughness_of,
    word,
)

_HEADS_PER_PASS = 2.5
_LEAST_OPEN = 0.02


class TubeCooler(Component):
    """A shell-and-tube cooler with the water in its tubes, some of them plugged.

    drop = sum over the passes of (f L/d + 2.5) rho v |v| / 2 in the tubes; v = flow over the open tubes of that pass.
    What has come with the water sticks at the first tube plate: all plugged tubes are taken to be of the first pass.
    At least 2 % of a pass is left open. Its connections are not included.
    """

    roles = ("cooler",)
    velocity_bore = ""

    tubes: float = quantity("number", "how many tubes there are, all passes together", at_least=1, example="24")
    bore: float = quantity(
        "length", "inside diameter of one clean tube; 4 to 10 mm", shown="mm", above=0, spread=0.03, example="6 mm"
    )
    length: float = quantity("length", "length of one tube, from plate to plate", shown="m", above=0, example="0.3 m")
    passes: float = quantity(
        "number", "how many times the water runs through the shell's length; 1, 2 or 4", at_least=1, default=1.0
    )
    plugged: float = quantity("number", "how many tubes are stopped with dirt", at_least=0, default=0.0, worst=1000.0)
    material: str = word(
        "what the tubes are made of; gives the roughness of a new wall",
        *MATERIAL_NAMES,
        default="cupronickel 90-10",
        assumed="cupronickel 90-10; its roughness of 0.0015 mm is that of most drawn tubes",
    )

    sources = (
        "Churchill (1977), Chemical Engineering 84(24), 91-92: friction in all regimes",
        "Sinnott, Coulson & Richardson's Chemical Engineering, vol. 6, ch. 12, after Frank (1978): 2.5 velocity heads "
        "per pass for entering, leaving and turning (from memory; handbooks have 1.5 to 4)",
        "Moody (1944), Transactions of the ASME 66, 671-684: roughness of drawn tubing",
    )

    def pressure_drop(self, flow: Array, water: Water) -> Array:
        """Friction in the tubes and what the ends of each pass cost, Pa."""
        first = self._in_tubes(flow / self._open_tubes(), water)
        return first + (self.passes - 1) * self._in_tubes(flow / self._tubes_of_pass(), water)

    def slope(self, flow: Array, water: Water) -> Array:
        """Derivative of the drop by flow, Pa s/m3."""
        opened, each = self._open_tubes(), self._tubes_of_pass()
        first = self._tube_slope(flow / opened, water) / opened
        return first + (self.passes - 1) * self._tube_slope(flow / each, water) / each

    def status(self, flow: float, drop: float) -> str | None:
        """How many tubes of the first pass are plugged, if any."""
        return f"{self.plugged:g} of {self._tubes_of_pass():g} plugged" if self.plugged > 0 else None

    def _in_tubes(self, flow: Array, water: Water) -> Array:
        """Drop of one pass by the flow in one of its tubes, Pa."""
        friction = friction_drop(flow, self.bore, self.length, roughness_of(self.material), water)
        return friction + k_drop(flow, self.bore, _HEADS_PER_PASS, water)

    def _tube_slope(self, flow: Array, water: Water) -> Array:
        friction = friction_slope(flow, self.bore, self.length, roughness_of(self.material), water)
        return friction + k_slope(flow, self.bore, _HEADS_PER_PASS, water)

    def _tubes_of_pass(self) -> Array:
        return self.tubes / self.passes

    def _open_tubes(self) -> Array:
        """Open tubes of the first pass."""
        each = self._tubes_of_pass()
        return np.maximum(each - self.plugged, _LEAST_OPEN * each)

    def check(self) -> Iterable[str]:
        """Whole passes of whole tubes, some of them open."""
        if self.passes != int(self.passes) or self.tubes != int(self.tubes):
            yield "tubes and passes are whole numbers"
        if self.tubes < self.passes:
            yield f"{self.tubes:g} tubes are too few for {self.passes:g} passes"
        elif self.plugged >= self._tubes_of_pass():
            yield f"{self.plugged:g} plugged tubes leave none of the {self._tubes_of_pass():.3g} in a pass open"
