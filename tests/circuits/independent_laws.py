"""Laws of parts and joints in plain scalar arithmetic, written separately from netsolve.

Units SI (temperatures degC, speeds rpm), pressures gauge; an *energy* is total pressure + rho g z. A law gives
the drop in Pa at a flow in m3/s of either sign. Sources stand in netsolve's components; here only where a
formula is long.
"""

from __future__ import annotations

import math
import re
from collections.abc import Callable, Mapping
from dataclasses import dataclass
from typing import Any

from scipy.optimize import brentq

GRAVITY = 9.80665
PSI = 6894.757293168
GPM = 3.785411784e-3 / 60.0
UNITS = {
    "": 1.0, "m": 1.0, "mm": 1e-3, "in": 0.0254, "kPa": 1e3, "psi": PSI, "L/min": 1e-3 / 60.0, "gpm": GPM,
    "gpm/bar": GPM / 1e5, "rpm": 1.0, "degC": 1.0, "g/kg": 1.0, "kg/m3": 1.0, "mPa.s": 1e-3,
}  # fmt: skip

SEAT_OUT, SEAT_IN = 1e3, 1e14  # Pa s/m3, at an outlet in air or gas, by the direction of the flow
CREEP = 1e-7  # m/s, over which the cracking pressure of a check valve builds up
STYLES = {"flush": 0.5, "rounded": 0.2}  # K of a sea inlet
MESH = {20: 1.0, 40: 1.2, 60: 1.4, 80: 1.6, 100: 1.7}

Thing = Mapping[str, Any]
"""A part or a joint as written."""


@dataclass(frozen=True)
class Water:
    density: float
    viscosity: float


@dataclass(frozen=True)
class State:
    """What the laws need to know besides the part: the water, and the engine as it turns."""

    water: Water
    engine: Thing


def value(written: str | float) -> float:
    """A number with its unit, such as `5/8 in`, in SI (temperatures in degC, speeds in rpm)."""
    if not isinstance(written, str):
        return float(written)
    found = re.fullmatch(r"(-?[\d.]+)(?:/(\d+))?\s*(.*)", written)
    assert found is not None, written
    number, divisor, unit = found.groups()
    return float(number) / float(divisor or 1) * UNITS[unit]


def water_of(written: Thing) -> Water:
    """Sea water by Sharqawy, Lienhard & Zubair (2010), eqs 8, 22 and 23, or what is written."""
    if written["kind"] == "custom":
        return Water(value(written["density"]), value(written["viscosity"]))
    t, s = value(written["temperature"]), value(written["salinity"]) / 1000.0
    fresh = (9.9992293295e2, 2.0341179217e-2, -6.1624591598e-3, 2.2614664708e-5, -4.6570659168e-8)
    salt = (8.0200240891e2, -2.0005183488, 1.6771024982e-2, -3.0600536746e-5)
    density = sum(c * t**n for n, c in enumerate(fresh)) + s * sum(c * t**n for n, c in enumerate(salt))
    density -= 1.6132224742e-5 * s * s * t * t
    pure = 4.2844324477e-5 + 1.0 / (0.15700386464 * (t + 64.992620050) ** 2 - 91.296496657)
    a = 1.5409136040 + 1.9981117208e-2 * t - 9.5203865864e-5 * t * t
    b = 7.9739318223 - 7.5614568881e-2 * t + 4.7237011074e-4 * t * t
    return Water(density, pure * (1.0 + a * s + b * s * s))


def full_turbulence(bore: float) -> float:
    """Crane's fT: Colebrook's factor in commercial steel at Re = 7.5e6 D, e/D = 3.41268e-5 D^-1.0112.

    The `fluids` library's ft_Crane takes one pass to solve it and is 3e-6 too high, so it is solved here.
    """
    reynolds, roughness = 7.5e6 * bore, 3.4126825352925e-5 * bore**-1.0112

    def gap(x: float) -> float:
        return x + 2.0 * math.log10(roughness / 3.7 + 2.51 * x / reynolds)

    return float(brentq(gap, 1.0, 20.0, xtol=1e-14, rtol=1e-14)) ** -2


def velocity_heads(flow: float, bore: float, k: float, k1: float, water: Water) -> float:
    """(K + K1/Re) rho v |v| / 2, Re written out so that it may be zero."""
    speed = flow / (math.pi * bore**2 / 4.0)
    return k * water.density * speed * abs(speed) / 2.0 + k1 * water.viscosity * speed / (2.0 * bore)


def plain_k(flow: float, bore: float, k: float, water: Water) -> float:
    """K (1 + 10/Re) velocity heads: a coefficient without a K1 of its own."""
    return velocity_heads(flow, bore, k, 10.0 * k, water)


def rated(flow: float, drop: float, at: float, exponent: float = 2.0) -> float:
    """drop (q/at)^exponent with the sign of q, straight below 2 % of `at`."""
    share = abs(flow) / at
    size = share**exponent if share > 0.02 else share * 0.02 ** (exponent - 1.0)
    return math.copysign(drop * size, flow)


def _pipe(flow: float, bore: float, length: float, water: Water, factor: Callable[[float], float]) -> float:
    """Darcy and Weisbach; by Hagen and Poiseuille where hardly anything moves."""
    speed = flow / (math.pi * bore**2 / 4.0)
    reynolds = water.density * abs(speed) * bore / water.viscosity
    if reynolds < 1e-3:
        return 32.0 * water.viscosity * length * speed / bore**2
    return factor(reynolds) * length / bore * water.density * speed * abs(speed) / 2.0


def _turbulent_terms(reynolds: float, roughness: float, delay: float = 1.0) -> tuple[float, float]:
    a = (-2.457 * math.log((7.0 / reynolds) ** 0.9 + 0.27 * roughness)) ** 16
    return a, (37530.0 * delay / reynolds) ** 16


def straight_factor(reynolds: float, roughness: float) -> float:
    """Darcy's factor. Source: Churchill (1977), Chemical Engineering 84(24), 91-92."""
    a, b = _turbulent_terms(reynolds, roughness)
    return float(8.0 * ((8.0 / reynolds) ** 12 + (a + b) ** -1.5) ** (1.0 / 12.0))


def coil_factor(reynolds: float, roughness: float, curvature: float) -> float:
    """Darcy's factor in a coil of curvature d/D, laminar and turbulent joined in Churchill's manner.

    Source: Manlapaz & Churchill (1980) laminar, Mishra & Gupta (1979) turbulent, Schmidt (1967) between.
    """
    a, b = _turbulent_terms(reynolds, roughness, 1.0 + 8.6 * curvature**0.45)
    dean = reynolds * math.sqrt(curvature)
    laminar = 64.0 / reynolds * math.sqrt(1.0 + (1.0 + curvature / 3.0) ** 2 * dean / 88.33)
    turbulent = 8.0 * (a + b) ** -0.125 + 0.03 * math.sqrt(curvature) * (a / (a + b)) ** 0.125
    return float((laminar**12 + turbulent**12) ** (1.0 / 12.0))


def hose(part: Thing, flow: float, state: State) -> float:
    """Friction on rubber of 0.01 mm, and 12 fT for each easy bend."""
    bore, bends = value(part["bore"]), part.get("bends", 0)
    friction = _pipe(flow, bore, value(part["length"]), state.water, lambda re: straight_factor(re, 1e-5 / bore))
    return friction + plain_k(flow, bore, bends * 12.0 * full_turbulence(bore), state.water)


def cooling_coil(part: Thing, flow: float, state: State) -> float:
    """Friction in curved drawn tube of 0.0015 mm."""
    bore = value(part["bore"])
    curvature = bore / value(part["coil_diameter"])
    return _pipe(flow, bore, value(part["length"]), state.water, lambda re: coil_factor(re, 1.5e-6 / bore, curvature))


def loss(part: Thing, flow: float, state: State) -> float:
    """K on a bore."""
    return plain_k(flow, value(part["bore"]), value(part["k"]), state.water)


def rated_loss(part: Thing, flow: float, state: State) -> float:
    """A square through one point."""
    return rated(flow, value(part["drop"]), value(part["at"]))


def strainer(part: Thing, flow: float, state: State) -> float:
    """SG (Q/Cv)^2 psi, specific gravity against 999 kg/m3, times the lining's factor."""
    factor = MESH[part["mesh"]] if "mesh" in part else 1.0
    return rated(flow, factor * state.water.density / 999.0 * PSI, value(part["cv"]) * GPM)


def seacock(part: Thing, flow: float, state: State) -> float:
    """An open ball valve of full port: Crane's 3 fT, Hooper's K1 of 300."""
    bore = value(part["bore"])
    return velocity_heads(flow, bore, 3.0 * full_turbulence(bore), 300.0, state.water)


def impeller_pump(part: Thing, flow: float, state: State) -> float:
    """Rated flow by the speed, less slip: 12 % of the rated flow per bar where none is written."""
    full = value(part["rated_flow"])
    slip = value(part["slip"]) if "slip" in part else 0.12 / 1e5 * full
    return (flow - full * value(state.engine["speed"]) / value(part["rated_speed"])) / slip


def check_valve(part: Thing, flow: float, state: State) -> float:
    """Swing: cracking pressure over a creeping flow and K forwards (Crane's 100 fT); a shut seat backwards."""
    assert part["style"] == "swing"
    if flow < 0.0:
        return SEAT_IN * flow
    bore = value(part["bore"])
    k = value(part["k"]) if "k" in part else 100.0 * full_turbulence(bore)
    opened = min(flow / (CREEP * math.pi * bore**2 / 4.0), 1.0)
    return value(part.get("cracking", "0.3 kPa")) * opened + plain_k(flow, bore, k, state.water)


def orifice(part: Thing, flow: float, state: State) -> float:
    """Lasting loss of a sharp orifice, C = 0.62, on the hose. Source: ISO 5167-2:2003, 5.4."""
    wide = value(part["hose_bore"])
    beta, c = value(part["bore"]) / wide, 0.62
    k = (math.sqrt(1.0 - beta**4 * (1.0 - c * c)) / (c * beta**2) - 1.0) ** 2
    return plain_k(flow, wide, k, state.water)


LAWS: Mapping[str, Callable[[Thing, float, State], float]] = {
    "hose": hose, "cooling_coil": cooling_coil, "loss": loss, "rated_loss": rated_loss, "strainer": strainer,
    "heat_exchanger": rated_loss, "seacock": seacock, "impeller_pump": impeller_pump,
    "check_valve": check_valve, "orifice": orifice,
}  # fmt: skip


def tee(joint: Thing, straight: float, branch: float, state: State) -> tuple[float, float]:
    """Total pressure lost from common to straight and to branch where the common leg divides.

    Heads are of the common leg, q the branch's share of it. The outlets let a seat's leak back and no more:
    flow back counts as none. Source: Gardel (1957) to the run, Bassett, Winterbone & Pearson (2001), eq. 27,
    to the branch; Hooper (1981) 200/Re and 500/Re, each in its own leg.
    """
    bore, narrow = value(joint["bore"]), value(joint["branch_bore"])
    run, side = max(straight, 0.0), max(branch, 0.0)
    assert min(straight, branch) > -1e-8
    psi, q = (bore / narrow) ** 2, side / (run + side) if run + side > 0.0 else 0.0
    k_run = 0.03 * (1.0 - q) ** 2 + 0.35 * q**2 - 0.2 * q * (1.0 - q)
    k_side = 1.0 + (q * psi) ** 2 - 2.0 * q * psi * math.cos(0.75 * math.pi / 2.0)
    along = velocity_heads(run + side, bore, k_run, 0.0, state.water)
    off = velocity_heads(run + side, bore, k_side, 0.0, state.water)
    along += velocity_heads(straight, bore, 0.0, 200.0, state.water)
    off += velocity_heads(branch, narrow, 0.0, 500.0, state.water)
    return along, off


def sea_energy(joint: Thing, flow: float, state: State) -> float:
    """Energy behind a sea inlet: none at the surface, less the entrance."""
    if joint.get("losses") == "none":
        return 0.0
    k = value(joint["k"]) if "k" in joint else STYLES[joint["style"]]
    return -plain_k(flow, value(joint["bore"]), k, state.water)


def outlet_energy(joint: Thing, flow: float, state: State) -> float:
    """Energy wanted before an outlet in air or gas, but for its exit loss: its height and the gas."""
    assert value(joint["height"]) >= 0.0
    share = value(state.engine["speed"]) / value(state.engine["rated_speed"])
    gas = value(joint.get("back_pressure_at_rated", 0.0)) * share**2
    return gas + state.water.density * GRAVITY * value(joint["height"]) + flow * (SEAT_OUT if flow > 0.0 else SEAT_IN)


def exit_loss(joint: Thing, flow: float, state: State) -> float:
    """One velocity head of the outlet's bore."""
    return 0.0 if joint.get("losses") == "none" else plain_k(flow, value(joint["bore"]), 1.0, state.water)
