"""A loss coefficient on a bore, for whatever has no type of its own."""

from __future__ import annotations

from netsolve.plugin import Component, Quadratic, Water, quadratic_k, quantity


class Loss(Component):
    """A loss coefficient on a bore, for whatever has no type of its own.

    drop = K (1 + 10/Re) rho v |v| / 2; the term in Re gives the curve a slope at no flow and nothing else.
    """

    bore: float = quantity("length", "bore in which the speed is taken", shown="mm", above=0)
    k: float = quantity(
        "number", "loss coefficient, velocity heads in that bore, from a handbook", above=0, example="1.6"
    )

    sources = ("the definition of a loss coefficient; values from Crane TP-410 or Idelchik are the user's",)

    def quadratic(self, water: Water) -> Quadratic:
        """The law as the sum of its powers."""
        return quadratic_k(self.bore, self.k, water)
