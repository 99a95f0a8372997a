"""The friction of a wall, as a record, so that the solver works out that of all pipes in one go."""

from __future__ import annotations

from dataclasses import dataclass
from functools import cached_property

import numpy as np

from netsolve.hydraulics import Coil, coil_excess, coil_of, laminar_resistance, straight_excess
from netsolve.water import Array, Water


@dataclass(frozen=True)
class Friction:
    """drop = laminar · q · excess, excess = f Re / 64 of `friction_factor`, in a coil of `coil_friction_factor`.

    `laminar` in Pa s/m3; `reynolds` is the Reynolds number of 1 m3/s; `roughness` is relative; `curvature` is d/D of a
    coil, None in a straight pipe. Scalars or arrays (slots,) or (rows, slots).
    """

    laminar: Array
    reynolds: Array
    roughness: Array
    curvature: Array | None = None

    def drop_and_slope(self, flow: Array) -> tuple[Array, Array]:
        """What it takes at a flow, Pa, and the derivative of that, Pa s/m3."""
        re = self.reynolds * np.abs(flow)
        if self.curvature is None:
            excess, power = straight_excess(re, self.roughness)
        else:
            excess, power = coil_excess(re, self.roughness, self._coil)
        steep = self.laminar * excess
        return steep * flow, steep * (1.0 + power)

    @cached_property
    def _coil(self) -> Coil:
        """What the curvature makes of the law, which no flow changes."""
        return coil_of(0.0 if self.curvature is None else self.curvature)

    def drop(self, flow: Array) -> Array:
        """What it takes at a flow, Pa."""
        return self.drop_and_slope(flow)[0]

    def slope(self, flow: Array) -> Array:
        """Its derivative by flow, Pa s/m3."""
        return self.drop_and_slope(flow)[1]


def pipe_friction(
    bore: Array,
    length: Array,
    roughness: Array,
    water: Water,
    *,
    coil_diameter: Array | None = None,
    factor: Array = 1.0,
) -> Friction:
    """The law of `friction_drop`, times a factor; with the diameter of a coil's centre line that of `coil_drop`."""
    return Friction(
        laminar=factor * laminar_resistance(bore, length, water),
        reynolds=4.0 / np.pi * water.density / (water.viscosity * bore),
        roughness=roughness / bore,
        curvature=None if coil_diameter is None else bore / coil_diameter,
    )
