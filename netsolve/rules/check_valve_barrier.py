"""Check valves that the boat's safety hangs on."""

from collections.abc import Iterator

from netsolve.plugin import Finding, Rule, SeenPart, SeenRow, quantity


class CheckValveBarrier(Rule):
    """No check valve is all that keeps the sea out: a little weed holds it open."""

    margin: float = quantity("length", "how much the boat may heel or settle at an injection point", default=0.15)
    severity = "danger"
    basis = "trade authors, all of one mind: a check valve is neither a seacock nor a siphon break"
    hazards = ("flooding",)

    def findings(self, row: SeenRow) -> Iterator[Finding]:
        """One for each check valve that alone stops a siphon, or stands where a seacock should."""
        shut = row.siphons(self.margin, past_check_valves=False)
        relied: dict[str, tuple[SeenPart, str]] = {}
        for name, way in row.siphons(self.margin).items():
            if name not in shut:
                valve = next(part for run in way for part in run.parts if "one_way" in part.roles)
                relied.setdefault(valve.name, (valve, name))
        for joint, parts in row.hull_openings:
            valves = [part for part in parts if "one_way" in part.roles]
            if joint.height < 0 and valves and not any("shut_off" in part.roles for part in parts):
                relied.setdefault(valves[0].name, (valves[0], joint.name))
        for valve, name in relied.values():
            message = f"{valve.name} is all that keeps the sea out at {name}, and a check valve is no barrier"
            yield self.finding(valve, message, help="a seacock at the hull and a vented loop; keep the valve besides")
