"""Narrow places between wider hoses."""

from collections.abc import Iterator

from netsolve.plugin import Finding, Rule, SeenPart, SeenRow, SeenRun, quantity, show

_BORES = ("bore", "bore_in", "bore_out", "hole", "kink_bore")
_MEANT = {"pump", "cooler", "restrictor"}


class Bottleneck(Rule):
    """No fitting, valve or kink is much narrower than the hoses beside it."""

    good: float = quantity("ratio", "bore over the hose's, below which it is listed", default=0.8, above=0, at_most=1)
    warn: float = quantity("ratio", "bore over the hose's, below which it is a fault", default=0.6, above=0, at_most=1)
    severity = "fault"
    basis = "estimate: at 0.8 of the bore a passage has two thirds of the area, at 0.6 a third"

    def findings(self, row: SeenRow) -> Iterator[Finding]:
        """One for each narrow part; orifices, coolers and pumps are meant to be so."""
        for run in row.runs:
            for place, part in enumerate(run.parts):
                hose, bore = _beside(run, place), _narrowest(part)
                if hose is not None and bore is not None and not _MEANT & set(part.roles):
                    yield from self._judged(row, part, bore, hose)

    def _judged(self, row: SeenRow, part: SeenPart, bore: float, hose: float) -> Iterator[Finding]:
        ratio = bore / hose
        if ratio >= max(self.good, self.warn):
            return
        narrow = ratio < self.warn
        found, wide = (show(each, "length", system=row.system) for each in (bore, hose))
        message = f"{part.name} is {found} wide, {100 * ratio:.3g} % of the {wide} of the hose beside it"
        help = "measure it; a full-bore fitting of the hose's size costs little and gains more than a wider hose"
        yield self.finding(
            part,
            message,
            help=help,
            value=ratio,
            limit=self.warn if narrow else self.good,
            unit="1",
            severity=self.severity if narrow else "note",
        )


def _narrowest(part: SeenPart) -> float | None:
    bores = [part.value(name) for name in _BORES]
    return min((float(bore) for bore in bores if bore is not None), default=None)


def _beside(run: SeenRun, place: int) -> float | None:
    """The bore of the narrower hose beside a part; of a hose itself its own where it is kinked or at an end."""
    sides = (run.parts[:place][::-1], run.parts[place + 1 :])
    found = [next((part.value("bore") for part in side if "hose" in part.roles), None) for side in sides]
    bores = [bore for bore in found if bore is not None]
    if "hose" in run.parts[place].roles and len(bores) < len(sides):
        return float(run.parts[place].value("bore"))
    return min(bores, default=None)
