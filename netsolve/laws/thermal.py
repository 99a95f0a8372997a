"""Heat from one stream to another, mixing, and warming up: formulas in SI on floats or arrays, each with its source.

Rates are heat capacity rates, density x heat capacity x flow, in W/K; temperatures in K.
"""

from __future__ import annotations

from collections.abc import Callable, Mapping, Sequence

import numpy as np

from netsolve.water import Array

MOST_UNITS = 100.0
"""Transfer units beyond which no exchanger gives more."""

_TERMS = 60
"""Of the crossflow series; the rest is below 1e-9 up to ten transfer units."""


def dipped(units: Array, ratio: Array) -> Array:
    """Effectiveness where the other side has one temperature: a coil in a stirred tank, a condenser; 1 - exp(-N)."""
    return -np.expm1(-units) + 0.0 * ratio


def counterflow(units: Array, ratio: Array) -> Array:
    """Effectiveness of counterflow: (1 - e) / (1 - C e) with e = exp(-N (1 - C)), N / (1 + N) at C = 1."""
    balanced = np.abs(1.0 - ratio) < 1e-6
    apart = np.where(balanced, 0.5, ratio)
    gone = -np.expm1(-units * (1.0 - apart))
    return np.where(balanced, units / (1.0 + units), gone / (1.0 - apart + apart * gone))


def parallel(units: Array, ratio: Array) -> Array:
    """Effectiveness of parallel flow: (1 - exp(-N (1 + C))) / (1 + C)."""
    return -np.expm1(-units * (1.0 + ratio)) / (1.0 + ratio)


def crossflow(units: Array, ratio: Array) -> Array:
    """Effectiveness of crossflow with both streams unmixed, by the exact series in Bessel functions.

    1 - exp(-N (1 + C)) (I0(z) + sqrt(C) I1(z) - (1 - C) sum over k >= 2 of C^(k/2 - 1) Ik(z)), z = 2 N sqrt(C).
    """
    from scipy.special import ive

    root = np.sqrt(ratio)
    z = 2.0 * units * root
    tail = sum(root ** (order - 2) * ive(order, z) for order in range(2, _TERMS))
    series = ive(0, z) + root * ive(1, z) - (1.0 - ratio) * tail
    share = 1.0 - np.exp(-units * (1.0 - root) ** 2) * series
    # of next to nothing the difference leaves only rounding: there N - N^2 (1 + C)/2, the beginning of its series in N
    return np.where(units < 1e-5, units * (1.0 - 0.5 * units * (1.0 + ratio)), share)


def crossflow_max_mixed(units: Array, ratio: Array) -> Array:
    """Effectiveness of crossflow where the stream of the greater rate is mixed: (1 - exp(-C (1 - exp(-N)))) / C."""
    some = np.maximum(ratio, 1e-12)
    effect: Array = -np.expm1(some * np.expm1(-units)) / some
    return effect


def crossflow_min_mixed(units: Array, ratio: Array) -> Array:
    """Effectiveness of crossflow where the stream of the lesser rate is mixed: 1 - exp(-(1 - exp(-C N)) / C)."""
    some = np.maximum(ratio, 1e-12)
    effect: Array = -np.expm1(np.expm1(-some * units) / some)
    return effect


def shell_and_tube(units: Array, ratio: Array) -> Array:
    """Effectiveness of one shell pass and two tube passes: 2 / (1 + C + s (1 + e) / (1 - e)), e = exp(-N s)."""
    root = np.sqrt(1.0 + ratio**2)
    gone = -np.expm1(-np.maximum(units, 1e-12) * root)
    effect: Array = 2.0 / (1.0 + ratio + root * (2.0 - gone) / gone)
    return effect


Effectiveness = Callable[[Array, Array], Array]

ARRANGEMENTS: Mapping[str, tuple[Effectiveness, Effectiveness]] = {
    "stirred tank": (dipped, dipped),
    "counterflow": (counterflow, counterflow),
    "parallel": (parallel, parallel),
    "crossflow": (crossflow, crossflow),
    "crossflow oil mixed": (crossflow_max_mixed, crossflow_min_mixed),
    "crossflow water mixed": (crossflow_min_mixed, crossflow_max_mixed),
    "shell and tube": (shell_and_tube, shell_and_tube),
}
"""Effectiveness by arrangement, from N = UA / least rate and C = least rate / greatest rate.

The first where the water has the lesser rate, the second where the other side has.

Source: Kays & London, Compact Heat Exchangers, 3rd ed., ch. 2 (from memory); held against the `ht` library.
"""


def conductance(ua: Array, water: Array, other: Array, arrangement: str) -> Array:
    """Heat passed for each kelvin between the two inlets, W/K: effectiveness x least rate; none without flow.

    `other` is the rate of the other side, infinite where that has one temperature throughout.
    """
    least, greatest = np.minimum(water, other), np.maximum(water, other)
    some = np.maximum(least, 1e-300)
    ratio = np.where(np.isinf(greatest), 0.0, least / np.where(np.isinf(greatest), 1.0, np.maximum(greatest, 1e-300)))
    units = np.minimum(ua / some, MOST_UNITS)
    first, second = ARRANGEMENTS[arrangement]
    effectiveness = first(units, ratio)
    if second is not first:
        effectiveness = np.where(water <= other, effectiveness, second(units, ratio))
    return np.where(least > 0.0, effectiveness * least, 0.0)


def ua_of(passed: Array, water: Array, other: Array, arrangement: str) -> Array:
    """The UA (W/K) with which an exchanger passes so much for each kelvin between its inlets, W/K.

    ValueError where no exchanger of that arrangement passes as much at these rates (W/K).
    """
    each = np.broadcast(passed, water, other)
    found = np.array([_ua_of(float(a), float(b), float(c), arrangement) for a, b, c in each]).reshape(each.shape)
    return found if each.shape else float(found)


def _ua_of(passed: float, water: float, other: float, arrangement: str) -> float:
    from scipy.optimize import brentq

    most = MOST_UNITS * min(water, other)
    if not 0.0 < passed < float(conductance(most, water, other, arrangement)) * (1 - 1e-9):
        raise ValueError(f"no {arrangement} exchanger passes {passed:.4g} W/K at rates of {water:.4g} and {other:.4g}")
    return float(brentq(lambda ua: float(conductance(ua, water, other, arrangement)) - passed, 0.0, most, xtol=1e-9))


def on_both_sides(ua: Array, share: Array, flow: Array, at: Array) -> Array:
    """UA (W/K) at a water flow, from that at the flow `at`, where the water's side is a `share` of the resistance.

    The film in turbulent water goes with flow to the 0.8: Dittus & Boelter (1930).
    """
    return ua / (1.0 - share + share * (np.maximum(flow, 1e-300) / at) ** -0.8)


def fouled(ua: Array, area: Array, fouling: Array) -> Array:
    """UA (W/K) with a fouling resistance (m2 K/W) on so much area (m2)."""
    return ua / (1.0 + ua * fouling / area)


def log_mean(first: Array, last: Array) -> Array:
    """Logarithmic mean of the temperature differences (K) at the two ends of an exchanger."""
    alike = np.abs(first - last) < 1e-6 * np.maximum(first, last)
    apart = np.where(alike, 2.0 * last, first)
    return np.where(alike, (first + last) / 2.0, (apart - last) / np.log(apart / last))


def mixed(rates: Sequence[Array], temperatures: Sequence[Array]) -> Array:
    """Temperature (K) of streams of these rates once they are mixed, by their energy; nothing evaporates."""
    return sum(rate * each for rate, each in zip(rates, temperatures, strict=True)) / sum(rates)


def after(time: Array, start: Array, gain: Array, loss: Array, capacity: Array) -> Array:
    """Temperature (K) of a well-mixed charge some time (s) after it had `start` (K) and gained `gain` (W) net.

    `loss` (W/K) is what each kelvin more takes away, `capacity` (J/K) what it holds:
    T = start + gain/loss (1 - exp(-t loss/capacity)), or start + t gain/capacity without any loss.
    """
    decay = loss / capacity
    some = np.maximum(decay, 1e-300)
    lasting = np.where(decay * time > 1e-9, -np.expm1(-decay * time) / some, time)
    return start + gain / capacity * lasting


def time_to(rise: Array, gain: Array, loss: Array, capacity: Array) -> Array:
    """Time (s) in which such a charge rises by so many kelvin; infinite where it never does, 0 where it has."""
    share = np.where(gain > 0.0, rise * loss / np.where(gain > 0.0, gain, 1.0), np.inf)
    inside = np.clip(share, 0.0, 1.0 - 1e-12)
    slowly = np.where(inside > 1e-9, -np.log1p(-inside) / np.maximum(inside, 1e-300), 1.0)
    reached = slowly * rise * capacity / np.where(gain > 0.0, gain, 1.0)
    return np.where(rise <= 0.0, 0.0, np.where(share < 1.0, reached, np.inf))


def hydraulic_heat(flow: Array, pressure: Array, efficiency: Array, relieved: Array) -> Array:
    """Heat (W) that hydraulic power leaves in its oil: all that is relieved, of the rest what is lost."""
    return flow * pressure * (relieved + (1.0 - relieved) * (1.0 - efficiency))
