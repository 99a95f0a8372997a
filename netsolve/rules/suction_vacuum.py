"""The vacuum at a pump's inlet."""

from collections.abc import Iterator

from netsolve.plugin import Finding, Rule, SeenPart, SeenRow, quantity, show


class SuctionVacuum(Rule):
    """The vacuum at a pump's inlet stays small enough neither to starve it nor to cavitate."""

    limit: float = quantity("pressure", "vacuum at a pump's inlet", shown="kPa", above=0, default=30e3)
    good: float = quantity("pressure", "vacuum that no maker minds", shown="kPa", above=0, default=17e3)
    severity = "fault"
    basis = "maker's practice: 0.3 bar at the sea-water pump of a commercial diesel; 5 inHg passed on by an owner"
    hazards = ("rotating",)

    def findings(self, row: SeenRow) -> Iterator[Finding]:
        """One for each pump whose inlet is below the limit; a note below the good vacuum."""
        for pump in row.parts("pump"):
            if pump.inlet.pressure is None:
                continue
            severity = self.grade(-pump.inlet.pressure, self.good, self.limit)
            if severity is not None:
                yield self._vacuum(row, pump, -pump.inlet.pressure, severity)

    def _vacuum(self, row: SeenRow, pump: SeenPart, vacuum: float, severity: str) -> Finding:
        limit = self.good if severity == "note" else self.limit
        found = show(vacuum, "pressure", system=row.system, both=True)
        wanted = show(limit, "pressure", system=row.system)
        end = "some makers allow no more" if severity == "note" else "the flow is over-predicted"
        message = f"the vacuum at the inlet of '{pump.name}' is {found}, more than {wanted}: {end}"
        help = "clean the strainer and the inlet, shorten or widen the suction hose, or lower the pump"
        return self.finding(pump, message, help=help, value=vacuum, limit=limit, unit="Pa", severity=severity)
