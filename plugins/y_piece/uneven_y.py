"""A Y whose legs carry unlike flows."""

from collections.abc import Iterator, Mapping

from netsolve.plugin import NO_FLOW, Finding, Rule, SeenRow, SeenRun, quantity, show


class UnevenY(Rule):
    """The two legs of a Y carry flows that are nearly alike."""

    contract = 1

    limit: float = quantity("ratio", "how much less the poorer leg carries than the richer", default=0.2, above=0)
    severity = "note"
    basis = "common practice, no source: a Y is fitted to part a flow evenly; a fifth is our own limit"

    def findings(self, row: SeenRow) -> Iterator[Finding]:
        """One for each Y whose legs differ; none where one carries nothing, which other rules speak of."""
        for name, legs in _legs(row).items():
            poor, rich = sorted(legs, key=lambda port: abs(legs[port].flow))
            least, most = (abs(legs[port].flow) for port in (poor, rich))
            if least <= NO_FLOW or not legs[poor].parts or 1 - least / most <= self.limit:
                continue
            flows = " and ".join(show(flow, "flow", system=row.system) for flow in (least, most))
            message = f"{name} parts unevenly: {flows} in its {poor} and {rich} leg"
            help = f"ease what is beyond its {poor} leg, or put an orifice into the {rich} one"
            about = legs[poor].parts[0]
            yield self.finding(about, message, help=help, value=1 - least / most, limit=self.limit, unit="1")


def _legs(row: SeenRow) -> Mapping[str, Mapping[str, SeenRun]]:
    """The runs at the ports `left` and `right` of each joint that has both."""
    found: dict[str, dict[str, SeenRun]] = {}
    for run in row.runs:
        for end in (run.source, run.target):
            joint, _, port = end.partition(".")
            if port in ("left", "right"):
                found.setdefault(joint, {})[port] = run
    return {joint: legs for joint, legs in found.items() if len(legs) == 2}
