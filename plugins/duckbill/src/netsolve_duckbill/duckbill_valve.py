"""Duckbill check valves, by the table of their data sheet."""

import numpy as np

from netsolve.plugin import LEAK, NO_FLOW, Array, Component, Curve, Water, word

# L/min and kPa. Stand-ins: no published curve of these sizes was at hand (see README.md).
_POINTS = {
    "19 mm": ((0, 2.0), (10, 3.0), (20, 5.2), (34, 12.0)),
    "25 mm": ((0, 1.7), (20, 3.0), (40, 6.3), (60, 12.2)),
    "38 mm": ((0, 1.4), (40, 2.4), (90, 6.2), (136, 12.0)),
}
_TABLES = {
    size: Curve.through([(flow / 60e3, drop * 1e3) for flow, drop in points]) for size, points in _POINTS.items()
}
_OPENING = 0.02 * NO_FLOW  # m3/s, over which the pressure that opens the bill builds up


class DuckbillValve(Component):
    """A duckbill check valve: a rubber bill that the water pushes open, and that closes on grit.

    drop = T(q) forward, T a monotone curve through its table, which begins with the pressure that opens it; backwards
    its bill leaks 1e-14 m3/s/Pa. Beyond the table it goes straight on, and a drop read off there is too small.
    """

    contract = 1
    roles = ("one_way",)
    velocity_bore = ""

    size: str = word("bore of the hose that it fits", *_POINTS)

    sources = (
        "stand-in tables: opens at 0.2 to 0.3 psi, of the 0.1 to 0.5 psi that makers print for larger valves (from "
        "memory); some five velocity heads at 2 m/s, an estimate",
    )

    def pressure_drop(self, flow: Array, water: Water) -> Array:
        """What holds the bill open, or the leak of a shut one, Pa."""
        ahead, opens = np.maximum(flow, 0.0), _TABLES[self.size].columns[1][0]
        shut = opens * np.maximum(1.0 - ahead / _OPENING, 0.0)
        return np.where(flow < 0, LEAK * flow, _TABLES[self.size].value(ahead) - shut)

    def slope(self, flow: Array, water: Water) -> Array:
        """Derivative of the drop by flow, Pa s/m3."""
        ahead, opens = np.maximum(flow, 0.0), _TABLES[self.size].columns[1][0]
        opening = np.where(ahead < _OPENING, opens / _OPENING, 0.0)
        return np.where(flow < 0, LEAK, _TABLES[self.size].slope(ahead) + opening)

    def status(self, flow: float, drop: float) -> str | None:
        """shut or open, and beyond its table where the flow is more than that shows."""
        if flow < NO_FLOW:
            return "shut"
        return "beyond its table" if flow > _TABLES[self.size].columns[0][-1] else "open"
