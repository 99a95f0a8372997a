"""Loss coefficients against published values; each source stands in data/."""

from __future__ import annotations

from collections.abc import Callable, Mapping
from typing import Any

import numpy as np
import pytest

from netsolve.hydraulics import area, velocity, velocity_pressure
from netsolve.laws.fittings import (
    ENTRANCE_PROJECTING,
    ENTRANCE_SHARP,
    EXIT,
    bend_90,
    contraction,
    cv_coefficient,
    enlargement,
    ft,
    kv_coefficient,
    perforated_plate,
    screen,
    taper_contraction,
    taper_enlargement,
)
from netsolve.water import custom_water

Inputs = Mapping[str, Any]
Compute = Callable[[Inputs], Mapping[str, Any]]

WATER = custom_water(999.0, 1.138e-3)


def crane_turbulent_factor(given: Inputs) -> dict[str, Any]:
    bores = np.array(given["D_m"])
    return {f"fT_{bore * 1e3:.1f}mm": factor for bore, factor in zip(bores, np.atleast_1d(ft(bores)), strict=True)}


def y_globe(given: Inputs) -> dict[str, Any]:
    return {"K": kv_coefficient(given["Kv_m3h"], WATER) / velocity_pressure(1.0, given["D_m"], WATER)}


def kv_to_cv(given: Inputs) -> dict[str, Any]:
    return {"Cv": given["Kv"] * np.sqrt(cv_coefficient(1.0, WATER) / kv_coefficient(1.0, WATER))}


def cv_to_k(given: Inputs) -> dict[str, Any]:
    return {"K": cv_coefficient(given["Cv"], WATER) / velocity_pressure(1.0, given["D_m"], WATER)}


def sudden_enlargement_example(given: Inputs) -> dict[str, Any]:
    flow, water = given["Q_Lmin"] / 60e3, custom_water(given["rho"], 1e-3)
    before = velocity_pressure(flow, given["D1_m"], water)
    after = velocity_pressure(flow, given["D2_m"], water)
    lost = enlargement(given["D1_m"] / given["D2_m"]) * before
    return {"p2_kPa": given["p1_kPa"] + (before - after - lost) / 1e3}


def sudden_enlargement(given: Inputs) -> dict[str, Any]:
    beta = given["beta"]
    small = enlargement(beta)
    return {"K_small": small, "K_on_large": small * (area(1.0) / area(beta)) ** 2}


def sudden_contraction(given: Inputs) -> dict[str, Any]:
    return {"K_crane": contraction(given["D2"] / given["D1"])}


def ends(given: Inputs) -> dict[str, Any]:
    return {"sharp_Crane": ENTRANCE_SHARP, "reentrant_Crane": ENTRANCE_PROJECTING, "exit": EXIT}


def bends(given: Inputs) -> dict[str, Any]:
    return {f"K_over_fT_{ratio}": bend_90(ratio, 0.05) / ft(0.05) for ratio in given["rD"]}


def equivalent_lengths(given: Inputs) -> dict[str, Any]:
    lengths = {"K90": 30.0, "K45": 16.0, "Trun": 20.0, "Tbranch": 60.0}
    return {name: length * ft(given["D_m"]) for name, length in lengths.items()}


def plates(given: Inputs) -> dict[str, Any]:
    return {f"z{share}": perforated_plate(share) for share in given["open_fraction"]}


def woven_screens(given: Inputs) -> dict[str, Any]:
    return {f"z{share}": screen(share, 1000.0) for share in given["open_fraction"]}


def round_wires(given: Inputs) -> dict[str, Any]:
    return {"K": screen(given["alpha"], given["Re"])}


def angle_valve(given: Inputs) -> dict[str, Any]:
    """150 fT, and the length of pipe of the same loss where the flow is wholly turbulent."""
    bore = given["D_m"]
    length = given["K_printed"] / ft(bore) * bore
    kv = np.sqrt(kv_coefficient(1.0, WATER) / velocity_pressure(1.0, bore, WATER) / given["K_printed"])
    return {"K": given["N"] * ft(bore), "Kv_m3h": kv, "L_m": length}


def venturi_gate_valve(given: Inputs) -> dict[str, Any]:
    """8 fT and both cones in the seat, brought to the pipe."""
    beta, angle = given["D_seat_m"] / given["D_pipe_m"], np.radians(given["angle_deg"])
    cones = taper_contraction(beta, angle) + taper_enlargement(beta, angle)
    k = (8 * given["fT"] + cones) / beta**4
    return {"K2": k, "L_m": k / given["fT"] * given["D_pipe_m"]}


def lift_check_valve(given: Inputs) -> dict[str, Any]:
    """600 fT and Crane's share of both steps of bore in the seat, brought to the pipe."""
    beta, flow = given["D_seat_m"] / given["D_pipe_m"], given["Q_Lmin"] / 60e3
    k = (600 * given["fT"] + beta * (contraction(beta) + enlargement(beta))) / beta**4
    return {"K2": k, "dp_Pa": k * velocity_pressure(flow, given["D_pipe_m"], custom_water(given["rho"], 1e-3))}


def speeds_of_a_lift_check(given: Inputs) -> dict[str, Any]:
    flow = given["Q_Lmin"] / 60e3
    return {"v_valve_ms": velocity(flow, given["D_seat_m"]), "v_pipe_ms": velocity(flow, given["D_pipe_m"])}


def control_valve(given: Inputs) -> dict[str, Any]:
    """The Cv, or the Kv, that takes the flow at the pressure."""
    if "Q_gpm" in given:
        liquid, flow = custom_water(999.0 * given["SG"], 1e-3), given["Q_gpm"] * 3.785411784e-3 / 60
        return {"Cv": flow * np.sqrt(cv_coefficient(1.0, liquid) / (given["dp_psi"] * 6894.757293168))}
    liquid, flow = custom_water(999.0 * given["SG"], 1e-3), given["Q_m3h"] / 3600
    return {"Kv": flow * np.sqrt(kv_coefficient(1.0, liquid) / (given["dp_bar"] * 1e5))}


def projecting_entrance(given: Inputs) -> dict[str, Any]:
    return {"K": ENTRANCE_PROJECTING}


def grill(given: Inputs) -> dict[str, Any]:
    return {"K": perforated_plate(given["alpha"])}


COMPUTED: dict[str, Compute] = {
    "FR-26": crane_turbulent_factor,
    "CR-01": y_globe,
    "CR-02": angle_valve,
    "CR-03": venturi_gate_valve,
    "CR-04": lift_check_valve,
    "CR-05": speeds_of_a_lift_check,
    "CR-16": control_valve,
    "FI-01": kv_to_cv,
    "FI-02": cv_to_k,
    "FI-03": control_valve,
    "FI-06": sudden_enlargement_example,
    "FI-08": sudden_enlargement,
    "FI-09": sudden_contraction,
    "FI-10": ends,
    "FI-11": projecting_entrance,
    "FI-12": bends,
    "FI-13": equivalent_lengths,
    "FI-21": plates,
    "FI-22": woven_screens,
    "FI-23": round_wires,
    "FI-24": grill,
}


def test_fittings_agree_with_published_values(
    compute: Compute, inputs: Inputs, key: str, expected: dict[str, Any]
) -> None:
    assert compute(inputs)[key] == pytest.approx(expected["value"], rel=expected["rel_tol"])
