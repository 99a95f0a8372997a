"""Orifices that unstrained water plugs."""

from collections.abc import Iterator

from netsolve.plugin import Finding, Rule, SeenRow, quantity, show


class SmallHole(Rule):
    """An orifice in unstrained water is too wide to be plugged by what comes along."""

    limit: float = quantity("length", "smallest hole in unstrained water", shown="mm", default=6e-3, above=0)
    severity = "fault"
    basis = "estimate: 6 mm in unstrained sea water"

    def findings(self, row: SeenRow) -> Iterator[Finding]:
        """One for each small orifice that sea water reaches unstrained."""
        for orifice in row.parts("restrictor"):
            bore = orifice.value("bore")
            if bore is None or bore >= self.limit or orifice.name not in row.unstrained:
                continue
            found, limit = (show(each, "length", system=row.system) for each in (bore, self.limit))
            message = f"the hole of {orifice.name} is {found}, less than {limit}, and no strainer stands before it"
            help = "a strainer before it, or a longer, wider restriction"
            yield self.finding(orifice, message, help=help, value=bore, limit=self.limit, unit="m")
