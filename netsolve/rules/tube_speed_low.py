"""Water too slow to keep a cooler's tubes clean."""

from collections.abc import Iterator

from netsolve.plugin import NO_FLOW, Finding, Rule, SeenRow, quantity, show


class TubeSpeedLow(Rule):
    """The water in a cooler's tubes is fast enough, at cruise and above, that silt does not settle in them."""

    least: float = quantity("velocity", "slowest water at cruise", default=0.9, above=0)
    settling: float = quantity("velocity", "slowest water at any speed", default=0.3, above=0)
    cruise: float = quantity("ratio", "share of the rated engine speed from which on it is cruise", default=0.6)
    severity = "wear"
    basis = "handbook: 0.9 to 1 m/s keeps sediment moving; that 0.3 m/s lets it settle is common practice"

    def findings(self, row: SeenRow) -> Iterator[Finding]:
        """One for each cooler whose tubes see slow water; a note below cruise."""
        cruising = row.load is None or row.load >= self.cruise
        for cooler in row.parts("cooler"):
            speed, limit = cooler.tube_speed, self.least if cruising else self.settling
            if speed is None or abs(cooler.flow) <= NO_FLOW or speed >= limit:
                continue
            found, wanted = (show(each, "velocity", system=row.system) for each in (speed, limit))
            message = f"the water in the tubes of {cooler.name} runs at {found}, slower than {wanted}: silt settles"
            help = "fewer tubes side by side or a smaller cooler; flush it more often"
            severity = self.severity if cruising else "note"
            yield self.finding(cooler, message, help=help, value=speed, limit=limit, unit="m/s", severity=severity)
