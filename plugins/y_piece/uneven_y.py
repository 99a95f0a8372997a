"""A Y whose legs carry unlike flows."""

from collections.abc import Iterator

from netsolve.plugin import NO_FLOW, Finding, Rule, SeenRow, quantity, show


class UnevenY(Rule):
    """The two legs of a Y carry flows that are nearly alike."""

    contract = 1

    limit: float = quantity("ratio", "how much less the poorer leg carries than the richer", default=0.2, above=0)
    severity = "note"
    basis = "common practice, no source: a Y is fitted to part a flow evenly; a fifth is our own limit"

    def findings(self, row: SeenRow) -> Iterator[Finding]:
        """One for each Y whose legs differ; none where one is shut, which other rules speak of."""
        for joint in row.joints:
            legs = {name: abs(port.flow) for name, port in joint.ports.items() if name in ("left", "right")}
            if joint.type != "y_piece" or min(legs.values(), default=0.0) <= NO_FLOW:
                continue
            poor, rich = sorted(legs, key=lambda name: legs[name])
            short = 1 - legs[poor] / legs[rich]
            if short > self.limit:
                flows = " and ".join(show(legs[name], "flow", system=row.system) for name in (poor, rich))
                message = f"{joint.name} parts unevenly: {flows} in its {poor} and {rich} leg"
                help = f"ease what is beyond its {poor} leg, or put an orifice into the {rich} one"
                yield self.finding(joint, message, help=help, value=short, limit=self.limit, unit="1")
