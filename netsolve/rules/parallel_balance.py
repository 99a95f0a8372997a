"""Coolers side by side that share unevenly."""

from collections.abc import Iterator, Mapping

from netsolve.plugin import NO_FLOW, Finding, Rule, SeenPart, SeenRow, quantity


class ParallelBalance(Rule):
    """Coolers side by side get like shares of what they want."""

    limit: float = quantity("ratio", "how much less the poorest gets than the best", default=0.25, above=0, below=1)
    severity = "fault"
    basis = "estimate: a quarter; each its least flow in any case"
    hazards = ("hot",)

    def findings(self, row: SeenRow) -> Iterator[Finding]:
        """One for each joint whose runs lead to coolers, about the one that fares worst; a note where it is served."""
        beside: dict[str, list[SeenPart]] = {}
        for run in row.runs:
            cooler = next((part for part in run.parts if "cooler" in part.roles), None)
            if cooler is not None and row.joint_of[run.entry.joint].free and abs(run.flow) > NO_FLOW:
                beside.setdefault(run.entry.joint, []).append(cooler)
        for joint, coolers in beside.items():
            if len(coolers) > 1:
                yield from self._uneven(joint, coolers)

    def _uneven(self, joint: str, coolers: list[SeenPart]) -> Iterator[Finding]:
        shares = _shares(coolers)
        least, most = (each(coolers, key=lambda part: shares[part.name]) for each in (min, max))
        spread = 1 - shares[least.name] / shares[most.name]
        if spread <= self.limit:
            return
        of_need = " of its need" if least.min_flow is not None and most.min_flow is not None else ""
        message = f"side by side at {joint}, {least.name} gets {100 * spread:.3g} % less{of_need} than {most.name}"
        help = f"a wider hose to {least.name}, or an orifice before {most.name}"
        severity = "note" if least.verdict in ("served", None) else self.severity
        yield self.finding(least, message, help=help, value=spread, limit=self.limit, unit="1", severity=severity)


def _shares(coolers: list[SeenPart]) -> Mapping[str, float]:
    """What each gets of its need, or its flow where a need is not written for all."""
    needs = {part.name: part.min_flow for part in coolers}
    if any(need is None for need in needs.values()):
        return {part.name: abs(part.flow) for part in coolers}
    return {part.name: abs(part.flow) / (needs[part.name] or 1.0) for part in coolers}
