"""Branches whose lift eats up their pressure."""

from collections.abc import Iterator

from netsolve.plugin import GRAVITY, NO_FLOW, Finding, Rule, SeenRow, quantity, show


class IdleHead(Rule):
    """The height to which a branch must lift its water takes a modest part of the pressure where it begins."""

    limit: float = quantity("ratio", "lift over the pressure where the run begins", default=0.6, above=0)
    severity = "fault"
    basis = "estimate: beyond 60 % at idle a little fouling or trim stops the branch"

    def findings(self, row: SeenRow) -> Iterator[Finding]:
        """One for each run from a joint to a vent or an outlet in air; of a run without flow the verdict speaks."""
        for run in row.runs:
            start = row.joint_of[run.entry.joint]
            end = row.onward(run)
            if abs(run.flow) <= NO_FLOW or start.opening or not (end.vented or end.in_air):
                continue
            pressure = start.ports[run.entry.port].total_pressure
            lift = row.density * GRAVITY * (end.height - start.height)
            if lift > self.limit * pressure > 0:
                taken, whole = (show(each, "pressure", system=row.system) for each in (lift, pressure))
                message = f"lifting the water to {end.name} takes {taken} of the {whole} at which {run.name} begins"
                help = "lower its highest vented place, or take it off where the pressure is higher"
                yield self.finding(run, message, help=help, value=lift / pressure, limit=self.limit, unit="1")
