"""Water too fast in a hose on the pressure side."""

from collections.abc import Iterator

from netsolve.plugin import Finding, Rule, SeenRow, quantity, show


class PressureHoseSpeed(Rule):
    """The water in a hose behind a pump is slow enough neither to waste pressure nor to wear fittings."""

    good: float = quantity("velocity", "fastest water in a hose of the usual size", default=2.5, above=0)
    warn: float = quantity("velocity", "fastest water that a hose should ever see", default=3.0, above=0)
    severity = "wear"
    basis = "common practice, no source: 2 to 2.5 m/s wanted on the pressure side, 3 m/s at most"

    def findings(self, row: SeenRow) -> Iterator[Finding]:
        """One for each hose that is not before a pump; a note between the two speeds."""
        for hose in row.parts("hose"):
            if hose.name in row.suction or hose.velocity is None:
                continue
            speed = abs(hose.velocity)
            severity = self.grade(speed, self.good, self.warn)
            if severity is None:
                continue
            limit = self.good if severity == "note" else self.warn
            found, wanted = (show(each, "velocity", system=row.system) for each in (speed, limit))
            message = f"the water in {hose.name} runs at {found}, faster than {wanted}"
            help = "a hose one size wider, or an orifice where there is flow to spare"
            yield self.finding(hose, message, help=help, value=speed, limit=limit, unit="m/s", severity=severity)
