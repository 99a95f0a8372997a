"""Oil that gets too hot."""

from collections.abc import Iterator

from netsolve.plugin import Finding, Rule, SeenOil, SeenRow, quantity, show


class OilTemperature(Rule):
    """Oil settles below its alarm and its limit, or where none is written, below what mineral oil usually bears."""

    good: float = quantity("temperature", "hottest that needs no question", shown="degC", default=338.706, above=0)
    warn: float = quantity("temperature", "hottest that mineral oil bears", shown="degC", default=355.372, above=0)
    severity = "fault"
    basis = "published practice for hydraulic oil: from 150 degF (66 degC) look into it, at 180 degF (82 degC) stop"
    hazards = ("hot", "oil")

    def findings(self, row: SeenRow) -> Iterator[Finding]:
        """One for each oil that passes its alarm, its limit or what is usual, or that nothing cools."""
        for oil in row.oils:
            if oil.time_to_alarm is not None and oil.alarm is not None:
                yield self._alarmed(row, oil, oil.alarm, oil.time_to_alarm)
            elif oil.plateau is None:
                message = f"nothing takes the heat of {oil.name} away: it does not settle"
                yield self.finding(oil, message, help=self._help, limit=self._most(oil), unit="K")
            else:
                yield from self._settled(row, oil, oil.plateau)

    def _alarmed(self, row: SeenRow, oil: SeenOil, alarm: float, time: float) -> Finding:
        limit, after = show(alarm, "temperature", system=row.system), show(time, "time", system=row.system)
        message = f"{oil.name} passes its {limit} alarm {after} after a cold start"
        return self.finding(oil, message, help=self._help, value=oil.plateau, limit=alarm, unit="K")

    def _settled(self, row: SeenRow, oil: SeenOil, plateau: float) -> Iterator[Finding]:
        most = self._most(oil)
        hottest = plateau if oil.peak is None else max(plateau, oil.peak)
        severity = self.grade(hottest, self.good if oil.limit is None else most, most)
        if severity is None:
            return
        limit = self.good if severity == "note" else most
        found = show(hottest, "temperature", system=row.system, both=True)
        wanted = show(limit, "temperature", system=row.system)
        does = "settles at" if hottest == plateau else "peaks in its bursts at"
        message = f"{oil.name} {does} {found}, hotter than {wanted}"
        yield self.finding(oil, message, help=self._help, value=hottest, limit=limit, unit="K", severity=severity)

    def _most(self, oil: SeenOil) -> float:
        return self.warn if oil.limit is None else oil.limit

    @property
    def _help(self) -> str:
        return "more water or a larger cooler; stop at the alarm; whether the oil is spoilt, its maker says"
