"""Scoops that push water where none is wanted, or pull it away."""

from collections.abc import Iterator

from netsolve.plugin import Finding, Rule, SeenJoint, SeenRow, show


class ScoopDirection(Rule):
    """No scoop drives water through a pump that stands, and none faces aft under way."""

    severity = "danger"
    basis = "engine makers' manuals: no forward scoop on a generator, an idle engine or a sailing boat"
    hazards = ("engine_flooding",)

    def findings(self, row: SeenRow) -> Iterator[Finding]:
        """One for each scoop under way: forward before a pump that stands, or facing aft before any."""
        for inlet in row.inlets:
            style, speed = inlet.value("style"), inlet.value("boat_speed") or 0.0
            pumps = [part for part in row.way_from([inlet]).parts if "pump" in part.roles]
            if speed <= 0 or not pumps:
                continue
            standing = [pump.name for pump in pumps if pump.status == "stopped"]
            under_way = show(speed, "velocity", system=row.system)
            if style == "scoop_forward" and standing:
                yield self._driven(inlet, under_way, standing[0])
            elif style == "scoop_aft":
                message = f"{inlet.name} faces aft, and at {under_way} it sucks water away from its pump"
                help = "a flush inlet; a scoop facing forward only for an engine that always runs under way"
                yield self.finding(inlet, message, help=help, value=speed, unit="m/s", severity="fault")

    def _driven(self, inlet: SeenJoint, under_way: str, pump: str) -> Finding:
        message = (
            f"{inlet.name} is a forward scoop, and at {under_way} it pushes water past {pump}, which stands: it fills "
            "the exhaust, then the engine"
        )
        help = "a flush inlet, or shut the seacock whenever the engine is stopped under way"
        return self.finding(inlet, message, help=help, value=inlet.value("boat_speed"), unit="m/s")
