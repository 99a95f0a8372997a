"""Vented loops that are too low, or whose vent is stuck."""

from collections.abc import Iterator

from netsolve.plugin import Finding, Rule, SeenRow, quantity, show


class VentHeight(Rule):
    """A vented loop stands high enough above the sea to break a siphon, and its vent works."""

    good: float = quantity("length", "height of its top that most makers ask for", default=0.3)
    warn: float = quantity("length", "height of its top below which it is no siphon break", default=0.25)
    severity = "danger"
    basis = "engine makers' manuals: 10 to 12 in above the waterline, at every angle of heel"
    hazards = ("engine_flooding", "flooding")

    def findings(self, row: SeenRow) -> Iterator[Finding]:
        """One for each vented loop; a note between the two heights."""
        for joint in row.joints:
            if "vent" not in joint.roles:
                continue
            if joint.value("vent") == "stuck shut":
                message = f"the vent of {joint.name} is stuck shut: it breaks no siphon"
                yield self.finding(joint, message, help="take the vent apart and rinse it; renew it where it crusts")
            elif joint.vented and joint.height < max(self.good, self.warn):
                low = joint.height < self.warn
                limit = self.warn if low else self.good
                found, wanted = (show(each, "length", system=row.system) for each in (joint.height, limit))
                message = f"the top of {joint.name} is {found} above the waterline, less than {wanted}"
                help = "raise it: it counts at every angle of heel and trim"
                severity = self.severity if low else "note"
                yield self.finding(
                    joint, message, help=help, value=joint.height, limit=limit, unit="m", severity=severity
                )
