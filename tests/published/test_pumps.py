"""Pumps worked in textbooks: speed, side by side, in line and suction, as circuits; each source stands in data/."""

from __future__ import annotations

from collections.abc import Callable, Mapping
from math import sqrt
from typing import Any

import pytest
from scipy.optimize import brentq

from netsolve.result import RowResult
from netsolve.units import read
from netsolve.water import GRAVITY, fresh_water
from tests.solved import flow, solved

Inputs = Mapping[str, Any]
Compute = Callable[[Inputs], Mapping[str, Any]]

FOOT = 0.3048
CUBIC_FOOT = FOOT**3
GPM = 3.785411784e-3 / 60
HORSEPOWER = 745.69987
PSI = 6894.757293168
POUND_PER_FT3 = 16.01846337  # kg/m3
DENSITY = 1000.0
"""Of plain water, in whose head all that is not told otherwise is reckoned."""


def head(row: RowResult, joint: str, port: str) -> float:
    """Total pressure at a port of a joint at no height, as metres of plain water."""
    return row.joint(joint).ports[port].total_pressure / (DENSITY * GRAVITY)


def pumped(pump: str, system: str, *, lift: float = 0.0) -> tuple[float, float]:
    """Flow (m3/s) of a pump through a system up to a tank (m), and the head (m) it gives."""
    row = solved(
        f"""
joints:
  well: {{type: tank, level: 0 m, losses: none}}
  outlet: {{type: manifold, height: 0 m}}
  top: {{type: tank, level: {lift} m, losses: none}}
runs:
  lifting: {{from: well, to: outlet, parts: [{pump}]}}
  system: {{from: outlet, to: top, parts: [{system}]}}
"""
    )
    return flow(row, "system"), head(row, "outlet", "system")


def centrifugal(shutoff: float, steepness: float, *, name: str = "pump", speed: float = 1.0) -> str:
    """A pump of H = shutoff - steepness Q^2, m and m3/s."""
    open_flow = sqrt(shutoff / steepness)
    curve = f"shutoff: {shutoff} m, open_flow: {open_flow} m3/s"
    return f"{name}: {{type: centrifugal_pump, {curve}, speed: {speed}, height: 0 m}}"


def loss(coefficient: float) -> str:
    """h = coefficient Q^2, m and m3/s."""
    return f"pipe: {{type: rated_loss, drop: {coefficient * 1e-6} m, at: 1 L/s}}"


def speeded(flow_at: float, head_at: float, ratio: float, *, shutoff: float) -> tuple[float, float]:
    """Flow and head at another speed, in the system in which the pump gave that flow and head (m3/s, m)."""
    pump = centrifugal(shutoff, (shutoff - head_at) / flow_at**2, speed=ratio)
    return pumped(pump, loss(head_at / flow_at**2))


def affinity(given: Inputs) -> dict[str, float]:
    """The shut-off head, 1.3 times that of the point, plays no role where the system has no lift."""
    before, after = given["N"]
    moved, raised = speeded(
        given["Q"] * GPM, given["H"] * FOOT, after / before, shutoff=given.get("H0", 1.3 * given["H"]) * FOOT
    )
    found = {"Q2": moved / GPM, "H2": raised / FOOT}
    if "P" in given:
        found["P2"] = given["P"] * found["Q2"] * found["H2"] / (given["Q"] * given["H"])
    if "H0" in given:
        _, shut = pumped(centrifugal(given["H0"] * FOOT, 1.0, speed=after / before), loss(1e12))
        found["H0_2"] = shut / FOOT
    return found


def power_by_speed(given: Inputs) -> dict[str, float]:
    slow, fast = (speeded(1e-3, 5.0, ratio, shutoff=8.0) for ratio in (1.0, given["n_ratio"]))
    return {"P_ratio": fast[0] * fast[1] / (slow[0] * slow[1])}


def together(shutoff: float, steepness: float, lift: float, system: float) -> dict[str, float]:
    """Flows (m3/s) and heads (m) of one pump, of two side by side and of two in line."""
    pump, pipe = centrifugal(shutoff, steepness), loss(system)
    found = dict(zip(("Q_single", "H_single"), pumped(pump, pipe, lift=lift), strict=True))
    second = centrifugal(shutoff, steepness, name="second pump")
    found |= zip(("Q_series", "H_series"), pumped(f"{pump}, {second}", pipe, lift=lift), strict=True)
    row = solved(
        f"""
joints:
  well: {{type: tank, level: 0 m, losses: none}}
  outlet: {{type: manifold, height: 0 m}}
  top: {{type: tank, level: {lift} m, losses: none}}
runs:
  lifting: {{from: well, to: outlet, parts: [{pump}]}}
  beside: {{from: well, to: outlet, parts: [{second}]}}
  system: {{from: outlet, to: top, parts: [{pipe}]}}
"""
    )
    return found | {"Q_parallel": flow(row, "system"), "H_parallel": head(row, "outlet", "system")}


def large_pumps(given: Inputs) -> dict[str, float]:
    unit = 1000 * GPM
    found = together(
        given["H0_ft"] * FOOT,
        given["a_pump"] * FOOT / unit**2,
        given["lift_ft"] * FOOT,
        given["a_system"] * FOOT / unit**2,
    )
    return {name: value / (unit if name.startswith("Q") else FOOT) for name, value in found.items()}


def pumps_of_two_pipes(given: Inputs) -> dict[str, float]:
    """The system's coefficient comes from its pipes, of known friction factor."""
    pipes = [
        f"pipe {place}: {{type: loss, bore: {bore} in, k: {factor * length * 12 / bore}}}"
        for place, (bore, length, factor) in enumerate(
            zip(given["D_in"], given["L_ft"], given["f_darcy"], strict=True), start=1
        )
    ]
    tried = 1.0 * CUBIC_FOOT
    row = solved(
        f"joints:\n  feed: {{type: fixed_flow, flow: {tried} m3/s, height: 0 m}}\n"
        "  far: {type: tank, level: 0 m, losses: none}\n"
        f"runs:\n  line: {{from: feed, to: far, parts: [{', '.join(pipes)}]}}"
    )
    system = head(row, "feed", "line") / tried**2
    found = together(given["H0_ft"] * FOOT, given["a_pump"] * FOOT / CUBIC_FOOT**2, given["lift_ft"] * FOOT, system)
    flows = {f"{name}_cfs": value / CUBIC_FOOT for name, value in found.items() if name.startswith("Q")}
    return flows | {"K_sys": system * CUBIC_FOOT**2 / FOOT}


def npsh(
    given: Inputs, *, lift: float, flow: str, part: str, density: float, atmosphere: float, vapour: float
) -> float:
    """Net positive suction head (m) at a pump so many m above the surface of a tank; pressures absolute, Pa."""
    surface = given.get("P_tank_psig", 0.0)
    row = solved(
        f"""
joints:
  tank: {{type: tank, level: 0 m, pressure: {surface} psi, losses: none}}
  pump inlet: {{type: fixed_flow, flow: {flow}, height: {lift} m}}
runs:
  suction: {{from: tank, to: pump inlet, parts: [pipe: {part}]}}
""",
        water=f"{{kind: custom, density: {density} kg/m3, viscosity: 1 mPa.s}}",
    )
    total = row.joint("pump inlet").ports["suction"].total_pressure
    return (total + atmosphere - vapour) / (density * GRAVITY)


def lift_from_a_pressed_tank(given: Inputs) -> dict[str, float]:
    """The vapour pressure is ours, at 60 degF."""
    available = npsh(
        given,
        lift=given["lift_ft"] * FOOT,
        flow="-1 L/s",
        part=f"{{type: rated_loss, drop: {given['loss_ft']} ft, at: 1 L/s}}",
        density=given["rho_lbft3"] * POUND_PER_FT3,
        atmosphere=given["P_atm_psi"] * PSI,
        vapour=float(fresh_water(read("60 degF", "temperature").value).vapour_pressure),
    )
    return {"NPSHa_ft": available / FOOT}


def largest_lift(given: Inputs) -> dict[str, float]:
    """The vapour pressure is ours, at 80 degF; the pipe's entrance and friction are in its K."""

    def spare(feet: float) -> float:
        available = npsh(
            given,
            lift=feet * FOOT,
            flow=f"{-given['Q_cfs'] * CUBIC_FOOT} m3/s",
            part=f"{{type: loss, bore: {given['D_in']} in, k: {given['KL']}}}",
            density=given["gamma"] * POUND_PER_FT3 * 32.174 * FOOT / GRAVITY,
            atmosphere=given["patm_psi"] * PSI,
            vapour=float(fresh_water(read("80 degF", "temperature").value).vapour_pressure),
        )
        return available / FOOT - given["NPSHr_ft"]

    return {"z_max_ft": float(brentq(spare, 0.0, 30.0, rtol=1e-6))}


def lowest_level(given: Inputs) -> dict[str, float]:
    """The tank's level at which the pump, at its height above the tank's floor, has just enough."""

    def spare(level: float) -> float:
        available = npsh(
            given,
            lift=given["zs"] - level,
            flow="-1 L/s",
            part=f"{{type: rated_loss, drop: {given['hL']} m, at: 1 L/s}}",
            density=given["rho"],
            atmosphere=given["p"],
            vapour=given["pv"],
        )
        return available - given["NPSHr"]

    return {"z1": float(brentq(spare, 0.0, 3.0, rtol=1e-6))}


def shaft_power(given: Inputs) -> dict[str, float]:
    """The feed's pressure is what the pump has to give against that lift."""
    found = {}
    for place, (lift, efficiency) in enumerate(zip(given["H_m"], given["eta"], strict=True), start=1):
        row = solved(
            f"""
joints:
  feed: {{type: fixed_flow, flow: {given["Q_m3s"]} m3/s, height: 0 m}}
  top: {{type: tank, level: {lift} m, losses: none}}
runs:
  rising: {{from: feed, to: top, parts: [bore: {{type: loss, bore: 1 m, k: 1e-9}}]}}
""",
            water=f"{{kind: custom, density: {given['rho']} kg/m3, viscosity: 1 mPa.s}}",
        )
        port = row.joint("feed").ports["rising"]
        found[f"P{place}"] = port.flow * port.total_pressure / efficiency / 1e3
    return found


def motor(given: Inputs) -> dict[str, float]:
    one = {
        "rho": given["rho_lbft3"] * POUND_PER_FT3,
        "Q_m3s": given["Q_gpm"] * GPM,
        "H_m": [given["H_ft"] * FOOT],
        "eta": [given["eta_pump"]],
    }
    return {"bhp": shaft_power(one)["P1"] * 1e3 / HORSEPOWER}


def displaced(given: Inputs) -> dict[str, float]:
    """Twice the volume in half a turn, with nothing to pump against."""
    turn = 2 * given["V_cm3"] / 0.5
    pump = f"pump: {{type: impeller_pump, rated_flow: {turn} mL/min, rated_speed: 1 rpm, speed: {given['n_rpm']} rpm}}"
    moved, _ = pumped(pump, loss(1e-9))
    return {"Q": moved * 1e6 * 60}


def power_units(given: Inputs) -> dict[str, float]:
    metric = read(f"{given['Q_Lmin']} L/min", "flow").value * read(f"{given['p_bar']} bar", "pressure").value
    us = read(f"{given['Q_gpm']} gpm", "flow").value * read(f"{given['p_psi']} psi", "pressure").value
    return {"kW": metric / 1e3, "hp": us / HORSEPOWER}


COMPUTED: dict[str, Compute] = {
    "PU-01": affinity,
    "PU-02": affinity,
    "PU-03": power_by_speed,
    "PU-04": largest_lift,
    "PU-05": lowest_level,
    "PU-07": shaft_power,
    "PU-08": displaced,
    "PU-11": power_units,
    "NW-19": large_pumps,
    "NW-20": pumps_of_two_pipes,
    "CR-18": lift_from_a_pressed_tank,
    "CR-19": motor,
}


def test_pump_agrees_with_published_answer(
    compute: Compute, inputs: Inputs, key: str, expected: dict[str, Any]
) -> None:
    assert compute(inputs)[key] == pytest.approx(expected["value"], rel=expected["rel_tol"])
