"""Outlets too near the sea."""

from collections.abc import Iterator

from netsolve.plugin import Finding, Rule, SeenRow, quantity, show


class DischargeHeight(Rule):
    """An outlet through the hull lies clear above the waterline, or has both a seacock and a vented loop."""

    limit: float = quantity("length", "height above the waterline at rest", default=0.1)
    severity = "danger"
    basis = "estimate: 100 mm; a British inland scheme asks for 250 mm of openings; standards by scope as of seacocks"
    hazards = ("flooding",)

    def findings(self, row: SeenRow) -> Iterator[Finding]:
        """One for each low outlet that lacks either."""
        for joint, parts in row.hull_openings:
            if "outlet" not in joint.roles or joint.height >= self.limit:
                continue
            shut_off = any("shut_off" in part.roles for part in parts)
            vented = any(row.joint_of[name].vented for name in row.way_into([joint]).joints)
            if shut_off and vented:
                continue
            missing = " and ".join(
                name for name, there in (("seacock", shut_off), ("vented loop", vented)) if not there
            )
            found, limit = (show(each, "length", system=row.system) for each in (abs(joint.height), self.limit))
            side = "below" if joint.height < 0 else "above"
            short = f"not {limit} above it" if joint.height < 0 else f"less than {limit}"
            message = f"{joint.name} is {found} {side} the waterline, {short}, without {missing}"
            help = "raise it, or give it a seacock at the hull and a vented loop before it"
            yield self.finding(joint, message, help=help, value=joint.height, limit=self.limit, unit="m")
