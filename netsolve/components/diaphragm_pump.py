"""Diaphragm pumps, as used for flushing and wash-down."""

from __future__ import annotations

import numpy as np

from netsolve.plugin import LEAK, Array, Component, Water, flag, quantity

_SAG = 0.2  # share of the rated flow lost on the way to cut-out
_SWITCH = 0.05  # what the pressure still rises by, of cut-out, while the switch throttles the mean flow to none


class DiaphragmPump(Component):
    """A diaphragm pump: near constant flow up to the pressure at which its switch cuts out.

    q = rated flow * (1 - worn) - 0.2 rated flow * rise/cut-out, straight on beyond; from cut-out the pressure rises by
    another 5 % while the switch, going on and off, brings the mean flow to none. Its valves let nothing back, and a
    stopped pump blocks: 1e-14 m3/s/Pa leaks.
    """

    roles = ("pump",)

    rated_flow: float = quantity(
        "flow", "flow at no pressure, from its plate; 10 to 20 L/min", shown="L/min", above=0, spread=0.15
    )
    cut_out: float = quantity(
        "head", "pressure at which its switch stops it; 2 to 4 bar", shown="bar", above=0, example="2.8 bar"
    )
    worn: float = quantity(
        "ratio",
        "share of the flow lost to worn valves or low voltage",
        default=0.0,
        at_least=0,
        at_most=1,
        worst=1.0,
    )
    bore: float | None = quantity("length", "bore of its ports", shown="mm", default=None, above=0)
    running: bool = flag("whether it runs; a stopped one blocks its run", default=True)

    sources = (
        "positive displacement up to a pressure switch: common practice, no source; a fifth of the flow lost on the "
        "way to cut-out is an estimate",
    )

    def pressure_drop(self, flow: Array, water: Water) -> Array:
        """Minus the pressure rise, Pa."""
        if not self.running:
            return LEAK * flow
        knee = self._knee()
        pumping = (np.maximum(flow, knee) - self._displaced()) / self._sag()
        switching = self._tilt() * (np.clip(flow, 0.0, knee) - knee)
        return pumping + switching + LEAK * np.minimum(flow, 0.0)

    def slope(self, flow: Array, water: Water) -> Array:
        """Derivative of the drop by flow, Pa s/m3; at a kink that of more flow."""
        if not self.running:
            return LEAK + 0 * flow
        forward = np.where(flow < self._knee(), self._tilt(), 1 / self._sag())
        return np.where(flow < 0, LEAK, forward)

    def closed(self) -> Array | bool:
        """Whether it stands: its valves then block the run."""
        return not self.running

    def status(self, flow: float, drop: float) -> str | None:
        """stopped; cutting out, where its switch goes on and off."""
        if not self.running:
            return "stopped"
        return "cutting out" if -drop > self.cut_out else None

    def _displaced(self) -> Array:
        """Flow at no pressure, m3/s."""
        return self.rated_flow * (1 - self.worn)

    def _sag(self) -> Array:
        """Flow lost per pressure, m3/s/Pa."""
        return _SAG * self.rated_flow / self.cut_out

    def _knee(self) -> Array:
        """Flow at which its switch begins to cut out, m3/s; none where it is too worn to get there."""
        return np.maximum(self._displaced() - _SAG * self.rated_flow, 0.0)

    def _tilt(self) -> Array:
        return _SWITCH * self.cut_out / self.rated_flow
