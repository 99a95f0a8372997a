"""Cooling coils, as in an oil tank."""

from __future__ import annotations

from collections.abc import Iterable

import numpy as np

from netsolve.plugin import (
    MATERIAL_NAMES,
    Array,
    Component,
    Friction,
    Water,
    pipe_friction,
    quantity,
    roughness_of,
    word,
)

_LEAST_OPEN = 0.02


class CoolingCoil(Component):
    """A coil of tube, as in an oil tank, with the scale on its wall.

    drop = f (L/d) rho v |v| / 2 with the friction factor of curved tube, laminar and turbulent; d = bore less
    two thicknesses of scale, and never less than 2 % of the bore. Authors differ by 20 %.
    """

    roles = ("cooler",)

    bore: float = quantity(
        "length",
        "inside diameter of the clean tube; 10 to 16 mm in tank coils",
        shown="mm",
        above=0,
        spread=0.03,
        example="13.8 mm",
    )
    length: float = quantity(
        "length", "length of tube in the coil: turns times 3.14 coil diameters; 4 to 10 m", above=0, example="8 m"
    )
    coil_diameter: float = quantity(
        "length",
        "diameter of the coil, from centre to centre of the tube; 150 to 300 mm",
        shown="mm",
        above=0,
        example="250 mm",
    )
    scale: float = quantity(
        "length",
        "thickness of what has grown on the wall; 0.25 to 1 mm before it is noticed",
        shown="mm",
        default=0.0,
        at_least=0,
        worst=0.005,
    )
    material: str = word(
        "what the tube is made of; gives the roughness of a new wall",
        *MATERIAL_NAMES,
        default="copper",
        assumed="drawn copper; its roughness of 0.0015 mm is that of most drawn tubes",
    )

    sources = (
        "Manlapaz & Churchill (1980), Chemical Engineering Communications 7, 57-78: laminar flow in coils",
        "Mishra & Gupta (1979), Ind. Eng. Chem. Process Des. Dev. 18, 130-137: turbulent flow in coils",
        "Schmidt (1967), Chemie Ingenieur Technik 39, 781-789: critical Reynolds number",
        "Moody (1944), Transactions of the ASME 66, 671-684: roughness of drawn tubing",
    )

    def friction(self, water: Water) -> Friction:
        """Friction along the coil."""
        roughness = roughness_of(self.material)
        return pipe_friction(self._open_bore(), self.length, roughness, water, coil_diameter=self.coil_diameter)

    def _open_bore(self) -> Array:
        open_bore: Array = np.maximum(self.bore - 2 * self.scale, _LEAST_OPEN * self.bore)
        return open_bore

    def check(self) -> Iterable[str]:
        """Scale must leave a hole, and the tube must fit its coil."""
        if 2 * self.scale >= self.bore:
            yield f"scale of {1e3 * self.scale:.3g} mm leaves nothing of a bore of {1e3 * self.bore:.3g} mm"
        if self.coil_diameter <= self.bore:
            yield (
                f"a coil diameter of {1e3 * self.coil_diameter:.3g} mm is too small for a tube of "
                f"{1e3 * self.bore:.3g} mm bore"
            )
