"""Gate valves where a seacock belongs."""

from collections.abc import Iterator

from netsolve.plugin import Finding, Rule, SeenRow


class SeacockKind(Rule):
    """What shuts an opening below the waterline is a quarter-turn seacock, not a gate or globe valve."""

    severity = "danger"
    basis = "the subject of ABYC H-27 and UL 1121: quarter-turn valves made and listed for the sea"
    hazards = ("flooding",)

    def findings(self, row: SeenRow) -> Iterator[Finding]:
        """One for each opening below the waterline whose first shut-off takes many turns."""
        for joint, parts in row.hull_openings:
            valve = next((part for part in parts if "shut_off" in part.roles), None)
            if joint.height < 0 and valve is not None and "multi_turn" in valve.roles:
                kind = valve.type.replace("_", " ")
                message = (
                    f"{valve.name} at {joint.name} is a {kind}: it may seem shut on a pebble, and its stem corrodes"
                )
                help = "a marine seacock that shuts by a quarter turn, in a metal or plastic made for it"
                yield self.finding(valve, message, help=help)
