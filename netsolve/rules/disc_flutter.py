"""A check valve's disc in water too slow to hold it open."""

from collections.abc import Iterator

from netsolve.plugin import NO_FLOW, Finding, Rule, SeenPart, SeenRow, quantity, show


class DiscFlutter(Rule):
    """The water through a check valve is fast enough to hold its disc against the stop."""

    limit: float = quantity("ratio", "speed of the water over the speed that holds the disc open", default=1.0)
    severity = "note"
    basis = "Crane TP-410: the least speed for full disc lift, as found for heavy metal discs"

    def findings(self, row: SeenRow) -> Iterator[Finding]:
        """One for each check valve that carries water too slowly."""
        for valve in row.parts("one_way"):
            if valve.least_speed is None or valve.velocity is None or abs(valve.flow) <= NO_FLOW:
                continue
            if abs(valve.velocity) < self.limit * valve.least_speed:
                yield self._flutter(row, valve, abs(valve.velocity), self.limit * valve.least_speed)

    def _flutter(self, row: SeenRow, valve: SeenPart, speed: float, least: float) -> Finding:
        found, wanted = (show(each, "velocity", system=row.system) for each in (speed, least))
        message = (
            f"the water runs through '{valve.name}' at {found}; a metal disc wants {wanted} to stay open: it may "
            "flutter, wear its pin and take more than is reckoned here"
        )
        help = "a smaller valve, a light rubber flap or a duckbill stays open in slower water"
        return self.finding(valve, message, help=help, value=speed, limit=least, unit="m/s")
