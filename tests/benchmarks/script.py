"""The plain script that a good engineer would write for the pot-hauler's circuit: fluids' formulas and fsolve, row by row.

One unknown for each run and one for the pressure at the tee, good starting values, the same parts as in
`circuits/pot_hauler.yaml` as found. It is what `bench_solver.py` measures netsolve against, in the same run.
"""

from __future__ import annotations

from dataclasses import dataclass
from math import pi, sqrt

from fluids import K_from_f, friction_factor, ft_Crane
from fluids.friction import friction_factor_curved
from scipy.optimize import fsolve

GRAVITY = 9.80665
DENSITY, VISCOSITY = 1025.5, 1.24e-3
PSI, GPM = 6894.757293, 3.785411784e-3 / 60


@dataclass
class Boat:
    """What varies from row to row; SI."""

    speed: float = 30.0
    feed_length: float = 2.5
    coil_bore: float = 0.0138
    strainer_cv: float = 50.0
    outlet_height: float = 0.2
    cooler_drop: float = 25e3


def velocity(flow: float, bore: float) -> float:
    return flow / (pi / 4 * bore**2)


def head(flow: float, bore: float, k: float) -> float:
    speed = velocity(flow, bore)
    return k * DENSITY * speed * abs(speed) / 2


def hose(flow: float, bore: float, length: float, bends: int = 0) -> float:
    reynolds = max(abs(velocity(flow, bore)) * bore * DENSITY / VISCOSITY, 1.0)
    factor = friction_factor(Re=reynolds, eD=1e-5 / bore)
    return head(flow, bore, K_from_f(fd=factor, L=length, D=bore) + bends * 12 * ft_Crane(bore))


def coil(flow: float, bore: float, length: float, diameter: float) -> float:
    reynolds = max(abs(velocity(flow, bore)) * bore * DENSITY / VISCOSITY, 1.0)
    factor = friction_factor_curved(Re=reynolds, Di=bore, Dc=diameter, roughness=1.5e-6)
    return head(flow, bore, K_from_f(fd=factor, L=length, D=bore))


def strainer(flow: float, cv: float) -> float:
    return DENSITY / 999 * (flow / GPM / cv) * abs(flow / GPM / cv) * PSI


def rated(flow: float, drop: float, at: float) -> float:
    return drop * flow * abs(flow) / at**2


def residual(unknown: list[float], boat: Boat) -> list[float]:
    """Energy along the three runs and mass at the tee; flows in L/s, the tee's pressure in kPa at the waterline."""
    intake, engine, branch, tee = unknown[0] / 1e3, unknown[1] / 1e3, unknown[2] / 1e3, unknown[3] * 1e3
    share = branch / intake if intake else 0.0
    main = DENSITY * velocity(intake, 0.032) ** 2 / 2
    ratio = (0.016 / 0.032) ** 2
    to_run = main * (0.03 * (1 - share) ** 2 + 0.35 * share**2 - 0.2 * share * (1 - share))
    to_branch = main * (1 + (share / ratio) ** 2 - 2 * share / ratio * 0.3826834)
    rise = (165 / 60_000 * boat.speed / (2600 / 60) - intake) / (0.12 * 165 / 60_000 / 1e5)
    lost = head(intake, 0.038, 0.5 + 3 * ft_Crane(0.038)) + strainer(intake, boat.strainer_cv)
    lost += hose(intake, 0.038, 2.0)
    gas = 7e3 * (boat.speed / (2600 / 60)) ** 2
    engine_side = rated(engine, boat.cooler_drop, 150 / 60_000) + rated(engine, 12e3, 150 / 60_000)
    engine_side += head(engine, 0.032, 1.0) + gas + DENSITY * GRAVITY * 0.35
    branch_side = hose(branch, 0.015875, boat.feed_length, 2) + coil(branch, boat.coil_bore, 8.0, 0.25)
    branch_side += hose(branch, 0.015875, 3.0, 2) + head(branch, 0.016, 1.0) + DENSITY * GRAVITY * boat.outlet_height
    return [
        (rise - lost - tee) / 1e3,
        (tee - to_run - engine_side) / 1e3,
        (tee - to_branch - branch_side) / 1e3,
        (intake - engine - branch) * 1e3,
    ]


def solve(boat: Boat) -> tuple[float, float, float]:
    """Flows in m3/s through the intake, the engine and the branch."""
    intake = 2.6 * boat.speed / (2600 / 60)
    branch = 0.25 * sqrt(max(boat.speed - 5, 1) / 40)
    start = [intake, intake - branch, branch, 5 + 45 * (boat.speed / (2600 / 60)) ** 2]
    flows = fsolve(residual, start, args=(boat,), xtol=1e-9)
    return flows[0] / 1e3, flows[1] / 1e3, flows[2] / 1e3
