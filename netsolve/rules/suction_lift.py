"""How high a pump has to suck the water up."""

from collections.abc import Iterator

from netsolve.plugin import Finding, Rule, SeenPart, SeenRow, quantity, show


class SuctionLift(Rule):
    """A pump that must draw its water up has no more than a small height to do it over."""

    limit: float = quantity("length", "height of the pump, or of its suction hose, above the water", default=2.0)
    severity = "fault"
    basis = "makers' practice: 2 m at an engine maker's; flexible impellers prime over some 3 m when dry"

    def findings(self, row: SeenRow) -> Iterator[Finding]:
        """One for each pump that stands too high; one that must be flooded has a rule of its own."""
        for pump in row.parts("pump"):
            level = row.level_before(pump)
            if level is None or "centrifugal" in pump.roles:
                continue
            lift = self._top(row, pump) - level
            if lift > self.limit:
                found, limit = (show(each, "length", system=row.system) for each in (lift, self.limit))
                message = f"{pump.name} has to lift the water {found} before it runs, more than {limit}"
                help = "set the pump lower, or lead its suction hose lower"
                yield self.finding(pump, message, help=help, value=lift, limit=self.limit, unit="m")

    def _top(self, row: SeenRow, pump: SeenPart) -> float:
        before = row.upstream(pump, until=lambda part: "pump" in part.roles)
        return max([pump.inlet.height, *(part.top for part in before if "pump" not in part.roles)])
