"""The gas pressure in the exhaust."""

from collections.abc import Iterator

from netsolve.plugin import Finding, Rule, SeenRow, quantity, show


class BackPressure(Rule):
    """The exhaust gas finds its way out against no more pressure than the engine's maker allows."""

    good: float = quantity("pressure", "what a turbocharged engine bears", shown="kPa", default=7e3, above=0)
    warn: float = quantity("pressure", "what any engine bears", shown="kPa", default=10e3, above=0)
    severity = "fault"
    basis = "makers' practice and a handbook: 5 to 7 kPa for turbocharged engines, 10 kPa for others"
    hazards = ("exhaust",)

    def findings(self, row: SeenRow) -> Iterator[Finding]:
        """One for each injection point; a note where only a turbocharged engine would mind."""
        for joint in row.openings:
            if "exhaust" not in joint.roles:
                continue
            pressure = joint.still_pressure
            severity = self.grade(pressure, self.good, self.warn)
            if severity is None:
                continue
            limit = self.good if severity == "note" else self.warn
            found = show(pressure, "pressure", system=row.system, both=True)
            wanted = show(limit, "pressure", system=row.system)
            whom = "a turbocharged engine" if severity == "note" else "an engine"
            message = f"the back pressure at {joint.name} is {found}, more than the {wanted} that {whom} usually bears"
            help = "read the limit on the engine's sheet; look for a collapsed or long hose, or a full silencer"
            yield self.finding(joint, message, help=help, value=pressure, limit=limit, unit="Pa", severity=severity)
