"""Pumps that cannot suck."""

from collections.abc import Iterator

from netsolve.plugin import Finding, Rule, SeenPart, SeenRow, quantity, show


class PumpFlooded(Rule):
    """A centrifugal pump lies below its water, and its suction rises to it without a high point."""

    limit: float = quantity("length", "depth of the pump's inlet below the water", default=0.3)
    rise: float = quantity("length", "rise of a suction hose above both its ends", default=0.01, at_least=0)
    severity = "fault"
    basis = "makers' practice: 1 ft below the waterline, rising all the way to the pump"
    hazards = ("electric",)

    def findings(self, row: SeenRow) -> Iterator[Finding]:
        """One for each centrifugal pump that stands too high, or behind a high point."""
        for pump in row.parts("centrifugal"):
            level = row.level_before(pump)
            if level is None:
                continue
            depth = level - pump.inlet.height
            if depth < self.limit:
                yield self._too_high(row, pump, depth)
                continue
            high = self._high_point(row, pump)
            if high is not None:
                message = f"{high.name} rises on its way to {pump.name}: air gathers there, and the pump cannot draw it"
                help = "lead it so that it rises all the way to the pump"
                yield self.finding(high, message, help=help, value=high.top, unit="m")

    def _high_point(self, row: SeenRow, pump: SeenPart) -> SeenPart | None:
        before = row.upstream(pump, until=lambda part: "pump" in part.roles)
        tops = (part for part in before if part.top > max(part.inlet.height, part.outlet.height) + self.rise)
        return next(tops, None)

    def _too_high(self, row: SeenRow, pump: SeenPart, depth: float) -> Finding:
        found, limit = (show(abs(each), "length", system=row.system) for each in (depth, self.limit))
        where = f"only {found} below its water" if depth >= 0 else f"{found} above its water"
        message = f"{pump.name} lies {where}; a centrifugal pump cannot suck and wants {limit} over its inlet"
        help = "set it lower, or take a pump that primes itself"
        return self.finding(pump, message, help=help, value=depth, limit=self.limit, unit="m")
