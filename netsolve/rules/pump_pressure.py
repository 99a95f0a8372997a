"""The pressure that a pump works against."""

from collections.abc import Iterator

from netsolve.plugin import Finding, Rule, SeenRow, quantity, show


class PumpPressure(Rule):
    """A pump raises the pressure by no more than its vanes and seals bear."""

    limit: float = quantity("pressure", "rise of pressure across a pump", shown="bar", above=0, default=2e5)
    severity = "wear"
    basis = "maker's practice: 2 bar across the sea-water pump of a commercial diesel"
    hazards = ("rotating",)

    def findings(self, row: SeenRow) -> Iterator[Finding]:
        """One for each pump that works against more."""
        for pump in row.parts("pump"):
            rise = -pump.drop
            if rise <= self.limit:
                continue
            found = show(rise, "pressure", system=row.system, both=True)
            limit = show(self.limit, "pressure", system=row.system)
            message = f"{pump.name} works against {found}, more than {limit}"
            help = "look for what is shut or blocked behind it; ease the cooler or the injection"
            yield self.finding(pump, message, help=help, value=rise, limit=self.limit, unit="Pa")
