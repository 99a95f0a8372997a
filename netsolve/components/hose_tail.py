"""Hose tails: what a hose is pushed onto."""

from __future__ import annotations

from collections.abc import Iterable

import numpy as np

from netsolve.plugin import (
    DRAWN,
    Array,
    Component,
    Friction,
    Quadratic,
    Water,
    contraction,
    enlargement,
    pipe_friction,
    quadratic_k,
    quantity,
)


class HoseTail(Component):
    """A hose tail or barb: a short throat, narrower than its hose.

    drop = [0.5 (1 - b^2) + (1 - b^2)^2] rho v |v| / 2 + friction of the throat, all in the throat, b = bore
    over hose bore; the same either way round.
    """

    group = "Pipes and hoses"

    bore: float = quantity(
        "length",
        "hole of the tail, by calipers or a drill's shank; 1.5 to 5 mm less than its hose",
        shown="mm",
        above=0,
        spread=0.1,
        example="12 mm",
    )
    hose_bore: float = quantity("length", "inside diameter of the hose on it", shown="mm", above=0, sizes="hose")
    length: float = quantity(
        "length",
        "length of the narrow hole",
        shown="mm",
        default=0.03,
        above=0,
        assumed="30 mm, a usual barb; common practice, no source",
    )

    sources = (
        "Crane TP-410, A-26: sudden contraction and enlargement",
        "Churchill (1977), Chemical Engineering 84(24), 91-92: throat friction, as smooth as drawn tube",
    )

    def friction(self, water: Water) -> Friction:
        """Friction in the throat."""
        return pipe_friction(self.bore, self.length, DRAWN, water)

    def quadratic(self, water: Water) -> Quadratic:
        """Contraction and enlargement."""
        return quadratic_k(self.bore, self._ends(), water)

    def _ends(self) -> Array:
        beta = np.minimum(self.bore / self.hose_bore, 1.0)
        return contraction(beta) + enlargement(beta)

    def check(self) -> Iterable[str]:
        """A tail goes inside its hose."""
        if self.bore > self.hose_bore:
            yield (
                f"the tail's hole ({1e3 * self.bore:.3g} mm) is larger than the hose it goes into "
                f"({1e3 * self.hose_bore:.3g} mm)"
            )
