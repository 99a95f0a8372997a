"""High points that slow water does not purge of air."""

from collections.abc import Iterator

from netsolve.plugin import NO_FLOW, Finding, Rule, SeenPart, SeenRow, quantity, show


class HighPoint(Rule):
    """Over a high point of a run the water is fast enough to carry its air along, or the air can be let out."""

    limit: float = quantity("velocity", "speed that carries air down", default=0.6, above=0)
    rise: float = quantity("length", "how far above both ends of its run a high point is", default=0.05, above=0)
    severity = "fault"
    basis = "estimate: 0.5 to 0.8 m/s purges a down leg"

    def findings(self, row: SeenRow) -> Iterator[Finding]:
        """One for the top of each run that rises above both its ends and carries slow water."""
        for run in row.runs:
            if abs(run.flow) <= NO_FLOW or not run.parts:
                continue
            top = max(run.parts, key=lambda part: part.top)
            ends = [row.joint_of[end.joint].height for end in (run.start, run.stop)]
            speed = None if top.velocity is None else abs(top.velocity)
            if speed is not None and speed < self.limit and top.top > max(ends) + self.rise:
                yield self._air(row, top, speed)

    def _air(self, row: SeenRow, top: SeenPart, speed: float) -> Finding:
        found, wanted = (show(each, "velocity", system=row.system) for each in (speed, self.limit))
        height = show(top.top, "length", system=row.system)
        pull = (top.top_pressure or 0.0) < 0
        siphon = "; the fall behind it is counted on, so the flow may be over-predicted" if pull else ""
        message = (
            f"{top.name} is the high point of {top.run} at {height}, and its water runs at {found}, slower than "
            f"{wanted}: air stays there{siphon}"
        )
        help = "lead it so that it rises all the way, or fit a bleed at the top"
        return self.finding(top, message, help=help, value=speed, limit=self.limit, unit="m/s")
