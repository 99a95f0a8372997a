"""Reducers and bushings."""

from __future__ import annotations

import numpy as np

from netsolve.plugin import (
    Array,
    Component,
    Water,
    contraction,
    enlargement,
    k_drop,
    k_slope,
    quantity,
    taper_contraction,
    taper_enlargement,
    word,
)

# Keeps the curve rising where both bores are the same and nothing is lost.
_LEAST_K = 1e-6


class Reducer(Component):
    """A change of bore, sudden or tapered, either way round.

    drop = K rho v |v| / 2 in the smaller bore, K a contraction's where the water goes into the smaller bore
    and an enlargement's where it comes out of it, so it differs between the two directions of flow.
    """

    group = "Pipes and hoses"
    velocity_bore = "bore_out"

    bore_in: float = quantity(
        "length", "bore where water enters in forward flow, measured", shown="mm", above=0, example="25 mm"
    )
    bore_out: float = quantity("length", "bore where water leaves in forward flow, measured", shown="mm", above=0)
    style: str = word("sudden (a step, as in a bushing) or taper (a cone)", "sudden", "taper", default="sudden")
    angle: float = quantity(
        "angle",
        "included angle of the cone of a taper; 15 to 60 degrees",
        shown="deg",
        default=np.pi / 6,
        above=0,
        at_most=np.pi,
        assumed="30 degrees, a usual moulded cone; common practice, no source",
    )

    sources = ("Crane TP-410, A-26: sudden and gradual contraction and enlargement, formulas 1 to 4",)

    def pressure_drop(self, flow: Array, water: Water) -> Array:
        """Loss of the change of bore, Pa."""
        return k_drop(flow, np.minimum(self.bore_in, self.bore_out), self._coefficient(flow), water)

    def slope(self, flow: Array, water: Water) -> Array:
        """Derivative of the drop by flow, Pa s/m3; at no flow that of forward flow."""
        return k_slope(flow, np.minimum(self.bore_in, self.bore_out), self._coefficient(flow), water)

    def _coefficient(self, flow: Array) -> Array:
        ratio = self.bore_out / self.bore_in
        beta = np.minimum(ratio, 1 / ratio)
        if self.style == "taper":
            narrowing, widening = taper_contraction(beta, self.angle), taper_enlargement(beta, self.angle)
        else:
            narrowing, widening = contraction(beta), enlargement(beta)
        into_smaller = (flow >= 0) == (ratio <= 1)
        return np.maximum(np.where(into_smaller, narrowing, widening), _LEAST_K)
