"""Orifices: holes drilled to hold a flow back."""

from __future__ import annotations

from collections.abc import Iterable

import numpy as np

from netsolve.plugin import Array, Component, Quadratic, Water, orifice_recovered, quadratic_k, quantity

# Keeps the curve rising where the hole is as wide as the hose and nothing is lost.
_LEAST_K = 1e-6


class Orifice(Component):
    """A sharp-edged hole in a plate or plug, fitted to hold a flow back.

    drop = [sqrt(1 - b^4 (1 - C^2)) / (C b^2) - 1]^2 rho v |v| / 2 in the hose, b = bore over hose bore: the
    lasting loss, after the jet has filled the hose again.
    """

    roles = ("restrictor",)

    bore: float = quantity(
        "length",
        "diameter of the hole, by a drill's shank; below 6 mm it plugs",
        shown="mm",
        above=0,
        sizes="drill",
        worst=1e-4,
        example="9 mm",
    )
    hose_bore: float = quantity(
        "length", "inside diameter of the hose or pipe behind it", shown="mm", above=0, sizes="hose"
    )
    cd: float = quantity(
        "number",
        "discharge coefficient of the hole; 0.60 to 0.62 sharp-edged, about 0.8 rounded or thick",
        default=0.62,
        above=0,
        at_most=1,
        assumed="0.62, a sharp edge (handbooks have 0.60 to 0.62)",
    )

    sources = ("ISO 5167-2:2003, 5.4: permanent pressure loss of an orifice plate",)

    def quadratic(self, water: Water) -> Quadratic:
        """The law as the sum of its powers."""
        return quadratic_k(self.hose_bore, self._coefficient(), water)

    def _coefficient(self) -> Array:
        beta = np.minimum(self.bore / self.hose_bore, 1.0)
        return np.maximum(orifice_recovered(beta, self.cd), _LEAST_K)

    def check(self) -> Iterable[str]:
        """The hole must be smaller than the hose."""
        if self.bore > self.hose_bore:
            yield (
                f"the orifice ({1e3 * self.bore:.3g} mm) is larger than the hose it is in "
                f"({1e3 * self.hose_bore:.3g} mm)"
            )
