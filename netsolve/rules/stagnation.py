"""Sea water that stands in a cooler."""

from collections.abc import Iterator

from netsolve.plugin import Finding, Rule, SeenRow, quantity

_DAY = 86400.0


class Stagnation(Rule):
    """Sea water does not stand for days in a cooler that is shut off: it is drained or moved."""

    limit: float = quantity("time", "how long it may stand", default=4 * _DAY, above=0)
    severity = "note"
    basis = "a cooler maker's manual: drain when idle for over 4 to 6 days, or renew the water every 2 to 3"

    def findings(self, row: SeenRow) -> Iterator[Finding]:
        """One for each run that is shut and has a cooler in it."""
        for run in (*row.blanked, *(run for run in row.runs if run.verdict == "shut")):
            cooler = next((part for part in run.parts if "cooler" in part.roles), None)
            if cooler is not None:
                days = f"{self.limit / _DAY:.3g} days"
                message = f"water stands in {cooler.name} while {run.name} is shut: beyond {days} it pits the tubes"
                yield self.finding(
                    cooler, message, help="drain it, or let fresh water through", limit=self.limit, unit="s"
                )
