"""Flexible-impeller pumps, driven by the engine."""

from __future__ import annotations

from collections.abc import Iterable

import numpy as np

from netsolve.plugin import (
    Array,
    Component,
    Curve,
    CurveFamily,
    Quadratic,
    Water,
    flag,
    quantity,
    table,
)


class ImpellerPump(Component):
    """A flexible-impeller pump: flow by its speed, less what slips back past the vanes.

    q = rated flow * speed/rated speed * (1 - worn) - slip * (1 + 4 worn) * rise, so drop = (q - q0)/slip; q0
    is none when it stands, and it then leaks by its slip. A curve of flow and head at the rated speed gives
    the slip by pressure instead, taken as the same at any speed: slip(rise) = flow at no head - flow at that
    head. Of curves at several speeds the two next to its speed are mixed: each is shifted along the flow to
    the flow at no head that the pump has there, as by constant slip, and the heads are weighted by how near
    the speed is; outside the nearest one is shifted alone. Flow at no head goes straight between the speeds,
    from none at rest, and beyond the last as the speed.
    """

    roles = ("pump",)

    rated_flow: float = quantity(
        "flow",
        "flow at the rated speed and no pressure, from the pump's data sheet; a curve goes before it",
        above=0,
        spread=0.15,
        example="110 L/min",
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
        unless="curve",
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
    curve: Curve | CurveFamily | None = table(
        "points of flow and head at the rated speed, or with the speed of each, from the data sheet",
        default=None,
        by=("speed", "rotation"),
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
        rise: Array = 0.0 * flow
        for share, curve in self._mixed():
            rise = rise + share * curve.value(_free(curve) - short / self._wear())
        return -rise

    def slope(self, flow: Array, water: Water) -> Array:
        """Derivative of the drop by flow, Pa s/m3."""
        if self.curve is None:
            return 1 / self._slip() + 0 * flow
        falls: Array = 0.0 * flow
        for share, curve in self._mixed():
            falls = falls + share * curve.slope(_free(curve) - (self._driven() - flow) / self._wear())
        return -falls / self._wear()

    def quadratic(self, water: Water) -> Quadratic | None:
        """The law as the sum of its powers, where it has no curve."""
        if self.curve is not None:
            return None
        return Quadratic(constant=-self._driven() / self._slip(), linear=1 / self._slip())

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
        if not self.running:
            return 0.0
        curves = self._curves()
        if len(curves) > 1:
            speeds, free = [0.0, *(speed for speed, _ in curves)], [0.0, *(_free(curve) for _, curve in curves)]
            beyond = np.maximum(self._speed() / speeds[-1], 1.0)
            full: Array = np.interp(self._speed(), speeds, free) * beyond
        else:
            at, flow = (curves[0][0], _free(curves[0][1])) if curves else (self.rated_speed, self.rated_flow)
            full = flow * self._speed() / at
        return full * (1 - self.worn)

    def _curves(self) -> tuple[tuple[float, Curve], ...]:
        """The measured curves with the speed of each, in rising order of speed."""
        if isinstance(self.curve, CurveFamily):
            return tuple(zip(self.curve.at, self.curve.curves, strict=True))
        return () if self.curve is None else ((self.rated_speed, self.curve),)

    def _mixed(self) -> list[tuple[Array, Curve]]:
        """The curves with their shares at this speed, which add up to one."""
        curves = self._curves()
        if len(curves) == 1:
            return [(1.0, curves[0][1])]
        speeds = [speed for speed, _ in curves]
        peaks = np.eye(len(curves))
        return [(np.interp(self._speed(), speeds, peak), curve) for peak, (_, curve) in zip(peaks, curves, strict=True)]

    def _slip(self) -> Array:
        """Flow lost per pressure, m3/s/Pa."""
        new = self.slip * self.rated_flow if self.slip_flow is None else self.slip_flow
        return new * self._wear()

    def _wear(self) -> Array:
        return 1 + 4 * self.worn

    def check(self) -> Iterable[str]:
        """Its curve must fall."""
        for _, curve in self._curves():
            heads = curve.columns[1]
            if (np.diff(heads) >= 0).any():
                yield "the curve's head must fall from point to point as the flow rises"
            if any(head < 0 for head in heads):
                yield "the curve's heads must not be below zero"
        if isinstance(self.curve, CurveFamily):
            yield from self._check_speeds(self.curve)

    def _check_speeds(self, family: CurveFamily) -> Iterable[str]:
        if family.at[0] <= 0:
            yield "the speeds of the curve must be above zero"
        if (np.diff([_free(curve) for curve in family.curves]) <= 0).any():
            yield "the curve's flow at no head must rise with the speed"


def _free(curve: Curve) -> float:
    """Flow at no head, on the straight line through the curve's last two points, m3/s."""
    (before, last), (higher, lower) = curve.columns[0][-2:], curve.columns[1][-2:]
    return last + lower * (last - before) / (higher - lower)
