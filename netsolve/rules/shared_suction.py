"""Inlets that feed several pumps."""

from collections.abc import Iterator
from math import pi, sqrt

from netsolve.plugin import Finding, Rule, SeenJoint, SeenPart, SeenRow, quantity, show


class SharedSuction(Rule):
    """An inlet that feeds several pumps is wide enough for all of them, and deep enough."""

    area: float = quantity("ratio", "area of the inlet over those of the pumps' ports together", default=1.1, above=0)
    depth: float = quantity("length", "depth of the inlet", default=0.6, at_least=0)
    severity = "fault"
    basis = "a handbook of sea chests: 1.1 times the areas together, 0.6 m of water over it"

    def findings(self, row: SeenRow) -> Iterator[Finding]:
        """Up to two for each inlet of several pumps."""
        for inlet in row.inlets:
            met = row.way_from([inlet], until=lambda part: "pump" in part.roles).parts
            pumps = [part for part in met if "pump" in part.roles]
            if len(pumps) < 2:
                continue
            yield from self._narrow(row, inlet, pumps)
            if -inlet.height < self.depth:
                found, wanted = (show(each, "length", system=row.system) for each in (-inlet.height, self.depth))
                message = f"{inlet.name} feeds {len(pumps)} pumps from a depth of {found}, less than {wanted}"
                help = "a deeper inlet: one pump draws the other's air when the boat rolls"
                yield self.finding(inlet, message, help=help, value=-inlet.height, limit=self.depth, unit="m")

    def _narrow(self, row: SeenRow, inlet: SeenJoint, pumps: list[SeenPart]) -> Iterator[Finding]:
        bores = [pump.inlet.bore for pump in pumps]
        for pump in (each for each in pumps if each.inlet.bore is None):
            yield self.lacking(pump, "bore")
        if inlet.value("bore") is None:
            yield self.lacking(inlet, "bore")
        if None in bores or inlet.value("bore") is None:
            return
        whole = sum(pi / 4 * bore**2 for bore in bores if bore is not None)
        ratio = pi / 4 * float(inlet.value("bore")) ** 2 / whole
        if ratio < self.area:
            wanted = show(sqrt(self.area * whole / (pi / 4)), "length", system=row.system)
            message = f"{inlet.name} has {100 * ratio:.3g} % of the area of the {len(pumps)} pumps' ports that it feeds"
            help = f"a bore of {wanted} would do, or an inlet for each"
            yield self.finding(inlet, message, help=help, value=ratio, limit=self.area, unit="1")
