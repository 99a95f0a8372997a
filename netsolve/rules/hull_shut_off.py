"""Openings through the hull that cannot be shut."""

from collections.abc import Iterator

from netsolve.plugin import Finding, Rule, SeenRow, quantity, show


class HullShutOff(Rule):
    """Every opening through the hull below the waterline, or near it, can be shut at the hull."""

    zone: float = quantity("length", "height up to which a heeled boat dips its openings", default=0.3, at_least=0)
    severity = "danger"
    basis = (
        "the subject of ABYC H-27, ISO 9093 and of Annex I of the EU recreational craft directive; heights near the "
        "waterline differ between editions"
    )
    hazards = ("flooding",)

    def findings(self, row: SeenRow) -> Iterator[Finding]:
        """One for each opening without a shut-off in its run; a note where it is above the waterline at rest."""
        for joint, parts in row.hull_openings:
            if joint.height >= self.zone or any("shut_off" in part.roles for part in parts):
                continue
            height = show(abs(joint.height), "length", system=row.system)
            below = joint.height < 0
            where = f"{height} below the waterline" if below else f"only {height} above the waterline at rest"
            message = f"{joint.name} goes through the hull {where} and has no seacock in its run"
            help = (
                "a seacock at the hull that can be reached" if below else "see where it lies in the heeled, loaded boat"
            )
            limit = 0.0 if below else self.zone
            severity = self.severity if below else "note"
            yield self.finding(joint, message, help=help, value=joint.height, limit=limit, unit="m", severity=severity)
