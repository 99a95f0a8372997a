"""Check valves that do not seat as they lie."""

from collections.abc import Iterator

from netsolve.plugin import Finding, Rule, SeenRow


class CheckValveAttitude(Rule):
    """A swing or ball check valve lies level, or the water runs up through it, so that it falls shut."""

    severity = "fault"
    basis = "trade authors: a swing valve lies level within a few degrees, or the water rises through it"

    def findings(self, row: SeenRow) -> Iterator[Finding]:
        """One for each such valve through which the water runs down."""
        for valve in row.parts("one_way"):
            if valve.value("attitude") == "down" and valve.value("style") in ("swing", "ball"):
                message = f"the water runs down through the {valve.value('style')} valve {valve.name}: it hangs open"
                yield self.finding(valve, message, help="fit it level or where the water rises, or take a spring valve")
