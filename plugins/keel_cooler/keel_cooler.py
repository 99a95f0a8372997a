"""Keel coolers, in the closed loop of an engine or of its oil."""

from collections.abc import Iterable

from netsolve.plugin import Array, Component, Water, friction_drop, k_drop, quantity

_ENDS = 1.5


class KeelCooler(Component):
    """A keel cooler: tubes side by side under the hull, between two headers.

    drop = (f L/d + 1.5) rho v |v| / 2 in one tube, v = flow over all tubes; 0.5 on the way in, 1.0 on the way out.
    """

    contract = 1
    roles = ("cooler",)
    velocity_bore = ""

    tubes: float = quantity("number", "tubes side by side; those in line are several parts", at_least=1, example="4")
    bore: float = quantity("length", "inside diameter of one tube; 15 to 40 mm", shown="mm", above=0, example="19 mm")
    length: float = quantity("length", "length of one tube between the headers", shown="m", above=0, example="3 m")
    roughness: float = quantity(
        "length",
        "height of the wall's roughness; more with scale",
        shown="mm",
        default=1.5e-6,
        at_least=0,
        assumed="0.0015 mm, drawn tubing (Moody)",
        worst=5e-4,
    )

    sources = (
        "Churchill (1977), Chemical Engineering 84(24), 91-92: friction in all regimes",
        "Crane TP-410, A-30: sharp entrance 0.5, exit 1.0",
        "Moody (1944), Transactions of the ASME 66, 671-684: roughness of drawn tubing",
    )

    def pressure_drop(self, flow: Array, water: Water) -> Array:
        """Friction in one tube and what its ends cost, Pa."""
        each = flow / self.tubes
        return friction_drop(each, self.bore, self.length, self.roughness, water) + k_drop(
            each, self.bore, _ENDS, water
        )

    def check(self) -> Iterable[str]:
        """Whole tubes."""
        if self.tubes != int(self.tubes):
            yield "tubes is a whole number"
