"""Sea strainers and in-line strainers."""

from __future__ import annotations

from collections.abc import Iterable
from functools import cached_property

import numpy as np

from netsolve.plugin import (
    Array,
    Component,
    Quadratic,
    Water,
    area,
    cv_coefficient,
    k_drop,
    k_slope,
    perforated_plate,
    quadratic_rated,
    quantity,
    rated,
    rated_slope,
    screen,
    word,
)

_INCH = 0.0254
_AT_ONE_PSI = 3.785411784e-3 / 60  # m3/s for each unit of Cv
_MESHES = (20.0, 40.0, 60.0, 80.0, 100.0)
_FACTORS = (1.0, 1.2, 1.4, 1.6, 1.7)
_CREEP = 1e-6  # m/s, below which a woven screen's law is straight


class Strainer(Component):
    """A strainer, by its Cv or by the open area of its screen, with what share of it is blinded.

    By Cv: drop = SG (Q/Cv)^2 psi times the mesh's factor, over (1 - blinded)^2, straight below 2 % of Cv gpm.
    By open area f (1 - blinded), on the bore: Brundrett's woven wire where a mesh is given, else Idelchik's
    thin perforated plate.
    """

    roles = ("strainer",)

    cv: float | None = quantity(
        "number",
        "Cv without a mesh lining, US gpm at 1 psi, from the data sheet; 3 to 25 for branch strainers, 15 to "
        "60 for engine strainers",
        default=None,
        above=0,
        spread=0.2,
        example="20",
    )
    open_area_ratio: float | None = quantity(
        "ratio",
        "open share of a screen that lies across the bore: woven 30 to 50 %, perforated 23 to 50 %; for a "
        "basket with more face than the bore give its cv",
        default=None,
        above=0,
        below=1,
        spread=0.1,
    )
    bore: float | None = quantity(
        "length", "bore of its ports", shown="mm", default=None, above=0, sizes="valve", example="25 mm"
    )
    mesh: float | None = quantity(
        "number", "wires to the inch of the woven lining; 20 to 100", default=None, above=0, at_most=100
    )
    opening: float | None = quantity(
        "length",
        "width of one hole of a perforated basket or plate; 1.6 to 5 mm",
        shown="mm",
        default=None,
        above=0,
    )
    blinded: float = quantity(
        "ratio", "share of the screen covered by weed and dirt", default=0.0, at_least=0, below=1, worst=0.95
    )
    element: str = word(
        "what holds the dirt, for the report; the loss does not depend on it",
        "basket",
        "y",
        "plate",
        default="basket",
    )

    sources = (
        "Crane TP-410, ch. 2: flow coefficient Cv",
        "a pipeline strainer maker's data: mesh factors 1.2, 1.4, 1.6, 1.7 at 40, 60, 80, 100 "
        "mesh; 1.0 at 20 mesh "
        "is assumed",
        "Brundrett (1993), Journal of Fluids Engineering 115, 239-242: woven wire",
        "Idelchik, Handbook of Hydraulic Resistance, diagram 8-1: perforated plate",
    )

    def pressure_drop(self, flow: Array, water: Water) -> Array:
        """Loss of the element with its dirt, Pa."""
        if self.cv is not None:
            return rated(flow, self._at_rating(self.cv, water), self.cv * _AT_ONE_PSI, 2.0)
        if self.mesh is not None:
            return self._woven(flow, water)
        return k_drop(flow, self._bore(), perforated_plate(self._open()), water)

    def slope(self, flow: Array, water: Water) -> Array:
        """Derivative of the drop by flow, Pa s/m3; by central differences for woven wire."""
        if self.cv is not None:
            return rated_slope(flow, self._at_rating(self.cv, water), self.cv * _AT_ONE_PSI, 2.0)
        if self.mesh is not None:
            return super().slope(flow, water)
        return k_slope(flow, self._bore(), perforated_plate(self._open()), water)

    def quadratic(self, water: Water) -> Quadratic | None:
        """The law as the sum of its powers, where it is by Cv."""
        if self.cv is None:
            return None
        return quadratic_rated(self._at_rating(self.cv, water), self.cv * _AT_ONE_PSI, 2.0)

    def _at_rating(self, cv: Array, water: Water) -> Array:
        """Drop at the flow that gives 1 psi in cold fresh water without mesh and dirt."""
        return cv_coefficient(cv, water) * (cv * _AT_ONE_PSI) ** 2 * self._dirt

    @cached_property
    def _dirt(self) -> Array:
        """What the mesh and what blinds it multiply the drop by."""
        factor = 1.0 if self.mesh is None else np.interp(self.mesh, _MESHES, _FACTORS)
        return factor / (1 - self.blinded) ** 2

    def _woven(self, flow: Array, water: Water) -> Array:
        wire = (1 - np.sqrt(self._clean())) * _INCH / self.mesh
        speed = flow / area(self._bore())
        moving = np.maximum(np.abs(speed), _CREEP)
        k = screen(self._open(), water.density * moving * wire / water.viscosity)
        return 0.5 * k * water.density * speed * moving

    def _bore(self) -> float:
        return np.nan if self.bore is None else self.bore

    def _clean(self) -> float:
        return np.nan if self.open_area_ratio is None else self.open_area_ratio

    def _open(self) -> Array:
        return self._clean() * (1 - self.blinded)

    def check(self) -> Iterable[str]:
        """One way to say how open it is, and one kind of hole."""
        if self.cv is not None and self.open_area_ratio is not None:
            yield "a strainer takes cv or open_area_ratio, not both"
        if self.cv is None and self.open_area_ratio is None:
            yield "a strainer needs its cv (from the data sheet) or its open_area_ratio with its bore"
        if self.cv is None and self.open_area_ratio is not None and self.bore is None:
            yield "a strainer with an open_area_ratio needs its bore too"
        if self.mesh is not None and self.opening is not None:
            yield "a strainer has a mesh or perforations: give mesh or opening, not both"
