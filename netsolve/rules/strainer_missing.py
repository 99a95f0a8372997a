"""Pumps and coolers that sea water reaches unstrained."""

from collections.abc import Iterator

from netsolve.plugin import Finding, Rule, SeenRow


class StrainerMissing(Rule):
    """A strainer stands between the sea and every pump and cooler, in each way that the water takes."""

    severity = "fault"
    basis = "common practice; a classification society asks for one between sea valve and pump"

    def findings(self, row: SeenRow) -> Iterator[Finding]:
        """One for each pump without; one for each cooler without that has no such pump before it."""
        bare = {part.name: part for part in row.parts("pump") if part.name in row.unstrained}
        for pump in bare.values():
            yield self.finding(pump, f"sea water reaches {pump.name} through no strainer", help=self._help)
        for cooler in row.parts("cooler"):
            if cooler.name in row.unstrained and not any(part.name in bare for part in row.upstream(cooler)):
                message = f"sea water reaches {cooler.name} through no strainer"
                yield self.finding(cooler, message, help=self._help)

    @property
    def _help(self) -> str:
        return "a strainer behind the seacock, in each way that the water takes"
