"""Water that the exhaust does not get."""

from collections.abc import Iterator

from netsolve.plugin import NO_FLOW, Finding, Rule, SeenRow, quantity


class WaterDiverted(Rule):
    """Nearly all that the engine's pump lifts ends in the exhaust, as its maker reckons with."""

    good: float = quantity("ratio", "share led overboard that hardly matters", default=0.1, above=0, at_most=1)
    warn: float = quantity("ratio", "share led overboard that asks for the maker's word", default=0.2, at_most=1)
    severity = "fault"
    basis = "estimate: 10 % hardly matters, above 20 % the engine's maker is to be asked"
    hazards = ("exhaust", "warranty")

    def findings(self, row: SeenRow) -> Iterator[Finding]:
        """One for the opening through which most is lost, of all that the pumps of the exhausts lift."""
        exhausts = [joint for joint in row.openings if "exhaust" in joint.roles]
        pumps = [part for part in row.way_into(exhausts).parts if "pump" in part.roles] if exhausts else []
        ends = [row.joint_of[name] for name in row.way_on(pumps).joints] if pumps else []
        out = {joint.name: joint.outflow for joint in ends if joint.opening and joint.outflow > NO_FLOW}
        lost = {name: flow for name, flow in out.items() if "exhaust" not in row.joint_of[name].roles}
        if not lost:
            return
        share = sum(lost.values()) / sum(out.values())
        severity = self.grade(share, self.good, self.warn)
        if severity is None:
            return
        limit = self.good if severity == "note" else self.warn
        message = (
            f"{100 * share:.3g} % of what the engine's pump lifts leaves at {', '.join(lost)} and not through the "
            f"exhaust; more than {100 * limit:.3g} %"
        )
        help = "ask the engine's maker, take less, or lead it back before the injection"
        worst = row.joint_of[max(lost, key=lambda name: lost[name])]
        yield self.finding(worst, message, help=help, value=share, limit=limit, unit="1", severity=severity)
