"""The contract that every part and every joint keeps: declared fields and one numeric method.

A *stack* is the same class with arrays for fields: axes are rows, parts (parts last). The author writes for one part,
with `np.where` for `if`; `netsolve.testing.check_component` proves that scalar, stack and rows agree.
"""

from __future__ import annotations

from collections.abc import Iterable
from typing import ClassVar

import numpy as np

from netsolve.contract.declare import Declared, quantity
from netsolve.laws.friction import Friction
from netsolve.laws.quadratic import Quadratic
from netsolve.water import Array, Water

CONTRACT = 1
"""The version of this contract. A class says which it was written for by `contract`; one that says nothing, 1."""

LEAK = 1e14
"""Pa s/m3: the resistance of a shut seat. One bar leaks 1e-9 m3/s through it, which counts as no flow."""

NO_FLOW = 1e-9
"""m3/s: a run that carries less carries none."""


class _Described(Declared):
    """What parts and joints share: where the law comes from, and how they are drawn and asked for."""

    unsure: ClassVar[bool] = True
    sources: ClassVar[tuple[str, ...]] = ()
    symbol: ClassVar[str] = ""
    roles: ClassVar[tuple[str, ...]] = ()
    group: ClassVar[str] = ""
    """The heading it stands under in the catalogue, where its roles do not say."""
    velocity_bore: ClassVar[str] = "bore"
    coupled: ClassVar[bool] = False
    contract: ClassVar[int] = 1

    def check(self) -> Iterable[str]:
        """Sentences about parameters that cannot be right together; none by default."""
        return ()


class Component(_Described):
    """An inline part with ports `in` and `out`; subclasses give `pressure_drop`."""

    ports: ClassVar[tuple[str, ...]] = ("in", "out")
    paths: ClassVar[tuple[tuple[str, str], ...]] = (("in", "out"),)

    def pressure_drop(self, flow: Array, water: Water) -> Array:
        """Total pressure lost from `in` to `out`, Pa; rises strictly with flow (m3/s, positive from in to out).

        A component whose law is a sum of powers, or wall friction, or both, gives `quadratic` and `friction` alone.
        """
        laws = self.laws(water)
        if not laws:
            raise NotImplementedError(f"{type(self).__name__} has no pressure_drop")
        return sum((law.drop(flow) for law in laws[1:]), laws[0].drop(flow))

    def slope(self, flow: Array, water: Water) -> Array:
        """Derivative of `pressure_drop` by flow, Pa s/m3; central differences where a component gives none."""
        laws = self.laws(water)
        if laws:
            return sum((law.slope(flow) for law in laws[1:]), laws[0].slope(flow))
        step = 1e-6 * np.maximum(np.abs(flow), 1e-6)
        return (self.pressure_drop(flow + step, water) - self.pressure_drop(flow - step, water)) / (2 * step)

    def quadratic(self, water: Water) -> Quadratic | None:
        """The law as a sum of powers, where it is one; the solver adds those up, which is faster. None by default."""
        return None

    def friction(self, water: Water) -> Friction | None:
        """The friction of a wall, where the law is that and what `quadratic` gives. None by default."""
        return None

    def laws(self, water: Water) -> tuple[Quadratic | Friction, ...]:
        """What of `friction` and `quadratic` there is: where there is any, the law is their sum."""
        return tuple(law for law in (self.friction(water), self.quadratic(water)) if law is not None)

    def closed(self) -> Array | bool:
        """Whether the part is shut by its own settings."""
        return False

    def status(self, flow: float, drop: float) -> str | None:
        """A word for the state that the part is in at this flow (m3/s) and drop (Pa), or None."""
        return None

    def least_speed(self, water: Water) -> Array | None:
        """The speed in its bore below which the part does not work as its law says, m/s; None where there is none."""
        return None


class Joint(_Described):
    """Where runs meet. With no `ports` any number of runs join at one pressure; with `paths` each path has a loss."""

    ports: ClassVar[tuple[str, ...]] = ()
    paths: ClassVar[tuple[tuple[str, str], ...]] = ()
    datum: ClassVar[str] = "height"

    height: float | None = quantity("length", "height above the waterline at rest; below it is negative", default=None)

    def pressure_drop(self, flow: Array, water: Water) -> Array:
        """Total pressure lost along each path, Pa; one flow for each path on the leading axis, in and out."""
        return 0.0 * flow

    def jacobian(self, flow: Array, water: Water) -> Array:
        """Derivatives of `pressure_drop`, shape (paths, paths, …); central differences where a joint gives none."""
        step = 1e-6 * np.maximum(np.abs(flow).max(axis=0), 1e-6)
        columns = []
        for path in range(len(self.paths)):
            moved = np.zeros_like(flow)
            moved[path] = step
            change = self.pressure_drop(flow + moved, water) - self.pressure_drop(flow - moved, water)
            columns.append(change / (2 * step))
        return np.stack(columns, axis=1)

    def end_loss(self, flow: Array, water: Water) -> Array:
        """Total pressure lost between the joint and the end of one run, Pa; flow positive into the run."""
        return 0.0 * flow

    def end_slope(self, flow: Array, water: Water) -> Array:
        """Derivative of `end_loss` by flow, Pa s/m3; central differences where a joint gives none."""
        step = 1e-5 * np.maximum(np.abs(flow), 1e-6)
        return (self.end_loss(flow + step, water) - self.end_loss(flow - step, water)) / (2 * step)

    def end_quadratic(self, water: Water) -> Quadratic | None:
        """`end_loss` as a sum of powers, where it is one. None by default."""
        return None

    def inflow(self) -> Array | float:
        """Flow fed into the circuit here whatever the pressure, m3/s."""
        return 0.0


class Crest(Joint):
    """A high point that the water goes over: where air is let in there, nothing pulls from the far side."""

    ports: ClassVar[tuple[str, ...]] = ("in", "out")
    paths: ClassVar[tuple[tuple[str, str], ...]] = (("in", "out"),)

    def breaks(self) -> Array | bool:
        """Whether air is let in at the top when the pressure there falls below the atmosphere's."""
        return False

    def status(self, before: float, after: float) -> str | None:
        """A word for its state, from the total gauge pressures at the top, Pa, before it and after it."""
        return None


class Opening(Joint):
    """Where the circuit meets sea, air, gas or a free surface: the pressure there is known."""

    ports: ClassVar[tuple[str, ...]] = ("end",)

    def pressure(self, flow: Array, water: Water) -> Array:
        """Total gauge pressure at the end of the run, Pa; flow (m3/s) positive into the circuit."""
        raise NotImplementedError(f"{type(self).__name__} has no pressure")

    def end_loss(self, flow: Array, water: Water) -> Array:
        """What the end costs: the pressure at no flow less the pressure at this flow."""
        return self.pressure(np.float64(0.0), water) - self.pressure(flow, water)

    def end_slope(self, flow: Array, water: Water) -> Array:
        """Derivative of `end_loss` by central differences, Pa s/m3."""
        step = 1e-5 * np.maximum(np.abs(flow), 1e-6)
        return (self.pressure(flow - step, water) - self.pressure(flow + step, water)) / (2 * step)

    def one_way(self) -> Array | bool:
        """Whether water can only leave here, as into air or exhaust gas."""
        return False
