"""Elbows and bends of pipe and fittings."""

from __future__ import annotations

from collections.abc import Iterable

import numpy as np

from netsolve.plugin import Array, Component, Quadratic, Water, bend_90, ft, mitre, quadratic_k, quantity, word

# Multiples of fT by angle in degrees: standard elbows and the close return bend; street elbows.
_THREADED = {
    "standard": ((0.0, 45.0, 90.0, 180.0), (0.0, 16.0, 30.0, 50.0)),
    "street": ((0.0, 45.0, 90.0), (0.0, 26.0, 50.0)),
}
_THREADED["45"] = _THREADED["standard"]
_SWEEP = 1.5
_HOOPER = {"sweep": 800.0, "standard": 800.0, "street": 800.0, "mitre": 1000.0, "45": 500.0}


class Bend(Component):
    """An elbow or bend: long sweep, standard or street elbow, mitre, or 45 degrees.

    drop = (K + K1/Re) rho v |v| / 2. K is Crane's: 14 fT for a sweep (r/d 1.5), 30 fT standard, 50 fT street,
    16 fT at 45 degrees, by angle between them; a mitre is Rennels's. K1 is Hooper's. Small threaded elbows
    (below 1 in) have been measured at twice Crane's figure.
    """

    group = "Pipes and hoses"

    bore: float = quantity("length", "bore of the fitting, measured; 8 to 80 mm", shown="mm", above=0)
    style: str = word(
        "sweep (long, r/d 1.5), standard (threaded elbow), street (male and female), mitre (sharp inside, as "
        "in a barbed elbow) or 45",
        "sweep",
        "standard",
        "street",
        "mitre",
        "45",
    )
    angle: float | None = quantity(
        "angle",
        "angle through which the water turns; left out it is 45 degrees for the style 45, else 90",
        shown="deg",
        default=None,
        above=0,
        at_most=np.pi,
    )

    sources = (
        "Crane TP-410, A-29 and A-30: elbows 14 to 50 fT (45 degree street elbow 26 fT from memory)",
        "Crane TP-410, A-30: bends of other angles, (a/90 - 1)(0.25 pi fT r/d + 0.5 K90) + K90",
        "Rennels & Hudson (2012), Pipe Flow, ch. 15: mitre bend",
        "Hooper (1981), Chemical Engineering 88(17), 96-100: K1 of elbows 500, 800 and 1000",
    )

    def quadratic(self, water: Water) -> Quadratic:
        """The law as the sum of its powers."""
        k = self._coefficient()
        return quadratic_k(self.bore, k, water, _HOOPER[self.style] / k)

    def _coefficient(self) -> Array:
        angle = self._angle()
        if self.style == "mitre":
            return mitre(angle)
        if self.style == "sweep":
            full = bend_90(_SWEEP, self.bore)
            return (2 * angle / np.pi - 1) * (0.25 * np.pi * ft(self.bore) * _SWEEP + 0.5 * full) + full
        return np.interp(np.degrees(angle), *_THREADED[self.style]) * ft(self.bore)

    def _angle(self) -> float:
        if self.angle is not None:
            return self.angle
        return np.pi / 4 if self.style == "45" else np.pi / 2

    def check(self) -> Iterable[str]:
        """The style must be made in the angle."""
        if self.angle is None:
            return
        turn = np.degrees(self.angle)
        if self.style == "45" and abs(turn - 45) > 1:
            yield (f"a bend of style 45 does not turn {turn:.3g} degrees; leave the angle out or change the style")
        if self.style in ("street", "mitre") and turn > 91:
            yield f"a {self.style} elbow does not turn {turn:.3g} degrees in one piece; write it as two bends"
