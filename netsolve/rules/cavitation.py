"""Water that would boil."""

from collections.abc import Iterator

from netsolve.plugin import ATMOSPHERE, Finding, Rule, SeenPart, SeenRow, SeenRun, quantity, show


class Cavitation(Rule):
    """Nowhere does the pressure fall so far that the water boils and the reckoning no longer holds."""

    limit: float = quantity("pressure", "least pressure above that at which the water boils", default=0.0, at_least=0)
    severity = "fault"
    basis = "physics: below its vapour pressure water boils, and less of it flows than is reckoned"

    def findings(self, row: SeenRow) -> Iterator[Finding]:
        """One for each run in which the water would boil, at its worst place."""
        least = row.vapour_pressure + self.limit
        for run in row.runs:
            known = [(each.lowest_pressure, each) for each in run.parts if each.lowest_pressure is not None]
            pressure, part = min(known, key=lambda pair: pair[0], default=(0.0, None))
            if part is not None and pressure + ATMOSPHERE < least:
                yield self._boils(row, run, part, pressure + ATMOSPHERE, least)

    def _boils(self, row: SeenRow, run: SeenRun, part: SeenPart, pressure: float, least: float) -> Finding:
        found, boils = (show(each, "pressure", system=row.system) for each in (pressure, row.vapour_pressure))
        message = (
            f"at {part.name} the absolute pressure would be {found}, and the water boils at {boils}: the flow of "
            f"{run.name} is over-predicted"
        )
        help = "take what is given for this row as more than will flow; lower the place, or ease what is before it"
        return self.finding(part, message, help=help, value=pressure, limit=least, unit="Pa")
