"""How high above the sea the water enters the exhaust."""

from collections.abc import Iterator

from netsolve.plugin import Finding, Rule, SeenRow, quantity, show


class InjectionHeight(Rule):
    """Water is injected well above the sea, or behind a vented loop, so that none siphons into the engine."""

    good: float = quantity("length", "height above the loaded waterline that the trade prefers", default=0.3)
    warn: float = quantity("length", "height that makers ask for, else a siphon break", default=0.2)
    severity = "danger"
    basis = "engine makers' manuals: 150 to 230 mm above the loaded waterline, else a siphon break; 300 mm in the trade"
    hazards = ("engine_flooding",)

    def findings(self, row: SeenRow) -> Iterator[Finding]:
        """One for each injection point that the sea reaches over no vent; a note between the two heights."""
        for name in row.siphons(max(self.good, self.warn)):
            joint = row.joint_of[name]
            if "exhaust" not in joint.roles:
                continue
            low = joint.height < self.warn
            limit = self.warn if low else self.good
            found, wanted = (show(each, "length", system=row.system) for each in (abs(joint.height), limit))
            side = "below" if joint.height < 0 else "above"
            short = f"not {wanted} above it" if joint.height < 0 else f"less than {wanted}"
            message = f"{joint.name} is {found} {side} the waterline, {short}, and no vented loop guards it"
            help = "measure it in the loaded boat; lead the water over a vented loop, or raise the exhaust"
            severity = self.severity if low else "note"
            yield self.finding(joint, message, help=help, value=joint.height, limit=limit, unit="m", severity=severity)
