"""Flexible-impeller pumps, driven by the engine."""

from __future__ import annotations

from collections.abc import Iterable

import numpy as np

from netsolve.plugin import Array, Component, Curve, Water, flag, quantity, table


class ImpellerPump(Component):
    """A flexible-impeller pump: flow by its speed, less what slips back past the vanes.

    q = rated flow * speed/rated speed * (1 - worn) - slip * (1 + 4 worn) * rise, so drop = (q - q0)/slip; q0
    is none when it stands, and it then leaks by its slip. A curve of flow and head at the rated speed gives
    the slip by pressure instead, taken as the same at any speed: slip(rise) = flow at no head - flow at that
    head.
    """

    roles = ("pump",)

    rated_flow: float = quantity(
        "flow",
        "flow at the rated speed and no pressure, from the pump's data sheet; a curve goes before it",
        above=0,
        spread=0.15,
    )
    rated_speed: float = quantity("rotation", "speed of the pump's shaft at the rated flow", above=0)
    speed: float | None = quantity(
        "rotation",
        "speed of the pump's shaft; left out it is the engine's speed times the drive ratio",
        default=None,
        at_least=0,
        engine="speed",
        times="drive_ratio",
    )
    drive_ratio: float = quantity("ratio", "turns of the pump for one turn of the engine", default=1.0, above=0)
    slip: float = quantity(
        "ratio per pressure",
        "share of the rated flow lost for each pressure across the pump, or a flow per pressure such as "
        "6 gpm/bar; 10 to 20 %/bar when new, and more above 1 bar than this says",
        default=0.12e-5,
        above=0,
        assumed="12 %/bar, an estimate from makers' curves; good to about 1 bar, optimistic above",
    )
    slip_flow: float | None = quantity(
        "flow per pressure",
        "flow lost for each pressure across the pump",
        default=None,
        above=0,
        written_as="slip",
        hidden=True,
    )
    worn: float = quantity(
        "ratio",
        "share of the flow lost to worn or set vanes; 10 to 30 % when due",
        default=0.0,
        at_least=0,
        at_most=1,
        worst=1.0,
    )
    curve: Curve | None = table(
        "points of flow and head at the rated speed, from the data sheet",
        default=None,
        flow="flow",
        head="head",
    )
    bore: float | None = quantity("length", "bore of its ports", shown="mm", default=None, above=0)
    running: bool = flag("whether it turns; a stopped one blocks its run but for the slip", default=True)

    sources = (
        "positive displacement less slip, straight in pressure: common practice, no source; 10 "
        "to 20 %/bar and "
        "wear estimated from makers' curves",
    )

    def pressure_drop(self, flow: Array, water: Water) -> Array:
        """Minus the pressure rise, Pa."""
        short = self._driven() - flow
        if self.curve is None:
            return -short / self._slip()
        rise: Array = self.curve.value(self._free(self.curve) - short / self._wear())
        return -rise

    def slope(self, flow: Array, water: Water) -> Array:
        """Derivative of the drop by flow, Pa s/m3."""
        if self.curve is None:
            return 1 / self._slip() + 0 * flow
        at = self._free(self.curve) - (self._driven() - flow) / self._wear()
        falls: Array = self.curve.slope(at)
        return -falls / self._wear()

    def closed(self) -> Array | bool:
        """Whether it stands: a positive pump then blocks its run."""
        return self._speed() <= 0 if self.running else True

    def status(self, flow: float, drop: float) -> str | None:
        """stopped, where it does not turn."""
        return "stopped" if self.closed() else None

    def _speed(self) -> float:
        return self.rated_speed if self.speed is None else self.speed

    def _driven(self) -> Array:
        """Flow at no pressure, m3/s."""
        full = self.rated_flow if self.curve is None else self._free(self.curve)
        return full * self._speed() / self.rated_speed * (1 - self.worn) if self.running else 0.0

    def _slip(self) -> Array:
        """Flow lost per pressure, m3/s/Pa."""
        new = self.slip * self.rated_flow if self.slip_flow is None else self.slip_flow
        return new * self._wear()

    def _wear(self) -> Array:
        return 1 + 4 * self.worn

    def _free(self, curve: Curve) -> float:
        """Flow at no head, on the straight line through the curve's last two points."""
        (before, last), (higher, lower) = curve.columns[0][-2:], curve.columns[1][-2:]
        return last + lower * (last - before) / (higher - lower)

    def check(self) -> Iterable[str]:
        """Its curve must fall."""
        heads = () if self.curve is None else self.curve.columns[1]
        if (np.diff(heads) >= 0).any():
            yield "the curve's head must fall from point to point as the flow rises"
        if any(head < 0 for head in heads):
            yield "the curve's heads must not be below zero"
