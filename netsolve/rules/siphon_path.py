"""Ways by which the sea would run in by itself."""

from collections.abc import Iterator

from netsolve.plugin import Finding, Rule, SeenJoint, SeenRow, SeenRun, quantity, show


class SiphonPath(Rule):
    """From no opening below the waterline does an unvented way lead to the exhaust or into the boat below it."""

    margin: float = quantity("length", "how much the boat may heel or settle at the injection point", default=0.15)
    severity = "danger"
    basis = "handbooks of boat plumbing: pumps let water pass and check valves stick open; 0.15 to 0.3 m for heel"
    hazards = ("flooding", "engine_flooding")

    def findings(self, row: SeenRow) -> Iterator[Finding]:
        """One for each place that the sea would run into, with a shortest way."""
        for name, way in row.siphons(self.margin).items():
            yield self._siphon(row, row.joint_of[name], way)

    def _siphon(self, row: SeenRow, joint: SeenJoint, way: tuple[SeenRun, ...]) -> Finding:
        height = show(abs(joint.height), "length", system=row.system)
        side = "below" if joint.height < 0 else "above"
        into = "the exhaust" if "exhaust" in joint.roles else "the boat"
        runs = ", ".join(run.name for run in way)
        message = f"the sea would siphon into {into} at {joint.name}, {height} {side} the waterline, by {runs}: no vent"
        help = "a vented loop in that way, its top 0.3 m above the waterline at every angle of heel"
        limit = self.margin if "exhaust" in joint.roles else 0.0
        return self.finding(joint, message, help=help, value=joint.height, limit=limit, unit="m")
