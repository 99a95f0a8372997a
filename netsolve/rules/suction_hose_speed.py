"""Water too fast in a suction hose."""

from collections.abc import Iterator

from netsolve.plugin import Finding, Rule, SeenRow, quantity, show


class SuctionHoseSpeed(Rule):
    """The water in a hose before a pump is slow enough that the pump need not suck hard for it."""

    good: float = quantity("velocity", "fastest water in a suction hose of the usual size", default=1.5, above=0)
    warn: float = quantity("velocity", "fastest water that a suction hose should ever see", default=2.0, above=0)
    severity = "wear"
    basis = (
        "common practice, no source: 1 to 1.5 m/s wanted on the suction side, 2 m/s at most; what it does to the pump "
        "is judged by the vacuum"
    )

    def findings(self, row: SeenRow) -> Iterator[Finding]:
        """One for each suction hose; a note between the two speeds."""
        for hose in row.parts("hose"):
            if hose.name not in row.suction or hose.velocity is None:
                continue
            speed = abs(hose.velocity)
            severity = self.grade(speed, self.good, self.warn)
            if severity is None:
                continue
            limit = self.good if severity == "note" else self.warn
            found, wanted = (show(each, "velocity", system=row.system) for each in (speed, limit))
            message = f"the water in {hose.name}, before the pump, runs at {found}, faster than {wanted}"
            help = "a hose one size wider; see the vacuum at the pump's inlet"
            yield self.finding(hose, message, help=help, value=speed, limit=limit, unit="m/s", severity=severity)
