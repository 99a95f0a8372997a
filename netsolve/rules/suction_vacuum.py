"""The vacuum at a pump's inlet."""

from collections.abc import Iterator

from netsolve.plugin import Finding, Rule, SeenRow, quantity, show


class SuctionVacuum(Rule):
    """The vacuum at a pump's inlet stays small enough neither to starve it nor to cavitate."""

    limit: float = quantity("pressure", "vacuum at a pump's inlet", shown="kPa", above=0, default=30e3)
    severity = "fault"
    basis = "maker's practice: 0.3 bar at the sea-water pump of a commercial diesel"

    def findings(self, row: SeenRow) -> Iterator[Finding]:
        """One for each pump whose inlet is below the limit."""
        for pump in row.parts("pump"):
            pressure = pump.inlet.pressure
            if pressure is None or pressure >= -self.limit:
                continue
            vacuum = show(-pressure, "pressure", system=row.system, both=True)
            limit = show(self.limit, "pressure", system=row.system)
            message = (
                f"the vacuum at the inlet of '{pump.name}' is {vacuum}, more than {limit}: the flow is over-predicted"
            )
            help = "clean the strainer and the inlet, shorten or widen the suction hose, or lower the pump"
            yield self.finding(pump, message, help=help, value=-pressure, limit=self.limit, unit="Pa")
