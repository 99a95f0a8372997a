"""The water in the pipes: density, viscosity and the other properties, as floats or arrays in SI."""

from __future__ import annotations

from dataclasses import dataclass
from typing import TypeAlias

import numpy as np
import numpy.typing as npt

Array: TypeAlias = npt.NDArray[np.float64] | float
"""A float, or an array (parts,) or (rows, parts) of them, in SI: what laws take and give."""

GRAVITY = 9.80665
"""Standard gravity, m/s2 (3rd CGPM, 1901; by definition)."""

ATMOSPHERE = 101325.0
"""Standard atmosphere, Pa (10th CGPM, 1954; by definition)."""

SEA_TEMPERATURE = (271.15, 373.15)
"""K. The correlations begin at 0 degC; the two kelvin below, to where sea water freezes, are extrapolated."""

FRESH_TEMPERATURE = (273.15, 373.15)
"""K. Within the 253.15 to 383.15 K of IAPWS SR6-08, where water is neither ice nor steam."""

SALINITY = (0.0, 150.0)
"""g/kg, reference composition: the range of Sharqawy et al. (2010)."""

_ZERO_CELSIUS = 273.15


@dataclass(frozen=True, slots=True)
class Water:
    """What the formulas need to know of a liquid; fields are floats, or arrays that broadcast together.

    Units: density kg/m3, viscosity (dynamic) Pa s, heat capacity J/(kg K), conductivity (of heat) W/(m K),
    vapour pressure Pa absolute.
    """

    density: Array
    viscosity: Array
    heat_capacity: Array
    conductivity: Array
    vapour_pressure: Array


def sea_water(temperature: Array, salinity: Array) -> Water:
    """Sea water at one atmosphere, from its temperature (K) and its salinity (g/kg, reference composition).

    Density +-0.1 %, viscosity +-1.5 %, heat capacity +-0.28 % (as their authors state them).
    Raises ValueError outside SEA_TEMPERATURE and SALINITY.

    Source: density, heat capacity and viscosity Sharqawy, Lienhard & Zubair (2010), Desalination and
    Water Treatment 16, 354-380, eqs 8, 9, 22, 23; conductivity and vapour pressure Nayar et al. (2016),
    Desalination 390, 1-24.
    """
    celsius = temperature - _ZERO_CELSIUS
    check_range("temperature of sea water", celsius, _celsius(SEA_TEMPERATURE), "degC")
    check_range("salinity of sea water", salinity, SALINITY, "g/kg")
    lowering = np.exp(-4.5818e-4 * salinity - 2.0443e-6 * salinity**2)
    density, viscosity = sea_fluid(temperature, salinity)
    return Water(
        density=density,
        viscosity=viscosity,
        heat_capacity=_sea_heat_capacity(celsius, salinity / 1.00472),
        conductivity=_sea_conductivity(temperature, salinity),
        vapour_pressure=vapour_pressure_of_water(temperature) * lowering,
    )


def sea_fluid(temperature: Array, salinity: Array) -> tuple[Array, Array]:
    """Density and viscosity of sea water, as `sea_water` has them; outside SEA_TEMPERATURE those at its end."""
    celsius = np.clip(temperature, *SEA_TEMPERATURE) - _ZERO_CELSIUS
    return _sea_density(celsius, salinity / 1000.0), _sea_viscosity(celsius, salinity / 1000.0)


def fresh_water(temperature: Array) -> Water:
    """Fresh water at 0.1 MPa, from its temperature (K).

    With x = T/300: viscosity = 1e-6 sum(a x^b), conductivity = sum(c x^d); density and heat capacity from
    derivatives of one Gibbs energy in 10/(593 - T) and 10/(T - 232).
    Raises ValueError outside FRESH_TEMPERATURE.

    Source: IAPWS SR6-08 (2011), as Patek et al. (2009), J. Phys. Chem. Ref. Data 38, 21-29. Vapour
    pressure: see `vapour_pressure_of_water`.
    """
    celsius = temperature - _ZERO_CELSIUS
    check_range("temperature of fresh water", celsius, _celsius(FRESH_TEMPERATURE), "degC")
    x = temperature / 300.0
    density, viscosity = fresh_fluid(temperature)
    return Water(
        density=density,
        viscosity=viscosity,
        heat_capacity=_fresh_heat_capacity(temperature),
        conductivity=1.6630 * x**-1.15 - 1.7781 * x**-3.4 + 1.1567 * x**-6.0 - 0.432115 * x**-7.6,
        vapour_pressure=vapour_pressure_of_water(temperature),
    )


def fresh_fluid(temperature: Array) -> tuple[Array, Array]:
    """Density and viscosity of fresh water, as `fresh_water` has them; outside FRESH_TEMPERATURE those at its end."""
    liquid = np.clip(temperature, *FRESH_TEMPERATURE)
    x = liquid / 300.0
    viscosity: Array = 1e-6 * (280.68 * x**-1.9 + 511.45 * x**-7.7 + 61.131 * x**-19.6 + 0.45903 * x**-40.0)
    return _fresh_density(liquid), viscosity


def custom_water(
    density: Array,
    viscosity: Array,
    *,
    heat_capacity: Array = 4184.0,
    conductivity: Array = 0.598,
    vapour_pressure: Array = 2339.0,
) -> Water:
    """A liquid known by its numbers; what is left out is that of fresh water at 20 degC (IAPWS SR6-08).

    Raises ValueError where a property is not above zero (the vapour pressure may be zero).
    """
    above_zero = {
        "density": density,
        "viscosity": viscosity,
        "heat capacity": heat_capacity,
        "conductivity": conductivity,
    }
    for name, value in above_zero.items():
        if not np.all(np.asarray(value) > 0.0):
            raise ValueError(f"the {name} of a liquid must be above zero, not {value}")
    if not np.all(np.asarray(vapour_pressure) >= 0.0):
        raise ValueError(f"the vapour pressure of a liquid must not be below zero, not {vapour_pressure}")
    return Water(density, viscosity, heat_capacity, conductivity, vapour_pressure)


def _celsius(kelvin: tuple[float, float]) -> tuple[float, float]:
    return kelvin[0] - _ZERO_CELSIUS, kelvin[1] - _ZERO_CELSIUS


def check_range(name: str, value: Array, valid: tuple[float, float], unit: str) -> None:
    """Raise ValueError, naming the first value that lies outside, in the unit that both are given in."""
    low, high = valid
    given = np.asarray(value)
    outside = ~((given >= low) & (given <= high))  # so that nan counts as outside
    if np.any(outside):
        found = given[outside].item(0)
        raise ValueError(f"the {name} must lie between {low:g} and {high:g} {unit}, not {found:g} {unit}")


def _sea_density(t: Array, s: Array) -> Array:
    """Density in kg/m3 from degC and kg/kg; Sharqawy et al. (2010) eq. 8."""
    pure = 9.9992293295e2 + t * (2.0341179217e-2 + t * (-6.1624591598e-3 + t * (2.2614664708e-5 - 4.6570659168e-8 * t)))
    salt = 8.0200240891e2 + t * (-2.0005183488 + t * (1.6771024982e-2 - 3.0600536746e-5 * t))
    return pure + s * salt - 1.6132224742e-5 * (s * t) ** 2


def _sea_viscosity(t: Array, s: Array) -> Array:
    """Dynamic viscosity in Pa s from degC and kg/kg; Sharqawy et al. (2010) eqs 22 and 23."""
    pure = 4.2844324477e-5 + 1.0 / (0.15700386464 * (t + 64.992620050) ** 2 - 91.296496657)
    first = 1.5409136040 + t * (1.9981117208e-2 - 9.5203865864e-5 * t)
    second = 7.9739318223 + t * (-7.5614568881e-2 + 4.7237011074e-4 * t)
    return pure * (1.0 + s * (first + second * s))


def _sea_heat_capacity(t: Array, s: Array) -> Array:
    """Heat capacity in J/(kg K) from degC and PSS-78 salinity; Sharqawy et al. (2010) eq. 9."""
    kelvin = 1.00024 * (t + _ZERO_CELSIUS)  # the older scale of temperature, IPTS-68
    a = 5.328 + s * (-9.76e-2 + 4.04e-4 * s)
    b = -6.913e-3 + s * (7.351e-4 - 3.15e-6 * s)
    c = 9.6e-6 + s * (-1.927e-6 + 8.23e-9 * s)
    d = 2.5e-9 + s * (1.666e-9 - 7.125e-12 * s)
    return 1000.0 * (a + kelvin * (b + kelvin * (c + kelvin * d)))


def _sea_conductivity(temperature: Array, salinity: Array) -> Array:
    """Conductivity in W/(m K) from K and g/kg; Nayar et al. (2016)."""
    x = temperature / 300.0
    pure = (
        0.797015135 * x**-0.193823894
        - 0.251242021 * x**-4.7166384
        + 0.0964365893 * x**-6.38463554
        - 0.0326956491 * x**-2.13362102
    )
    return pure / (1.0 + 0.00022 * salinity)


def vapour_pressure_of_water(temperature: Array) -> Array:
    """Vapour pressure of pure water in Pa from K, 0 to 200 degC, as Nayar et al. (2016) use it.

    Source: Hyland & Wexler (1983), ASHRAE Transactions 89(2A), 500-519 (attribution from memory).
    """
    t = temperature
    power = t * (-4.8640239e-2 + t * (4.1764768e-5 - 1.4452093e-8 * t))
    return np.exp(1.3914993 - 5800.2206 / t + power + 6.5459673 * np.log(t))


_GAS_CONSTANT = 461.51805  # J/(kg K), SR6-08


def _fresh_density(temperature: Array) -> Array:
    """Density in kg/m3 from K at 0.1 MPa; IAPWS SR6-08."""
    alpha, beta = 10.0 / (593.0 - temperature), 10.0 / (temperature - 232.0)
    high = ((6.74458446e3, 4), (-2.22521604e5, 5), (1.00231247e8, 7), (-1.63552118e9, 8), (8.32299658e9, 9))
    low = (5.78545292e-3, -1.53195665e-2, 3.11337859e-2, -4.23546241e-2, 3.38713507e-2, -1.19946761e-2)
    terms = sum(a * alpha**n for a, n in high) + sum(b * beta**m for m, b in enumerate(low, start=1))
    return 1.0 / (_GAS_CONSTANT * 10.0 / 1e5 * (1.93763157e-2 + terms))


def _fresh_heat_capacity(temperature: Array) -> Array:
    """Heat capacity in J/(kg K) from K at 0.1 MPa; IAPWS SR6-08."""
    alpha, beta = 10.0 / (593.0 - temperature), 10.0 / (temperature - 232.0)
    high = ((-1.661470539e5, 4), (2.708781640e6, 5), (-1.557191544e8, 7))
    low = ((-8.237426256e-1, 2), (1.908956353, 3), (-2.017597384, 4), (8.546361348e-1, 5))
    terms = sum(n * (n + 1) * a * alpha ** (n + 2) for a, n in high)
    terms += sum(m * (m + 1) * b * beta ** (m + 2) for b, m in low)
    return -_GAS_CONSTANT * (-8.983025854 + temperature / 10.0 * terms)
