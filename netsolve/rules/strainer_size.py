"""Strainers too small for their pump."""

from collections.abc import Iterator

from netsolve.plugin import Finding, Rule, SeenPart, SeenRow, quantity, show


class StrainerSize(Rule):
    """A strainer before a pump is a size wider than the pump's port, and a screen more open than its pipe."""

    warn: float = quantity("ratio", "strainer's bore over the pump's, at least", default=1.0, above=0)
    good: float = quantity("ratio", "strainer's bore over the pump's, a hose size more", default=1.15, above=0)
    area: float = quantity("ratio", "open area of a screen over that of its bore", default=4.0, above=0)
    severity = "fault"
    basis = "an engine maker's manual: one size above the pump's inlet; a strainer maker's handbook: 4 times the pipe"

    def findings(self, row: SeenRow) -> Iterator[Finding]:
        """One for each strainer on a pump's suction side that is small, and for each screen across a pipe."""
        for pump in row.parts("pump"):
            for strainer in row.upstream(pump, until=lambda part: "pump" in part.roles):
                if "strainer" in strainer.roles and strainer.value("bore") is not None:
                    yield from self._port(row, strainer, pump)
        for strainer in row.parts("strainer"):
            share = strainer.value("open_area_ratio")
            if share is not None and share < self.area:
                message = (
                    f"{strainer.name} is open over {share:.3g} times the area of its bore; a basket has "
                    f"{self.area:.3g} times and holds more weed"
                )
                help = "look at it often, or fit a basket strainer"
                yield self.finding(
                    strainer, message, help=help, value=share, limit=self.area, unit="1", severity="wear"
                )

    def _port(self, row: SeenRow, strainer: SeenPart, pump: SeenPart) -> Iterator[Finding]:
        if pump.value("bore") is None:
            yield self.lacking(pump, "bore")
            return
        bore, port = strainer.value("bore"), pump.value("bore")
        if bore >= max(self.good, self.warn) * port:
            return
        small = bore < self.warn * port
        found, wanted = (show(each, "length", system=row.system) for each in (bore, port))
        message = f"the ports of {strainer.name} are {found}, and those of {pump.name} behind it {wanted}"
        help = "a strainer one size wider than the pump's port"
        yield self.finding(
            strainer,
            message,
            help=help,
            value=bore / port,
            limit=self.warn if small else self.good,
            unit="1",
            severity=self.severity if small else "note",
        )
