"""The holes of a strainer, against what it guards."""

from collections.abc import Iterator

import numpy as np

from netsolve.plugin import Finding, Rule, SeenPart, SeenRow, quantity, show

_MESHES = (20.0, 40.0, 60.0, 80.0)
_SHARE = (0.677, 0.598, 0.543, 0.567)
_INCH = 0.0254


class StrainerOpening(Rule):
    """A strainer's holes are half as wide as the smallest passage behind it, and not so fine that it blinds at once."""

    limit: float = quantity("ratio", "hole of the finest strainer over the cooler's passage", default=0.5, above=0)
    finest: float = quantity("length", "finest hole that does not blind in a day", shown="mm", default=0.8e-3)
    severity = "fault"
    basis = "a strainer maker's handbook: half of what is to be stopped, no finer; 0.8 mm is an estimate"

    def findings(self, row: SeenRow) -> Iterator[Finding]:
        """One for each cooler guarded by too coarse strainers, and for each strainer that is very fine."""
        for strainer in row.parts("strainer"):
            hole = opening_of(strainer)
            if hole is None:
                yield self.lacking(strainer, "opening")
            elif hole < self.finest:
                yield self._fine(row, strainer, hole)
        for cooler in row.parts("cooler"):
            passage = cooler.value("passage") or (cooler.value("bore") if cooler.value("material") else None)
            holes = [opening_of(part) for part in row.upstream(cooler) if "strainer" in part.roles]
            known = [hole for hole in holes if hole is not None]
            if passage is None and holes:
                yield self.lacking(cooler, "passage")
            elif known and passage is not None and min(known) > self.limit * passage:
                yield self._coarse(row, cooler, min(known), passage)

    def _fine(self, row: SeenRow, strainer: SeenPart, hole: float) -> Finding:
        found, finest = (show(each, "length", system=row.system) for each in (hole, self.finest))
        message = f"the holes of {strainer.name} are {found}, finer than {finest}: weed and silt blind them quickly"
        help = "holes of 1 to 2 mm serve tubes of 5 to 8 mm; else look at it daily"
        return self.finding(strainer, message, help=help, value=hole, limit=self.finest, unit="m", severity="wear")

    def _coarse(self, row: SeenRow, cooler: SeenPart, hole: float, passage: float) -> Finding:
        found, through = (show(each, "length", system=row.system) for each in (hole, passage))
        message = (
            f"the strainer before {cooler.name} lets through what is {found} wide, more than "
            f"{100 * self.limit:.3g} % of its {through} passages"
        )
        help = "a finer basket, or a second strainer before the cooler"
        return self.finding(cooler, message, help=help, value=hole / passage, limit=self.limit, unit="1")


def opening_of(strainer: SeenPart) -> float | None:
    """The width of a strainer's holes, m; that of a mesh from its wires to the inch.

    Source: openings of wire cloth in a strainer maker's table, 0.86, 0.38, 0.23 and 0.18 mm at 20, 40, 60, 80 mesh.
    """
    if strainer.value("opening") is not None:
        return float(strainer.value("opening"))
    mesh = strainer.value("mesh")
    return None if mesh is None else float(np.interp(mesh, _MESHES, _SHARE)) * _INCH / mesh
