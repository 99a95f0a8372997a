"""Laws of the form c + b q + a q |q|: those of the parts along a run add up to one, which is worked out once.

It is the form of every K, of a rating with the exponent 2 and of a slipping pump; friction is of another form.
"""

from __future__ import annotations

from dataclasses import dataclass, replace
from typing import Any

import numpy as np

from netsolve.hydraulics import area
from netsolve.water import Array, Water


@dataclass(frozen=True)
class Quadratic:
    """drop = constant + linear q + square q max(|q|, least); the `back` ones hold for q < 0, where they differ.

    Pa, Pa s/m3, Pa s2/m6 and m3/s; scalars or arrays (slots,) or (rows, slots).
    """

    constant: Array = 0.0
    linear: Array = 0.0
    square: Array = 0.0
    least: Array = 0.0
    linear_back: Array | None = None
    square_back: Array | None = None

    def drop(self, flow: Array) -> Array:
        """What it takes at a flow, Pa."""
        ahead = flow > 0
        linear, square, linear_back, square_back = self.sides()
        power = np.where(ahead, square, square_back) * np.maximum(np.abs(flow), self.least)
        drop: Array = self.constant + flow * (np.where(ahead, linear, linear_back) + power)
        return drop

    def slope(self, flow: Array) -> Array:
        """Its derivative by flow, Pa s/m3."""
        ahead, size = flow > 0, np.abs(flow)
        linear, square, linear_back, square_back = self.sides()
        power = np.where(size > self.least, 2.0 * size, self.least)
        slope: Array = np.where(ahead, linear, linear_back) + np.where(ahead, square, square_back) * power
        return slope

    def closed_where(self, closed: Array | bool, leak: float) -> Quadratic:
        """This law, and where a valve is closed the leak of its seat, Pa s/m3."""
        return Quadratic(linear=np.where(closed, leak, self.linear), square=np.where(closed, 0.0, self.square))

    def sides(self) -> tuple[Any, Any, Any, Any]:
        """Linear and square for q > 0, then for q < 0."""
        linear_back = self.linear if self.linear_back is None else self.linear_back
        return self.linear, self.square, linear_back, self.square if self.square_back is None else self.square_back


def quadratic_k(bore: Array, k: Array, water: Water, laminar: Array = 10.0) -> Quadratic:
    """The law of `k_drop`: K (1 + laminar/Re) velocity heads in a bore."""
    wide = area(bore)
    return Quadratic(
        linear=0.5 * k * laminar * water.viscosity / (bore * wide), square=0.5 * k * water.density / (wide * wide)
    )


def quadratic_mouth(bore: Array | None, entrance: Array, exit: Array, water: Water) -> Quadratic:
    """The loss where a run begins in still water: `entrance` for flow into it, `exit` for what comes out of it."""
    if bore is None:
        return Quadratic()
    inwards, outwards = quadratic_k(bore, entrance, water), quadratic_k(bore, exit, water)
    return replace(inwards, linear_back=outwards.linear, square_back=outwards.square)


def quadratic_rated(drop: Array, at: Array, exponent: Array) -> Quadratic | None:
    """The law of `rated`, linear below 2 % of `at`; None where the exponent is not 2."""
    if not np.all(np.equal(exponent, 2.0)):
        return None
    return Quadratic(square=drop / (at * at), least=0.02 * at)
