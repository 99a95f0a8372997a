"""Check valves that take too much of a small pressure."""

from collections.abc import Iterator

from netsolve.plugin import NO_FLOW, Finding, Rule, SeenRow, quantity, show


class CrackingPressure(Rule):
    """A check valve opens at a small part of what drives its run, at idle too."""

    limit: float = quantity("ratio", "cracking pressure over the pressure that drives the run", default=0.1, above=0)
    severity = "fault"
    basis = "estimate: a tenth of the driving pressure at idle"

    def findings(self, row: SeenRow) -> Iterator[Finding]:
        """One for each check valve that takes more; of a run that carries nothing the verdict speaks."""
        for valve in row.parts("one_way"):
            drive = row.run_of[valve.run].drive
            if abs(valve.flow) <= NO_FLOW or drive <= 0:
                continue
            cracking = valve.drop_at(NO_FLOW)
            if cracking <= self.limit * drive:
                continue
            found, whole = (show(each, "pressure", system=row.system) for each in (cracking, drive))
            message = (
                f"{valve.name} opens at {found}, {100 * cracking / drive:.3g} % of the {whole} that drive {valve.run}"
            )
            help = "a swing valve or a duckbill, which open more easily, or none"
            yield self.finding(valve, message, help=help, value=cracking / drive, limit=self.limit, unit="1")
