"""Pumped lines worked in Crane TP-410, each written as a circuit with a known feed; the source stands in data/.

The feed is a `fixed_flow`: the pressure there is what a pump would have to give.
"""

from __future__ import annotations

from collections.abc import Callable, Mapping
from math import pi
from typing import Any

import pytest

from netsolve.laws.fittings import bend_90
from netsolve.result import RowResult
from netsolve.water import GRAVITY
from tests.solved import drop, solved

Inputs = Mapping[str, Any]
Compute = Callable[[Inputs], Mapping[str, Any]]

FOOT = 0.3048
MILE = 1609.344
OIL_BARREL = 0.158987294928  # m3
HORSEPOWER = 745.69987
POUND_PER_FT3 = 16.01846337  # kg/m3


def fed(flow: str, height: str, parts: str, *, density: float, viscosity: float, losses: str = "none") -> RowResult:
    """A line from a feed at no height up to a tank; density in kg/m3, viscosity in Pa s."""
    return solved(
        f"""
joints:
  feed: {{type: fixed_flow, flow: {flow}, height: 0 m}}
  tank: {{type: tank, level: {height}, losses: {losses}}}
runs:
  line:
    from: feed
    to: tank
    parts:
{parts}
""",
        water=f"{{kind: custom, density: {density} kg/m3, viscosity: {viscosity} Pa.s}}",
    )


def heavy_oil(given: Inputs) -> dict[str, float]:
    row = fed(
        f"{given['Q_oil_barrels_h'] * OIL_BARREL} m3/h",
        "0 m",
        f"""
      - pipe: {{type: tube, bore: {given["D_m"]} m, length: {given["L_m"]} m, material: steel}}
      - valve: {{type: loss, bore: {given["D_m"]} m, k: {given["K_valve"]}}}
""",
        density=given["rho"],
        viscosity=given["mu"],
    )
    return {"dp_Pa": drop(row, "pipe", "valve")}


def fuel_oil(given: Inputs) -> dict[str, float]:
    bore = given["D_m"]
    row = fed(
        f"{given['Q_gal_s'] * 60} gpm",
        "0 m",
        f"      - pipe: {{type: loss, bore: {bore} m, k: {given['f_darcy'] * given['L_m'] / bore}}}",
        density=given["rho"],
        viscosity=1e-3,
    )
    return {"dp_Pa": drop(row, "pipe")}


def widening_line(given: Inputs) -> dict[str, float]:
    """Static pressure at the start less that at the end."""
    (first, second), (near, far), factor = given["D_m"], given["L_m"], given["f_darcy"]
    row = fed(
        f"{given['Q_m3s']} m3/s",
        f"{given['dz_m']} m",
        f"""
      - first pipe: {{type: loss, bore: {first} m, k: {factor * near / first}}}
      - first elbow: {{type: loss, bore: {first} m, k: {14 * factor}}}
      - enlargement: {{type: reducer, bore_in: {first} m, bore_out: {second} m}}
      - second pipe: {{type: loss, bore: {second} m, k: {factor * far / second}}}
      - second elbow: {{type: loss, bore: {second} m, k: {14 * factor}}}
""",
        density=given["rho"],
        viscosity=1e-3,
    )
    start, end = row.joint("feed").ports["line"].pressure, row.joint("tank").ports["line"].pressure
    return {"dp_bar": ((start or 0.0) - (end or 0.0)) / 1e5}


def head_and_power(row: RowResult, efficiency: float) -> dict[str, float]:
    """What the feed's pump has to give."""
    port = row.joint("feed").ports["line"]
    power = port.flow * port.total_pressure / efficiency
    return {"head_ft": port.total_pressure / (row.water_density * GRAVITY) / FOOT, "bhp": power / HORSEPOWER}


def lifted_water(given: Inputs) -> dict[str, float]:
    """The lift check is a `loss` by Crane's formula (A-27) for a seat smaller than the line: no part is of that kind."""
    ft, beta = given["fT"], given["D_seat_in"] / given["D_in"]
    lost = 1 - beta**2
    check = (600 * ft + beta * (0.5 * lost + lost**2)) / beta**4
    bore = f"bore: {given['D_in']} in"
    row = fed(
        f"{given['Q_gpm']} gpm",
        f"{given['dz_ft']} ft",
        f"""
      - pipe: {{type: tube, {bore}, length: {given["L_ft"]} ft, roughness: {given["eps_in"]} in}}
      - gate valve: {{type: loss, {bore}, k: {8 * ft}}}
      - elbow: {{type: loss, {bore}, k: {30 * ft}, count: 4}}
      - lift check: {{type: loss, {bore}, k: {check}}}
""",
        density=given["rho_lbft3"] * POUND_PER_FT3,
        viscosity=given["mu_cP"] * 1e-3,
        losses="entrance",
    )
    return head_and_power(row, given["eff"])


def crude_line(given: Inputs) -> dict[str, float]:
    length = given["L_miles"] * MILE
    row = fed(
        f"{given['Q_oil_barrels_h'] * OIL_BARREL} m3/h",
        f"{given['dz_ft']} ft",
        f"      - pipe: {{type: tube, bore: {given['D_m']} m, length: {length} m, roughness: {given['eps_in']} in}}",
        density=given["rho_lbft3"] * POUND_PER_FT3,
        viscosity=given["mu_cP"] * 1e-3,
    )
    return head_and_power(row, given["eff"])


def flat_coil(given: Inputs) -> dict[str, float]:
    """Straight lengths by the given factor; seven returns of r/d 4, each by Crane's rule for more than 90 degrees."""
    bore, ratio = given["D_m"], given["bend_radius_over_bore"]
    quarter = float(bend_90(ratio, bore))
    half = 0.25 * pi * given["fT"] * ratio + 0.5 * quarter + quarter
    row = fed(
        f"{given['Q_Lmin']} L/min",
        "0 m",
        f"""
      - straight: {{type: loss, bore: {bore} m, k: {given["f"] * given["L_m"] / bore}}}
      - returns: {{type: loss, bore: {bore} m, k: {half}, count: {given["bends"]}}}
""",
        density=given["rho"],
        viscosity=1e-3,
    )
    return {"dp_Pa": drop(row, "straight", "returns")}


COMPUTED: dict[str, Compute] = {
    "CR-08": heavy_oil,
    "CR-09": flat_coil,
    "CR-10": fuel_oil,
    "CR-11": widening_line,
    "CR-12": lifted_water,
    "CR-13": crude_line,
}


def test_line_agrees_with_crane(compute: Compute, inputs: Inputs, key: str, expected: dict[str, Any]) -> None:
    assert compute(inputs)[key] == pytest.approx(expected["value"], rel=expected["rel_tol"])
