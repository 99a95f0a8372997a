"""Flow switches: alarms that sense whether water runs."""

from __future__ import annotations

from netsolve.plugin import Component, Quadratic, Water, quadratic_k, quantity


class FlowSwitch(Component):
    """A flow switch or paddle in the line, which gives the alarm when the flow fails.

    drop = K (1 + 10/Re) rho v |v| / 2; the term in Re gives the curve a slope at no flow and nothing else.
    """

    roles = ("flow_alarm",)

    bore: float = quantity("length", "bore of its body; 10 to 40 mm", shown="mm", above=0)
    k: float = quantity(
        "number",
        "loss coefficient, velocity heads in its bore; from its data sheet where that gives a drop",
        default=0.5,
        above=0,
        assumed="0.5, a small paddle in a straight body; an estimate, no source",
    )

    sources = ("the definition of a loss coefficient; K of a paddle 0.5 is an estimate, no source",)

    def quadratic(self, water: Water) -> Quadratic:
        """The law as the sum of its powers."""
        return quadratic_k(self.bore, self.k, water)
