"""Formulas that components share: speeds, friction in straight and coiled pipe, and laws of loss.

Every function takes floats or arrays that broadcast together, flows of either sign and no flow at all, in SI.
A drop is positive where the flow is positive; its slope is the exact derivative with respect to flow.
"""

from __future__ import annotations

from typing import NamedTuple

import numpy as np

from netsolve.water import Array, Water

# Beyond these the laminar law below and a constant factor above lose nothing, and no power overflows.
_LEAST_REYNOLDS, _MOST_REYNOLDS = 1e-6, 1e20

_RATED_LINEAR = 0.02


def area(bore: Array) -> Array:
    """Area in m2 of a round bore in m."""
    return np.pi / 4.0 * bore * bore


def velocity(flow: Array, bore: Array) -> Array:
    """Mean speed in m/s of a flow in m3/s, with its sign."""
    return flow / area(bore)


def velocity_pressure(flow: Array, bore: Array, water: Water) -> Array:
    """Pressure of motion in Pa with the sign of the flow, rho v |v| / 2."""
    speed = velocity(flow, bore)
    return 0.5 * water.density * speed * np.abs(speed)


def velocity_pressure_slope(flow: Array, bore: Array, water: Water) -> Array:
    """Slope of the velocity pressure in Pa/(m3/s), rho |v| / A; zero at no flow."""
    return water.density * np.abs(velocity(flow, bore)) / area(bore)


def reynolds(flow: Array, bore: Array, water: Water) -> Array:
    """Reynolds number rho |v| d / mu, never below zero."""
    return water.density * np.abs(velocity(flow, bore)) * bore / water.viscosity


def friction_factor(reynolds: Array, relative_roughness: Array) -> Array:
    """Darcy friction factor in laminar, transitional and turbulent flow.

    f = 8 [(8/Re)^12 + (A + B)^-1.5]^(1/12), A = [-2.457 ln((7/Re)^0.9 + 0.27 e/D)]^16, B = (37530/Re)^16.
    Held at Re = 1e-6 below that, so it stays finite at no flow: `friction_drop` has the exact limit.
    Against Colebrook -0.7 to +1.8 % for e/D up to 1e-3, +3.1 % at 0.01; Re 2100 to 4000 has no authority.

    Source: Churchill (1977), Chemical Engineering 84(24), 91-92.
    """
    re = _within(reynolds)
    excess, _ = straight_excess(re, relative_roughness)
    return 64.0 / re * excess


def colebrook(reynolds: Array, relative_roughness: Array) -> Array:
    """Darcy friction factor of fully turbulent flow, 1/sqrt(f) = -2 log10(e/(3.7 D) + 2.51/(Re sqrt(f))).

    Meant for Re above some 4000; two passes reach machine precision.

    Source: Colebrook (1939), J. Inst. Civil Eng. 11, 133-156; solved as Clamond (2009), Ind. Eng. Chem.
    Res. 48, 3665-3671.
    """
    x1 = 0.123968186335417556 * relative_roughness * reynolds
    x2 = np.log(reynolds) - 0.779397488455682028
    f = x2 - 0.2
    for _ in range(2):
        error = (np.log(x1 + f) + f - x2) / (1.0 + x1 + f)
        f = f - (1.0 + x1 + f + 0.5 * error) * error * (x1 + f) / (1.0 + x1 + f + error * (1.0 + error / 3.0))
    return (1.151292546497022842 / f) ** 2


def friction_drop(flow: Array, bore: Array, length: Array, roughness: Array, water: Water) -> Array:
    """Pressure in Pa lost to friction in a straight pipe, f (L/d) rho v |v| / 2; rises strictly with flow.

    Written as the laminar drop times f Re / 64, which is exactly one at no flow, so nothing is 0/0.

    Source: Darcy-Weisbach with `friction_factor`.
    """
    excess, _ = straight_excess(reynolds(flow, bore, water), roughness / bore)
    return laminar_resistance(bore, length, water) * flow * excess


def friction_slope(flow: Array, bore: Array, length: Array, roughness: Array, water: Water) -> Array:
    """Slope of `friction_drop` in Pa/(m3/s); at no flow the laminar 128 mu L / (pi d^4)."""
    excess, power = straight_excess(reynolds(flow, bore, water), roughness / bore)
    return laminar_resistance(bore, length, water) * excess * (1.0 + power)


def coil_critical_reynolds(curvature: Array) -> Array:
    """Reynolds number at which flow in a coil of curvature d/D turns turbulent, 2300 [1 + 8.6 (d/D)^0.45].

    Source: Schmidt (1967), Chemie Ingenieur Technik 39, 781-789.
    """
    return 2300.0 * (1.0 + 8.6 * curvature**0.45)


def coil_friction_factor(reynolds: Array, relative_roughness: Array, curvature: Array) -> Array:
    """Darcy friction factor in a coil of curvature d/D, D the diameter of the coil's centre line.

    f = (fl^12 + ft^12)^(1/12) with De = Re sqrt(d/D), A as in `friction_factor`,
    B = (37530 Rec / (2300 Re))^16,
    fl = (64/Re) sqrt(1 + (1 + d/(3 D))^2 De / 88.33),
    ft = 8 (A + B)^(-1/8) + 0.03 sqrt(d/D) [A/(A + B)]^(1/8).
    At d/D = 0 it is `friction_factor`. Authors differ by 20 % and more; held at Re = 1e-6 below that.

    Source: laminar Manlapaz & Churchill (1980), Chem. Eng. Commun. 7, 57-78 (from memory); turbulent addition
    Mishra & Gupta (1979), Ind. Eng. Chem. Process Des. Dev. 18, 130-137; Rec `coil_critical_reynolds`; the
    blending in Churchill's manner is our own.
    """
    re = _within(reynolds)
    excess, _ = coil_excess(re, relative_roughness, coil_of(curvature))
    return 64.0 / re * excess


def coil_drop(flow: Array, bore: Array, length: Array, coil_diameter: Array, roughness: Array, water: Water) -> Array:
    """Pressure in Pa lost to friction along a coiled pipe, Darcy-Weisbach with `coil_friction_factor`."""
    excess, _ = coil_excess(reynolds(flow, bore, water), roughness / bore, coil_of(bore / coil_diameter))
    return laminar_resistance(bore, length, water) * flow * excess


def coil_slope(flow: Array, bore: Array, length: Array, coil_diameter: Array, roughness: Array, water: Water) -> Array:
    """Slope of `coil_drop` in Pa/(m3/s); at no flow that of a straight pipe."""
    excess, power = coil_excess(reynolds(flow, bore, water), roughness / bore, coil_of(bore / coil_diameter))
    return laminar_resistance(bore, length, water) * excess * (1.0 + power)


def k_drop(flow: Array, bore: Array, k: Array, water: Water, laminar: Array = 10.0) -> Array:
    """Pressure in Pa lost in a fitting of coefficient K, K (1 + laminar/Re) rho v |v| / 2 in `bore`.

    `laminar` is Hooper's ratio K1/Kinf where a source gives one. The default 10 has no source: it is
    numerical, only there to give the curve a slope at no flow, and adds 0.1 % at Re = 10 000.

    Source: form of Hooper (1981), Chemical Engineering 88(17), 96-100.
    """
    speed = velocity(flow, bore)
    return 0.5 * k * speed * (water.density * np.abs(speed) + laminar * water.viscosity / bore)


def k_slope(flow: Array, bore: Array, k: Array, water: Water, laminar: Array = 10.0) -> Array:
    """Slope of `k_drop` in Pa/(m3/s)."""
    speed = np.abs(velocity(flow, bore))
    return k * (water.density * speed + 0.5 * laminar * water.viscosity / bore) / area(bore)


def rated(flow: Array, drop: Array, at: Array, exponent: Array) -> Array:
    """Pressure in Pa from one rating, drop (|q|/at)^exponent with the sign of q; linear below 2 % of `at`.

    The straight piece joins without a step and keeps a slope at no flow; the 2 % is numerical, no source.
    """
    share = flow / at
    return drop * share * np.maximum(np.abs(share), _RATED_LINEAR) ** (exponent - 1.0)


def rated_slope(flow: Array, drop: Array, at: Array, exponent: Array) -> Array:
    """Slope of `rated` in Pa/(m3/s); it steps from 1 to `exponent` times the chord's at 2 % of `at`."""
    share = np.abs(flow / at)
    power = np.where(share > _RATED_LINEAR, exponent, 1.0)
    return drop / at * power * np.maximum(share, _RATED_LINEAR) ** (exponent - 1.0)


def _within(reynolds: Array) -> Array:
    return np.minimum(np.maximum(reynolds, _LEAST_REYNOLDS), _MOST_REYNOLDS)


def laminar_resistance(bore: Array, length: Array, water: Water) -> Array:
    """Hagen and Poiseuille's resistance 128 mu L / (pi d^4) in Pa/(m3/s)."""
    squared = bore * bore
    return 128.0 / np.pi * water.viscosity * length / (squared * squared)


def _power_8(x: Array) -> Array:
    x = x * x
    x = x * x
    return x * x


# What is taken out of A and B below: no flow changes it.
_WALL = 2.457


def _wall(re: Array, relative_roughness: Array, late: Array) -> tuple[Array, Array, Array, Array]:
    """Churchill's turbulent terms, A and B divided by `_WALL`^16; the latter is (late/Re)^16.

    Given are A^(1/16), its derivative by ln Re, A + B, and d ln(A + B) divided by 16.
    """
    thin = np.exp(-0.9 * np.log(re)) * 7.0**0.9
    width = thin + 0.27 * relative_roughness
    m = -np.log(width)
    m_rise = 0.9 * thin / width
    m2 = m * m
    m3 = m2 * m
    m5 = m3 * m2
    m10 = m5 * m5
    m15 = m10 * m5  # A/m without dividing: m passes zero near Re = 7
    b = late / re
    b = _power_8(b * b)
    total = m15 * m + b
    return m, m_rise, total, (m15 * m_rise - b) / total


def straight_excess(re: Array, relative_roughness: Array) -> tuple[Array, Array]:
    """f Re / 64 in a straight pipe, and its power d ln(f Re)/d ln Re."""
    re = _within(re)
    _, _, total, total_power = _wall(re, relative_roughness, 37530.0 / _WALL)
    turbulent = _power_8(re * (0.125 / _WALL**2)) / total
    turbulent = turbulent * np.sqrt(turbulent)
    both = 1.0 + turbulent
    return np.exp(np.log(both) / 12.0), turbulent / both * (1.0 - 2.0 * total_power)


class Coil(NamedTuple):
    """What a curvature d/D makes of friction: what flows do not change in fl, ft and B of `coil_friction_factor`.

    `bend` is what Re has before it in fl; `addition` is 0.03 sqrt(d/D) / 64, `late` that of `_wall`.
    """

    bend: Array
    addition: Array
    late: Array


def coil_of(curvature: Array) -> Coil:
    """A coil of curvature d/D."""
    root = np.sqrt(curvature)
    bend = (1.0 + curvature / 3.0) ** 2 * root / 88.33
    return Coil(bend, 0.03 / 64.0 * root, 37530.0 / _WALL * coil_critical_reynolds(curvature) / 2300.0)


def coil_excess(re: Array, relative_roughness: Array, coil: Coil) -> tuple[Array, Array]:
    """f Re / 64 in a coil, and its power d ln(f Re)/d ln Re."""
    re = _within(re)
    m, m_rise, total, total_power = _wall(re, relative_roughness, coil.late)
    addition = coil.addition * m
    bracket = 0.125 / _WALL**2 + addition * m
    turbulent_power = 1.0 + 2.0 * (addition * m_rise / bracket - total_power)
    turbulent = _power_8(re * bracket) / total
    turbulent = turbulent * np.sqrt(turbulent)
    l2 = 1.0 + coil.bend * re
    l4 = l2 * l2
    both = l4 * l4 * l4 + turbulent
    laminar_power = 0.5 - 0.5 / l2
    power = laminar_power + turbulent / both * (turbulent_power - laminar_power)
    return np.exp(np.log(both) / 12.0), power
