"""What a cooler gets, against what coolers of its kind want."""

from collections.abc import Iterator

from netsolve.plugin import NO_FLOW, Finding, Rule, SeenPart, SeenRow, quantity, show


class CoolerFlow(Rule):
    """A cooler never gets less than half of its need; one without a need gets what such coolers usually want."""

    nominal: float = quantity("flow", "what a small oil cooler usually wants", default=3 * 3.785411784e-3 / 60, above=0)
    alarm: float = quantity("ratio", "share of the need below which heat builds up", default=0.5, above=0, at_most=1)
    severity = "fault"
    basis = "estimate: 3 gpm for a small oil cooler, half of the need as the alarm; the maker's figure goes before it"
    hazards = ("hot", "oil")

    def findings(self, row: SeenRow) -> Iterator[Finding]:
        """One for each cooler that carries too little; of one that carries nothing the verdict speaks."""
        for cooler in row.parts("cooler"):
            flow = abs(cooler.flow)
            if flow <= NO_FLOW:
                continue
            if cooler.min_flow is None and flow < self.nominal:
                yield self._without_need(row, cooler, flow)
            elif cooler.min_flow is not None and flow < self.alarm * cooler.min_flow:
                yield self._far_too_little(row, cooler, flow, self.alarm * cooler.min_flow)

    def _without_need(self, row: SeenRow, cooler: SeenPart, flow: float) -> Finding:
        got, usual = (show(each, "flow", system=row.system, both=True) for each in (flow, self.nominal))
        message = f"{cooler.name} gets {got}, and no need is written for it; a small oil cooler usually wants {usual}"
        help = "write min_flow for it, from the maker's sheet"
        return self.finding(cooler, message, help=help, value=flow, limit=self.nominal, unit="m3/s", severity="note")

    def _far_too_little(self, row: SeenRow, cooler: SeenPart, flow: float, limit: float) -> Finding:
        got = show(flow, "flow", system=row.system, both=True)
        message = f"{cooler.name} gets {got}, less than {100 * self.alarm:.3g} % of its need: watch its temperature"
        help = "do not load it until the water is back; see what takes most of the pressure in its run"
        return self.finding(cooler, message, help=help, value=flow, limit=limit, unit="m3/s")
