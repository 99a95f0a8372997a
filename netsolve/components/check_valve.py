"""Check valves: one way only, once they crack open."""

from __future__ import annotations

import numpy as np

from netsolve.plugin import (
    LEAK,
    NO_FLOW,
    Array,
    Component,
    Water,
    area,
    flag,
    ft,
    k_drop,
    k_slope,
    quantity,
    word,
)

_PSI = 6894.757293168
_CRACKING = {"swing": 300.0, "spring": 0.5 * _PSI, "ball": 500.0, "duckbill": 0.3 * _PSI}
_K = {"spring": 6.0, "ball": 10.0, "duckbill": 5.0}
_SWING_FT = 100.0
_CRACK_SPEED = 1e-7  # m/s, over which the cracking pressure builds up: far below what counts as flow
_BARELY = 1.05
_SWING_LIFT = 45.0  # m/s times the root of kg/m3: Crane's least speed for the angled seat whose K is 100 fT


class CheckValve(Component):
    """A check valve: swing, spring, ball or duckbill; one way only, once it cracks open.

    drop = cracking min(q/qc, 1) + K rho v^2 / 2 forward, qc = 1e-7 m/s times the bore's area; backwards its
    seat leaks 1e-14 m3/s/Pa. Fitted backwards it is the mirror of that.
    """

    roles = ("one_way",)

    style: str = word("what shuts it", "swing", "spring", "ball", "duckbill")
    bore: float = quantity(
        "length", "bore of the valve, or of the hose it fits; 10 to 50 mm", shown="mm", above=0, sizes="valve"
    )
    cracking: float | None = quantity(
        "head",
        "pressure that opens it: blow through it against a gauge; swing 0.2 to 1 kPa, spring 2 to 14, "
        "duckbill 0.7 to 3.4",
        default=None,
        at_least=0,
        assumed="by style: swing 0.3 kPa, ball 0.5 kPa (estimates); spring 0.5 psi, duckbill 0.3 psi (usual "
        "in makers' data)",
    )
    k: float | None = quantity(
        "number",
        "loss coefficient in the bore when open; swing 1.3 to 2.5, spring 4 to 10, ball 1 to 70",
        default=None,
        above=0,
        assumed="by style: swing 100 fT (Crane); spring 6, ball 10, duckbill 5 (estimates; published values "
        "vary widely)",
    )
    attitude: str = word(
        "how the water runs through it; the loss does not depend on it, but a swing or ball valve seats "
        "badly downwards",
        "horizontal",
        "up",
        "down",
        default="horizontal",
    )
    backwards: bool = flag("whether its arrow points against the run", default=False, worst=True)

    sources = (
        "Crane TP-410, A-27: swing check valve 100 fT, its disc wholly lifted above 45/sqrt(density) m/s",
        "makers' data: spring in-line valves crack at 0.5 to 5 psi, duckbills at 0.1 to 0.5 psi",
        "common practice, no source: swing 0.3 kPa; K of spring, ball and duckbill valves",
    )

    def pressure_drop(self, flow: Array, water: Water) -> Array:
        """What it costs to hold it open, or the leak of its seat, Pa."""
        sense = -1.0 if self.backwards else 1.0
        forward = sense * flow
        ramp = np.clip(forward / self._ramp(), 0.0, 1.0)
        opened = self._cracking() * ramp + k_drop(forward, self.bore, self._k(), water)
        return sense * np.where(forward < 0, LEAK * forward, opened)

    def slope(self, flow: Array, water: Water) -> Array:
        """Derivative of the drop by flow, Pa s/m3; at a kink that of more forward flow."""
        forward = -flow if self.backwards else flow
        ramp = np.where(forward < self._ramp(), self._cracking() / self._ramp(), 0.0)
        return np.where(forward < 0, LEAK, ramp + k_slope(forward, self.bore, self._k(), water))

    def closed(self) -> Array | bool:
        """A valve fitted backwards is shut to the run's flow."""
        return self.backwards

    def status(self, flow: float, drop: float) -> str | None:
        """shut, cracking (hardly off its seat), open; backwards where fitted so and shut."""
        forward = -flow if self.backwards else flow
        if forward < NO_FLOW:
            return "backwards" if self.backwards else "shut"
        return "cracking" if abs(drop) < _BARELY * self._cracking() else "open"

    def least_speed(self, water: Water) -> Array | None:
        """The speed that holds a swing valve's disc open, m/s: Crane's, for heavy metal discs."""
        return _SWING_LIFT / np.sqrt(water.density) if self.style == "swing" else None

    def _ramp(self) -> Array:
        return _CRACK_SPEED * area(self.bore)

    def _cracking(self) -> float:
        return _CRACKING[self.style] if self.cracking is None else self.cracking

    def _k(self) -> Array:
        if self.k is not None:
            return self.k
        return _SWING_FT * ft(self.bore) if self.style == "swing" else _K[self.style]
