"""The water that cools the exhaust gas."""

from collections.abc import Iterator

from netsolve.plugin import NO_FLOW, Finding, Rule, SeenJoint, SeenRow, quantity, show


class ExhaustWater(Rule):
    """Enough water meets the exhaust gas, and is cool enough, to spare the hose behind the injection."""

    good: float = quantity(
        "temperature", "gas and water together, in good order", shown="degC", default=333.15, above=0
    )
    warn: float = quantity(
        "temperature", "gas and water together, where water is lacking", shown="degC", default=348.15, above=0
    )
    most: float = quantity(
        "temperature", "what wet-exhaust hose is usually rated for", shown="degC", default=366.483, above=0
    )
    severity = "fault"
    basis = (
        "estimates for 60 and 75 degC, common ratings of wet-exhaust hose for 200 degF; the maker's flow goes before"
    )
    hazards = ("exhaust", "hot", "fire")

    def findings(self, row: SeenRow) -> Iterator[Finding]:
        """One for each injection of known gas; gas without any water is a danger, unless its engine stands still."""
        for joint in row.openings:
            if not joint.value("gas_flow") or joint.value("speed") == 0:
                continue
            if joint.outflow <= NO_FLOW:
                yield self._dry(row, joint, joint.value("gas_temperature"))
            elif joint.mixed_temperature is not None:
                yield from self._mixed(row, joint, joint.mixed_temperature)

    def _dry(self, row: SeenRow, joint: SeenJoint, gas: float) -> Finding:
        hot = show(gas, "temperature", system=row.system, both=True)
        message = f"no water reaches {joint.name}: gas of {hot} goes into the hose behind it"
        help = "do not run the engine so: find what keeps the water away, and look at the hose's inner wall"
        return self.finding(joint, message, help=help, value=gas, limit=self.most, unit="K", severity="danger")

    def _mixed(self, row: SeenRow, joint: SeenJoint, mixed: float) -> Iterator[Finding]:
        severity = "danger" if mixed > self.most else self.grade(mixed, self.good, self.warn)
        if severity is None:
            return
        limit = {"danger": self.most, "note": self.good}.get(severity, self.warn)
        found = show(mixed, "temperature", system=row.system, both=True)
        wanted = show(limit, "temperature", system=row.system)
        message = f"gas and water mix to {found} at {joint.name}, hotter than {wanted}; evaporation is left out"
        help = "more water to the exhaust: divert less of it; read the hose's rating and the flow on the engine's sheet"
        yield self.finding(joint, message, help=help, value=mixed, limit=limit, unit="K", severity=severity)
