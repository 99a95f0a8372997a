"""Sight glasses: where one can see whether water runs."""

from __future__ import annotations

from netsolve.plugin import Component, Quadratic, Water, quadratic_k, quantity


class SightGlass(Component):
    """A sight glass or sight tube in the line, through which one sees the water run.

    drop = K (1 + 10/Re) rho v |v| / 2; the term in Re gives the curve a slope at no flow and nothing else.
    """

    bore: float = quantity("length", "bore of its ends; 10 to 40 mm", shown="mm", above=0)
    k: float = quantity(
        "number",
        "loss coefficient, velocity heads in its bore; 0.1 for a plain tube, 1.5 for a wide chamber",
        default=0.2,
        above=0,
        assumed="0.2, a tube hardly wider than its ends; an estimate, no source",
    )

    sources = (
        "the definition of a loss coefficient; K of a plain sight tube 0.2 is an estimate, no source",
        "Crane TP-410, A-26: a wide chamber loses at most an exit and an entrance, 1.5",
    )

    def quadratic(self, water: Water) -> Quadratic:
        """The law as the sum of its powers."""
        return quadratic_k(self.bore, self.k, water)
