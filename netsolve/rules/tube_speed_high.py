"""Water too fast for the tubes of a cooler."""

from collections.abc import Iterator

from netsolve.plugin import Finding, Rule, SeenRow, quantity, show

_DOC = "fastest water in tubes of it"


class TubeSpeedHigh(Rule):
    """The water in a cooler's tubes is slow enough not to wear their metal away."""

    copper: float = quantity("velocity", _DOC, default=0.9, above=0)
    bronze: float = quantity("velocity", _DOC, default=0.9, above=0)
    admiralty: float = quantity("velocity", _DOC, default=1.8, above=0)
    aluminium_brass: float = quantity("velocity", _DOC, default=2.4, above=0)
    cupronickel_90_10: float = quantity("velocity", _DOC, default=2.5, above=0)
    cupronickel_70_30: float = quantity("velocity", _DOC, default=3.0, above=0)
    severity = "wear"
    basis = "handbooks and a copper trade association: design speeds of sea water in tubes below 25 mm"

    def findings(self, row: SeenRow) -> Iterator[Finding]:
        """One for each cooler whose tubes see faster water than their material bears."""
        for cooler in row.parts("cooler"):
            speed, material = cooler.tube_speed, cooler.value("material")
            if material is None and cooler.max_flow is None:
                yield self.lacking(cooler, "max_flow")
            limit = getattr(self, str(material).replace(" ", "_").replace("-", "_"), None)
            if speed is None or limit is None or speed <= limit:
                continue
            found, wanted = (show(each, "velocity", system=row.system) for each in (speed, limit))
            message = f"the water in the {material} tubes of {cooler.name} runs at {found}, faster than {wanted}"
            help = "another material, more tubes side by side, or an orifice: fast sea water wears the metal away"
            yield self.finding(cooler, message, help=help, value=speed, limit=limit, unit="m/s")
