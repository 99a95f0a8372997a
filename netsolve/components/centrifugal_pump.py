"""Centrifugal pumps: circulation, bilge and utility pumps."""

from __future__ import annotations

from collections.abc import Iterable

import numpy as np

from netsolve.plugin import Array, Component, Curve, Water, falling, flag, moved, quantity, table

# Share of the tail that is straight in flow, so that the curve leaves zero with a slope; our own, no source.
_STRAIGHT = 1e-4
_LEAST_TAIL = 0.1


class CentrifugalPump(Component):
    """A centrifugal pump: a head that falls with flow, open to flow when it stands.

    head = n^2 T(q/n) - worn n^2 T(0) with T a monotone curve through the points, and beyond them a parabola
    in q|q|; or T = H0 - H0 q|q|/Q0^2 from shut-off head and open flow. At n = 0 only the parabola is left,
    which is the loss of the standing pump; flow pushed back through a running one meets T(0) and the
    parabola. A humped curve is made falling by pooling its points: `smoothed` says by how much.
    """

    roles = ("pump", "centrifugal")

    curve: Curve | None = table(
        "points of flow and head at full speed, from the data sheet", default=None, flow="flow", head="head"
    )
    shutoff: float | None = quantity(
        "head", "head against a closed valve; 2.5 to 4 m for small bilge pumps", default=None, above=0, example="3 m"
    )
    open_flow: float | None = quantity(
        "flow",
        "flow at no head, as printed on small pumps (15 to 33 % optimistic in tests)",
        default=None,
        above=0,
        example="40 L/min",
    )
    speed: float = quantity("ratio", "speed as a share of that of the curve", default=1.0, at_least=0)
    worn: float = quantity(
        "ratio",
        "share of the shut-off head lost to wear or low voltage",
        default=0.0,
        at_least=0,
        at_most=1,
        worst=1.0,
    )
    bore: float | None = quantity("length", "bore of its ports", shown="mm", default=None, above=0)
    running: bool = flag("whether it turns; a stopped one lets water through with a loss", default=True)

    sources = (
        "affinity laws, flow as speed and head as its square: any textbook of pumps",
        "H = H0 - a Q|Q| from shut-off to open flow, and beyond a curve's ends: common practice, no source",
    )

    def pressure_drop(self, flow: Array, water: Water) -> Array:
        """Minus the pressure rise, Pa."""
        tail, widest = self._tail()
        held = self._held(flow)
        beyond = flow * np.abs(flow) - held * np.abs(held)
        return tail * (beyond + _STRAIGHT * widest * flow) - self._head(held)

    def slope(self, flow: Array, water: Water) -> Array:
        """Derivative of the drop by flow, Pa s/m3."""
        tail, widest = self._tail()
        held = self._held(flow)
        inside = held == flow
        beyond = tail * (np.where(inside, 0.0, 2 * np.abs(flow)) + _STRAIGHT * widest)
        return beyond - np.where(inside, self._head_slope(held), 0.0)

    def status(self, flow: float, drop: float) -> str | None:
        """stopped, or pushed back where water runs against it."""
        if not self.running or self.speed <= 0:
            return "stopped"
        return "pushed back" if flow < 0 else None

    def smoothed(self) -> float:
        """By how much a point of a humped curve was moved to make it fall, Pa."""
        return 0.0 if self.curve is None else moved(self.curve, falling(self.curve))

    def _turns(self) -> float:
        return self.speed if self.running else 0.0

    def _held(self, flow: Array) -> Array:
        """The flow held between the ends of the measured curve at this speed; none for a parabola."""
        if self.curve is None:
            return 0.0 * flow
        first, last = self.curve.columns[0][0], self.curve.columns[0][-1]
        return np.clip(flow, first * self._turns(), last * self._turns())

    def _head(self, held: Array) -> Array:
        turns = self._turns()
        if self.curve is None:
            shutoff: Array = np.nan if self.shutoff is None else self.shutoff
            return turns**2 * (1 - self.worn) * shutoff + 0.0 * held
        curve = falling(self.curve)
        head: Array = curve.value(held / np.maximum(turns, 1e-9))
        return turns**2 * (head - self.worn * curve.columns[1][0])

    def _head_slope(self, held: Array) -> Array:
        if self.curve is None:
            return 0.0 * held
        falls: Array = falling(self.curve).slope(held / np.maximum(self._turns(), 1e-9))
        return self._turns() * falls

    def _tail(self) -> tuple[Array, Array]:
        """Steepness of the parabola, Pa/(m3/s)^2, and the flow at which the curve ends."""
        if self.curve is None:
            shutoff = np.nan if self.shutoff is None else self.shutoff
            widest = np.nan if self.open_flow is None else self.open_flow
            return shutoff / widest**2, widest
        flows, heads = falling(self.curve).columns[:2]
        steepness = (heads[-2] - heads[-1]) / (flows[-1] - flows[-2]) / (2 * flows[-1])
        return max(steepness, _LEAST_TAIL * heads[0] / flows[-1] ** 2), flows[-1]

    def check(self) -> Iterable[str]:
        """One way to give its curve."""
        pair = (self.shutoff is not None) + (self.open_flow is not None)
        if self.curve is not None and pair:
            yield "a centrifugal pump takes a curve or shutoff and open_flow, not both"
        if self.curve is None and pair < 2:
            yield ("a centrifugal pump needs a curve, or shutoff (head at no flow) and open_flow (flow at no head)")
        if self.curve is not None and (self.curve.columns[0][0] < 0 or self.curve.columns[1][0] <= 0):
            yield "the curve must begin at a flow not below zero with a head above zero"
