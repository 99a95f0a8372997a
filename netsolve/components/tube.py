"""Straight metal or plastic tube."""

from __future__ import annotations

from netsolve.plugin import MATERIAL_NAMES, Component, Friction, Water, pipe_friction, quantity, roughness_of, word


class Tube(Component):
    """A straight run of metal or plastic tube.

    drop = f (L/d) rho v |v| / 2.
    """

    group = "Pipes and hoses"

    bore: float = quantity(
        "length",
        "inside diameter: outside diameter less two walls, or a pipe size such as NPS 3/4; 6 to 80 mm",
        shown="mm",
        above=0,
        sizes="pipe",
        spread=0.03,
    )
    length: float = quantity("length", "length along the centreline", shown="m", above=0, example="2 m")
    roughness: float | None = quantity(
        "length",
        "height of the wall's roughness, where not that of the new material; 0.0015 mm drawn to 1 mm corroded",
        shown="mm",
        default=None,
        at_least=0,
    )
    material: str = word(
        "what the tube is made of; gives the roughness of a new wall where none is given",
        *MATERIAL_NAMES,
        default="copper",
        assumed="drawn copper; its roughness of 0.0015 mm is that of most drawn tubes",
    )

    sources = (
        "Churchill (1977), Chemical Engineering 84(24), 91-92: friction in all regimes",
        "Moody (1944), Transactions of the ASME 66, 671-684: roughness of drawn tubing and commercial steel",
    )

    def friction(self, water: Water) -> Friction:
        """Friction along the tube."""
        return pipe_friction(self.bore, self.length, self._roughness(), water)

    def _roughness(self) -> float:
        return roughness_of(self.material) if self.roughness is None else self.roughness
