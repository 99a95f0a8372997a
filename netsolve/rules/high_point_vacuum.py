"""Places behind the pump where the pressure is below the air's."""

from collections.abc import Iterator

from netsolve.plugin import NO_FLOW, Finding, Rule, SeenPart, SeenRow, quantity, show


class HighPointVacuum(Rule):
    """On the pressure side no place is under suction, where a loose clamp would draw in air."""

    limit: float = quantity("pressure", "vacuum behind a pump", shown="kPa", default=2e3, at_least=0)
    severity = "note"
    basis = "hydrostatics; that 2 kPa is worth saying is an estimate"

    def findings(self, row: SeenRow) -> Iterator[Finding]:
        """One for the worst place of each run; suction hoses and pumps have rules of their own."""
        for run in row.runs:
            if abs(run.flow) <= NO_FLOW:
                continue
            behind = (part for part in run.parts if part.name not in row.suction and "pump" not in part.roles)
            known = [(each.lowest_pressure, each) for each in behind if each.lowest_pressure is not None]
            pressure, part = min(known, key=lambda pair: pair[0], default=(0.0, None))
            if part is not None and pressure < -self.limit:
                yield self._pulls(row, part, -pressure)

    def _pulls(self, row: SeenRow, part: SeenPart, vacuum: float) -> Finding:
        found = show(vacuum, "pressure", system=row.system, both=True)
        message = f"{part.name} in {part.run} is under a vacuum of {found}: a loose clamp draws in air, not out water"
        help = "look for bubbles; the fall behind it pulls only as long as the hose runs full"
        return self.finding(part, message, help=help, value=vacuum, limit=self.limit, unit="Pa")
