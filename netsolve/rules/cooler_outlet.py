"""Sea water that leaves a cooler too hot."""

from collections.abc import Iterator

from netsolve.plugin import Finding, Rule, SeenRow, quantity, show


class CoolerOutlet(Rule):
    """Sea water leaves a cooler cool enough to keep its salts, which would settle as scale."""

    good: float = quantity("temperature", "where scale begins to be met", shown="degC", default=323.15, above=0)
    warn: float = quantity("temperature", "hottest sea water out of a cooler", shown="degC", default=327.594, above=0)
    severity = "wear"
    basis = "published naval practice: 130 degF (54 degC) at most; others stay below 45 to 50 degC"
    hazards = ("hot",)

    def findings(self, row: SeenRow) -> Iterator[Finding]:
        """One for each cooler that warms the water beyond it; fresh water and antifreeze are not judged."""
        for cooler in row.parts("cooler") if row.scales else ():
            water = cooler.outlet_temperature
            if water is None or (cooler.duty or 0.0) <= 0.0:
                continue
            severity = self.grade(water, self.good, self.warn)
            if severity is None:
                continue
            limit = self.good if severity == "note" else self.warn
            found = show(water, "temperature", system=row.system, both=True)
            wanted = show(limit, "temperature", system=row.system)
            message = f"the water leaves {cooler.name} at {found}, hotter than {wanted}: scale settles in it"
            help = "more water through it; descale it if it has run so for long, as its maker says"
            yield self.finding(cooler, message, help=help, value=water, limit=limit, unit="K", severity=severity)
