"""Which way an oil cooler would leak."""

from collections.abc import Iterator

from netsolve.plugin import Finding, Rule, SeenPart, SeenRow, quantity, show


class OilPressure(Rule):
    """The oil in a cooler is at a higher pressure than the water, so that a leak lets no water into the oil."""

    margin: float = quantity("pressure", "what the oil has above the water", shown="kPa", default=0.0, at_least=0)
    severity = "wear"
    basis = "a cooler maker's manual: oil pressure above water pressure"
    hazards = ("oil", "environment")

    def findings(self, row: SeenRow) -> Iterator[Finding]:
        """One for each oil cooler whose water is at a higher pressure; a coil in a tank cannot be otherwise."""
        for cooler in row.parts("cooler"):
            cooling = cooler.cooling
            if cooler.cools is None or cooling is None:
                continue
            water = max(
                (each for each in (cooler.inlet.pressure, cooler.outlet.pressure) if each is not None), default=0.0
            )
            if cooling.oil_pressure is not None and cooling.oil_pressure <= water + self.margin:
                yield self._below(row, cooler, cooling.oil_pressure, water)
            elif cooling.oil_pressure is None and cooling.arrangement != "stirred tank":
                yield self.lacking(cooler, "oil_pressure")

    def _below(self, row: SeenRow, cooler: SeenPart, oil: float, water: float) -> Finding:
        oils, waters = (show(each, "pressure", system=row.system, both=True) for each in (oil, water))
        message = f"the oil in {cooler.name} is at {oils}, the water at {waters}: a leak lets water into the oil"
        help = "look for milky oil; less pressure on the water's side, or what the cooler's maker allows on the oil's"
        return self.finding(cooler, message, help=help, value=oil, limit=water + self.margin, unit="Pa")
