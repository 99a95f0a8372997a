"""Hoses that suction would press flat."""

from collections.abc import Iterator

from netsolve.plugin import Finding, Rule, SeenPart, SeenRow, quantity, show


class HoseCollapse(Rule):
    """A hose under suction has a wire helix, or is rated for twice the vacuum in it."""

    limit: float = quantity("ratio", "vacuum rating over the vacuum reckoned", default=2.0, above=0)
    bare: float = quantity("pressure", "vacuum that a hose without wire may see", shown="kPa", default=1e3, at_least=0)
    severity = "fault"
    basis = "an engine maker's manual and common practice: wire-reinforced hose on the suction side"
    hazards = ("exhaust",)

    def findings(self, row: SeenRow) -> Iterator[Finding]:
        """One for each hose in which the pressure falls below the air's; a note where the hose is not known."""
        for hose in row.parts("hose"):
            vacuum = -(hose.lowest_pressure or 0.0)
            if vacuum <= self.bare:
                continue
            rating = hose.value("vacuum_rating")
            if rating is None and hose.value("wire") is None:
                yield self.lacking(hose, "wire")
            elif rating is not None and rating < self.limit * vacuum:
                yield self._weak(row, hose, vacuum, rating)
            elif rating is None and not hose.value("wire"):
                yield self._bare(row, hose, vacuum)

    def _weak(self, row: SeenRow, hose: SeenPart, vacuum: float, rating: float) -> Finding:
        found, stands = (show(each, "pressure", system=row.system) for each in (vacuum, rating))
        message = (
            f"the vacuum in {hose.name} is {found}, and it is rated for {stands}, not {self.limit:.3g} times as much"
        )
        return self.finding(hose, message, help=self._help, value=rating / vacuum, limit=self.limit, unit="1")

    def _bare(self, row: SeenRow, hose: SeenPart, vacuum: float) -> Finding:
        found = show(vacuum, "pressure", system=row.system, both=True)
        message = f"the vacuum in {hose.name} is {found}, and it has no wire to keep it open: it may go flat"
        return self.finding(hose, message, help=self._help, value=vacuum, limit=self.bare, unit="Pa")

    @property
    def _help(self) -> str:
        return "a hose with a wire helix, made for suction"
