"""Hoses too weak for hot water."""

from collections.abc import Iterator

from netsolve.plugin import Finding, Rule, SeenRow, quantity, show


class HoseTemperature(Rule):
    """A hose is rated for water somewhat hotter than what runs in it."""

    margin: float = quantity(
        "temperature difference", "what the rating lies above the water", shown="K", default=20.0, at_least=0
    )
    unrated: float = quantity(
        "temperature", "hottest water for which no rating is asked", shown="degC", default=313.15, above=0
    )
    severity = "fault"
    basis = "estimate: 20 K for what is not reckoned; common practice, no source, that any hose stands 40 degC"
    hazards = ("hot", "flooding")

    def findings(self, row: SeenRow) -> Iterator[Finding]:
        """One for each hose whose water is too hot for it; a note where it is hot and the rating is not given."""
        for hose in row.parts("hose"):
            known = [each for each in (hose.inlet_temperature, hose.outlet_temperature) if each is not None]
            if not known:
                continue
            water, rating = max(known), hose.value("temperature_rating")
            if rating is None and water > self.unrated:
                yield self.lacking(hose, "temperature_rating")
            if rating is None or water <= rating - self.margin:
                continue
            found, stands = (show(each, "temperature", system=row.system, both=True) for each in (water, rating))
            apart = show(self.margin, "temperature difference", system=row.system)
            message = f"the water in {hose.name} is {found}; it is rated for {stands}, not for {apart} above the water"
            help = "a hose for hot water, as its maker rates it, or more water through the cooler before it"
            yield self.finding(hose, message, help=help, value=water, limit=rating - self.margin, unit="K")
