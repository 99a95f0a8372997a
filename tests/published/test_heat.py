"""Heat exchangers, mixing and warming up as textbooks work them, and own balances as circuits; sources in data/."""

from __future__ import annotations

from collections.abc import Callable, Mapping
from math import log, pi
from typing import Any

import numpy as np
import pytest

from netsolve.laws import thermal
from netsolve.result import RowResult
from tests.solved import solved

Inputs = Mapping[str, Any]
Compute = Callable[[Inputs], Mapping[str, Any]]

ZERO = 273.15
BTU, POUND, PSI, GPM = 1055.05585262, 0.45359237, 6894.757293168, 3.785411784e-3 / 60
FAHRENHEIT = 5 / 9


def effective(arrangement: str) -> Compute:
    """The effectiveness of one arrangement at each pair of transfer units and ratio."""

    def compute(given: Inputs) -> dict[str, float]:
        units, ratios = np.atleast_1d(given["NTU"]), np.atleast_1d(given.get("Cr", 0.0))
        found = thermal.ARRANGEMENTS[arrangement][0](units.astype(float), np.broadcast_to(ratios, units.shape))
        names = ["eff"] if len(found) == 1 else [f"e{place}" for place in range(1, len(found) + 1)]
        return dict(zip(names, map(float, found), strict=True))

    return compute


def condenser(given: Inputs) -> dict[str, float]:
    cold_in, cold_out = given["Tc"]
    mean = float(thermal.log_mean(given["Th"] - cold_in, given["Th"] - cold_out))
    heat = given["U"] * given["A"] * mean
    return {"LMTD": mean, "Q_kW": heat / 1e3, "m_kg_s": heat / given["cp"] / (cold_out - cold_in)}


def counterflow_heater(given: Inputs) -> dict[str, float]:
    """Length and transfer units by the effectiveness, which must meet the log mean difference."""
    cold_in, cold_out = given["Tc"]
    cold, hot = given["m_c"] * given["cp_c"] * 1e3, given["m_h"] * given["cp_h"] * 1e3
    heat = cold * (cold_out - cold_in)
    out = given["Th_in"] - heat / hot
    ua = thermal.ua_of(heat / (given["Th_in"] - cold_in), cold, hot, "counterflow")
    mean = float(thermal.log_mean(given["Th_in"] - cold_out, out - cold_in))
    assert ua == pytest.approx(heat / mean, rel=1e-6)
    return {
        "Q_kW": heat / 1e3,
        "Th_out": out,
        "LMTD": mean,
        "A_m2": ua / given["U"],
        "L_m": ua / given["U"] / (pi * given["D"]),
        "eff": float(thermal.conductance(ua, cold, hot, "counterflow")) / min(cold, hot),
        "NTU": ua / min(cold, hot),
    }


def oil_to_water_size(given: Inputs) -> dict[str, float]:
    (water_in, water_out), (oil_in, oil_out) = given["Tw"], given["To"]
    mean = float(thermal.log_mean(oil_in - water_out, oil_out - water_in))
    return {"LMTD": mean, "A_m2": given["m_w_kgmin"] / 60 * given["cp"] * (water_out - water_in) / given["U"] / mean}


def oil_in_annulus(given: Inputs) -> dict[str, float]:
    oil_in, oil_out = given["To"]
    heat = given["m_o"] * given["cp_o"] * (oil_in - oil_out)
    water_out = given["Tw_in"] + heat / (given["m_w"] * given["cp_w"])
    return {"Q_W": heat, "LMTD": float(thermal.log_mean(oil_in - water_out, oil_out - given["Tw_in"]))}


def fouled_tube(given: Inputs) -> dict[str, float]:
    inside, outside = (pi * given[bore] * given["L"] for bore in ("Di", "Do"))
    wall = log(given["Do"] / given["Di"]) / (2 * pi * given["k"] * given["L"])
    clean = 1 / (1 / (given["hi"] * inside) + wall + 1 / (given["ho"] * outside))
    ua = float(thermal.fouled(thermal.fouled(clean, inside, given["Rfi"]), outside, given["Rfo"]))
    return {"R": 1 / ua, "Ui": ua / inside, "Uo": ua / outside}


def fouled_film(given: Inputs) -> dict[str, float]:
    film = float(thermal.fouled(given["h_clean"], 1.0, given["Rf"]))
    return {"h": film, "drop_pct": 100 * (1 - film / given["h_clean"])}


def gas_cooler(given: Inputs) -> dict[str, float]:
    cold, hot = given["m_c"] * given["cp_c"], given["m_h"] * given["cp_h"]
    ua = given["U"] * given["A"]
    passed = float(thermal.conductance(ua, cold, hot, "crossflow"))
    heat = passed * (given["Th_in"] - given["Tc_in"])
    return {
        "NTU": ua / min(cold, hot),
        "eff": passed / min(cold, hot),
        "Q_W": heat,
        "Th_out": given["Th_in"] - heat / hot,
        "Tc_out": given["Tc_in"] + heat / cold,
    }


def steam_heater(given: Inputs) -> dict[str, float]:
    """The steam is mixed: it stands for the water here, the oil for the other side."""
    steam, oil = given["m_s"] * given["c_s"], given["m_oil"] * given["c_oil"]
    half = float(thermal.conductance(given["U"] * given["A"], steam, oil, "crossflow water mixed"))
    heat = half * (given["Ts_in"] - given["T_oil_in"])
    return {"eff": half / oil, "Q_drop_pct": 100 * (1 - heat / given["Q_full_W"])}


def lumped(given: Inputs) -> dict[str, float]:
    """A body whose time constant is given, in a bath: what it holds over what it passes."""
    rise, span = given["T"] - given["Ti"], given["Tinf"] - given["Ti"]
    return {"t_s": float(thermal.time_to(rise, span, 1.0, given["tau"]))}


def relieved_us(given: Inputs) -> dict[str, float]:
    flow = given["Q_gpm"] * GPM
    heat = float(thermal.hydraulic_heat(flow, given["p_psi"] * PSI, 0.0, 1.0))
    held = flow / GPM * given["lb_per_gal"] / 60 * POUND * given["cp"] * BTU / POUND / FAHRENHEIT
    return {"T_out_F": given["T_in_F"] + heat / held / FAHRENHEIT}


def relieved_si(given: Inputs) -> dict[str, float]:
    heat = float(thermal.hydraulic_heat(1.0, given["p_bar"] * 1e5, 0.0, 1.0))
    rise = heat / (given["rho"] * given["cp"])
    return {"dT_K": rise, "T_out_C": given["T_in"] + rise}


def water_of(capacity: float, temperature: float) -> str:
    return (
        f"{{kind: custom, density: 1000 kg/m3, viscosity: 1 mPa.s, heat_capacity: {capacity} J/kg/K, "
        f"temperature: {temperature} degC}}"
    )


def one_cooler(cooler: str, mass_flow: float, capacity: float, temperature: float, oil: str = "") -> RowResult:
    """A cooler fed with so many kg/s of water of density 1000."""
    return solved(
        f"""
{oil}
joints:
  feed: {{type: fixed_flow, flow: {mass_flow} L/s, height: 0 m}}
  sea: {{type: tank, level: 0 m, losses: none}}
runs:
  branch: {{from: feed, to: sea, parts: [cooler: {{type: heat_exchanger, drop: 1 kPa, at: 1 L/s, {cooler}}}]}}
""",
        water=water_of(capacity, temperature),
    )


def mixed_streams(given: Inputs) -> dict[str, float]:
    """The warmer stream is warmed by a cooler that gives heat; both meet at a manifold."""
    (much, little), (warm, cold) = given["m"], given["T"]
    heat = much * 4184 * (warm - cold)
    row = solved(
        f"""
joints:
  first: {{type: fixed_flow, flow: {much} L/s, height: 0 m}}
  second: {{type: fixed_flow, flow: {little} L/s, height: 0 m}}
  meeting: {{type: manifold, height: 0 m}}
  sea: {{type: tank, level: 0 m, losses: none}}
runs:
  hot: {{from: first, to: meeting, parts: [heater: {{type: heat_exchanger, drop: 1 kPa, at: 1 L/s, heat: {heat} W}}]}}
  cool: {{from: second, to: meeting, parts: [hose: {{type: hose, bore: 20 mm, length: 1 m}}]}}
  return: {{from: meeting, to: sea, parts: [pipe: {{type: hose, bore: 20 mm, length: 1 m}}]}}
""",
        water=water_of(4184, cold),
    )
    return {"T_mix": (row.part("pipe").inlet_temperature or 0.0) - ZERO}


def tank(given: Inputs, loss: float, temperature: float, heat: float) -> str:
    return (
        f"oils: {{tank: {{volume: {given['M']} L, density: 1000 kg/m3, heat_capacity: {given['c']} J/kg/K, "
        f"heat: {heat} W, start: {temperature} degC, air: {temperature} degC, loss: {loss} W/K, alarm: 99 degC}}}}"
    )


def warm_up(given: Inputs) -> dict[str, float]:
    """A tank that loses heat to the air; where it settles comes from a circuit."""
    oil = tank(given, given["UA"], given["Tw"], given["Q"])
    row = one_cooler("", 1.0, 4184, given["Tw"], oil)
    settled = (row.oil("tank").plateau or 0.0) - ZERO
    held = given["M"] * given["c"]
    times = np.array(given["t"], dtype=float)
    first, third = thermal.after(times, given["T0"], given["Q"], given["UA"], held)
    return {"tau_s": held / given["UA"], "T_inf": settled, "T_tau": float(first), "T_3tau": float(third)}


def coil_in_tank(given: Inputs) -> dict[str, float]:
    oil = tank({"M": 60, "c": 1900}, 0.0, given["Tw_in"], given["Q"])
    cooler = f"cools: tank, ua: {given['UA_coil']} W/K"
    row = one_cooler(cooler, given["m_sw"], given["cp"], given["Tw_in"], oil)
    settled, out = row.oil("tank").plateau or 0.0, row.part("cooler").outlet_temperature or 0.0
    passed = given["Q"] / (settled - ZERO - given["Tw_in"])
    return {
        "eff": passed / (given["m_sw"] * given["cp"]),
        "UA_eff": passed,
        "T_oil": settled - ZERO,
        "Tw_out": out - ZERO,
    }


def pickup(given: Inputs) -> dict[str, float]:
    part = one_cooler(f"heat: {given['Q']} W", given["m"], given["cp"], 15.0).part("cooler")
    return {"dT": (part.outlet_temperature or 0.0) - (part.inlet_temperature or 0.0)}


COMPUTED: dict[str, Compute] = {
    **{f"HT-{number:02}": effective("counterflow") for number in range(1, 7)},
    **{f"HT-{number:02}": effective("parallel") for number in range(7, 10)},
    "HT-10": effective("crossflow"),
    "HT-11": effective("stirred tank"),
    "HT-12": condenser,
    "HT-13": counterflow_heater,
    "HT-15": oil_to_water_size,
    "HT-16": oil_in_annulus,
    "HT-19": fouled_tube,
    "HT-20": fouled_film,
    "HT-21": gas_cooler,
    "HT-23": lumped,
    "HT-24": mixed_streams,
    "HT-25": warm_up,
    "HT-26": coil_in_tank,
    "HT-30": pickup,
    "HT-32": steam_heater,
    "PU-12": relieved_us,
    "PU-13": relieved_si,
}


def test_heat_agrees_with_published_answer(
    compute: Compute, inputs: Inputs, key: str, expected: dict[str, Any]
) -> None:
    assert compute(inputs)[key] == pytest.approx(expected["value"], rel=expected["rel_tol"])
