"""Mixtures of glycol and water, as in closed cooling circuits, as floats or arrays in SI."""

from __future__ import annotations

from collections.abc import Mapping
from dataclasses import dataclass

import numpy as np

from netsolve.water import Array, Water, check_range, vapour_pressure_of_water

FRACTION = (0.0, 0.6)
"""Share of glycol by mass: the range of Melinder (2010)."""

HOTTEST = 373.15
"""K, up to which Melinder (2010) goes; down to where the mixture begins to freeze."""

_ZERO_CELSIUS = 273.15
_MOLE_OF_WATER = 18.015  # g/mol

_Polynomial = tuple[tuple[float, ...], ...]


@dataclass(frozen=True)
class _Glycol:
    """Melinder's polynomials of a mixture, the rows in powers of u = (fraction - 0.3)/0.3.

    Along a row stand powers of z = (T - 313.15 K)/60 K. The density is in kg/m3, the viscosity Pa s (its logarithm),
    the heat capacity J/(kg K), the conductivity W/(m K); the freezing point, in degC, goes by u alone; the mole of the
    pure glycol g/mol.
    """

    density: _Polynomial
    log_viscosity: _Polynomial
    heat_capacity: _Polynomial
    conductivity: _Polynomial
    freezing: tuple[float, ...]
    mole: float


_ETHYLENE = _Glycol(
    density=(
        (1028.8, -30.9883, -9.4174, 1.0183),
        (37.6809, -11.1576, 5.2824, 0.0549),
        (0.8451, 3.781, -0.799, 0.9685),
        (-2.4623, 2.0774, -1.1207),
        (-1.4302, -3.5046),
        (1.1885,),
    ),
    log_viscosity=(
        (-6.656567, -1.357277, 0.571022, -0.162764),
        (0.713587, -0.188886, 0.070933, -0.098782),
        (0.00762, 0.059544, -0.021351, -0.125874),
        (0.042927, 0.015, 0.039492),
        (0.032639, 0.008899),
        (-0.04532,),
    ),
    heat_capacity=(
        (3775.35, 166.042, -16.813, -3.045),
        (-509.545, 174.702, -44.941, 1.98),
        (-92.362, 23.196, 12.165, -13.876),
        (68.506, -3.987, -15.97),
        (15.132, -20.762),
        (-39.317,),
    ),
    conductivity=(
        (0.483, 0.05299, -0.004381, -0.0005812),
        (-0.1329, -0.02344, 0.01179, -0.000766),
        (0.01597, 0.0007247, -0.01184, 0.0004598),
        (0.0004565, -0.002974, 0.003892),
        (-0.0009914, 0.001242),
        (0.0006508,),
    ),
    freezing=(-14.5758, -23.5675, -11.8355, -2.0608, 0.811, 0.0277),
    mole=62.07,
)

_PROPYLENE = _Glycol(
    density=(
        (1013.43, -34.2738, -8.6702, 2.9303),
        (20.9236, -15.6416, 5.7157, -0.901),
        (-1.8368, 0.8568, -1.0135, 0.6563),
        (-3.537, 4.5147, -0.6974),
        (-1.114, -1.0794),
        (0.5691,),
    ),
    log_viscosity=(
        (-6.454691, -1.605195, 0.788865, -0.299364),
        (0.915563, -0.607703, 0.426226, -0.120121),
        (0.053795, -0.026868, -0.043918, -0.00868),
        (-0.085397, 0.131169, -0.154451),
        (-0.02036, 0.021749),
        (0.086605,),
    ),
    heat_capacity=(
        (3910.42, 158.277, -6.73, -2.465),
        (-373.458, 89.87, -3.194, 10.306),
        (-143.603, 10.761, 36.375, -9.467),
        (11.771, 46.534, -28.674),
        (37.698, -34.676),
        (-12.05,),
    ),
    conductivity=(
        (0.4606, 0.04836, -0.000587, -0.00131),
        (-0.1483, -0.02805, 0.01069, 0.0008773),
        (0.01969, 0.005063, -0.0147, 0.001924),
        (-0.002786, -0.002369, 0.00636),
        (-0.0007549, -0.001752),
        (0.0005113,),
    ),
    freezing=(-12.7891, -19.4415, -9.4217, -5.9033, -2.803, 0.356),
    mole=76.09,
)

_GLYCOLS: Mapping[str, _Glycol] = {"ethylene": _ETHYLENE, "propylene": _PROPYLENE}

GLYCOLS = tuple(_GLYCOLS)
"""What may be mixed with water."""


def glycol_water(base: str, fraction: Array, temperature: Array) -> Water:
    """Ethylene or propylene glycol in water, by its share by mass and its temperature (K).

    Polynomials of 18 terms in fraction and temperature, of ln viscosity for the viscosity. Without glycol the density
    is within 0.1 % and the viscosity within 2 % of that of water. The vapour pressure is that of water times
    its share of the molecules, the glycol's own left out.
    Raises ValueError outside FRACTION, above HOTTEST and where the mixture begins to freeze.

    Source: Melinder (2010), Properties of Secondary Working Fluids for Indirect Systems, IIR; his polynomials as
    the CoolProp library evaluates them (INCOMP::MEG, INCOMP::MPG), found again from its values by least squares
    (tests/fits/fit_glycol.py). As rounded here they are within 0.011 % of them for the conductivity, 0.0004 % for the
    other properties. Vapour pressure: Raoult's law.
    """
    mixture = _GLYCOLS[base]
    check_range(f"share of {base} glycol", 100.0 * fraction, (0.0, 100.0 * FRACTION[1]), "%")
    _check_liquid(base, fraction, temperature)
    u, z = (fraction - 0.3) / 0.3, (temperature - 313.15) / 60.0
    per_gram_of_water = (1.0 - fraction) / _MOLE_OF_WATER
    density, viscosity = glycol_fluid(base, fraction, temperature)
    return Water(
        density=density,
        viscosity=viscosity,
        heat_capacity=_value(mixture.heat_capacity, u, z),
        conductivity=_value(mixture.conductivity, u, z),
        vapour_pressure=vapour_pressure_of_water(temperature)
        * (per_gram_of_water / (per_gram_of_water + fraction / mixture.mole)),
    )


def glycol_fluid(base: str, fraction: Array, temperature: Array) -> tuple[Array, Array]:
    """Density and viscosity of the mixture, as `glycol_water` has them; frozen or above HOTTEST those at that end."""
    mixture, liquid = _GLYCOLS[base], np.clip(temperature, freezing_point(base, fraction), HOTTEST)
    u, z = (fraction - 0.3) / 0.3, (liquid - 313.15) / 60.0
    return _value(mixture.density, u, z), np.exp(_value(mixture.log_viscosity, u, z))


def freezing_point(base: str, fraction: Array) -> Array:
    """Temperature in K at which the first ice forms in the mixture. Source: Melinder (2010), as `glycol_water`."""
    return _ZERO_CELSIUS + _horner(_GLYCOLS[base].freezing, (fraction - 0.3) / 0.3)


def _check_liquid(base: str, fraction: Array, temperature: Array) -> None:
    shares, kelvins = np.broadcast_arrays(np.asarray(fraction, dtype=float), np.asarray(temperature, dtype=float))
    coldest = freezing_point(base, shares)
    outside = ~((kelvins >= coldest) & (kelvins <= HOTTEST))  # so that nan counts as outside
    if outside.any():
        share, kelvin = shares[outside].item(0), kelvins[outside].item(0)
        lowest = float(freezing_point(base, share)) - _ZERO_CELSIUS
        name = f"temperature of {100.0 * share:.3g} % {base} glycol"
        said = f"{lowest:.1f} (where it freezes) and {HOTTEST - _ZERO_CELSIUS:g} degC"
        raise ValueError(f"the {name} must lie between {said}, not {kelvin - _ZERO_CELSIUS:g} degC")


def _value(polynomial: _Polynomial, u: Array, z: Array) -> Array:
    result: Array = 0.0
    for row in reversed(polynomial):
        result = result * u + _horner(row, z)
    return result


def _horner(coefficients: tuple[float, ...], x: Array) -> Array:
    result: Array = 0.0
    for coefficient in reversed(coefficients):
        result = result * x + coefficient
    return result
