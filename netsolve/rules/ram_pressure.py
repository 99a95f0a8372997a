"""The pressure that a boat's speed puts on an inlet."""

from collections.abc import Iterator

from netsolve.plugin import GRAVITY, Finding, Rule, SeenRow, quantity, show


class RamPressure(Rule):
    """The speed of the boat pushes no more water into an inlet than a pump at idle holds back."""

    limit: float = quantity("pressure", "ram pressure at the inlet", shown="kPa", default=34.5e3, above=0)
    severity = "danger"
    basis = "an engine maker's manual: 5 psi at the pump of an idle engine"
    hazards = ("engine_flooding",)

    def findings(self, row: SeenRow) -> Iterator[Finding]:
        """One for each inlet with more."""
        for inlet in row.inlets:
            ram = inlet.still_pressure + row.density * GRAVITY * inlet.height
            if ram <= self.limit:
                continue
            found = show(ram, "pressure", system=row.system, both=True)
            limit = show(self.limit, "pressure", system=row.system)
            message = f"the boat's speed pushes on {inlet.name} with {found}, more than {limit}"
            help = "a flush inlet, or one that faces less forward"
            yield self.finding(inlet, message, help=help, value=ram, limit=self.limit, unit="Pa")
