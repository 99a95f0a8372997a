"""Check valves fitted the wrong way round."""

from collections.abc import Iterator

from netsolve.plugin import Finding, Rule, SeenRow


class CheckValveDirection(Rule):
    """The arrow of a check valve points where the water shall go."""

    severity = "fault"
    basis = "logic: fitted the wrong way round it passes nothing from the first day"

    def findings(self, row: SeenRow) -> Iterator[Finding]:
        """One for each check valve whose arrow points against its run."""
        for valve in row.parts("one_way"):
            if valve.value("backwards"):
                message = f"the arrow of {valve.name} points against {valve.run}: it lets nothing through"
                yield self.finding(valve, message, help="turn it round")
