"""Loss coefficients against published values; each source stands in data/."""

from __future__ import annotations

from collections.abc import Callable, Mapping
from typing import Any

import numpy as np
import pytest

from netsolve.fittings import (
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
)
from netsolve.hydraulics import area, velocity_pressure
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


COMPUTED: dict[str, Compute] = {
    "FR-26": crane_turbulent_factor,
    "CR-01": y_globe,
    "FI-01": kv_to_cv,
    "FI-02": cv_to_k,
    "FI-06": sudden_enlargement_example,
    "FI-08": sudden_enlargement,
    "FI-09": sudden_contraction,
    "FI-10": ends,
    "FI-12": bends,
    "FI-13": equivalent_lengths,
    "FI-21": plates,
    "FI-22": woven_screens,
    "FI-23": round_wires,
}


def test_fittings_agree_with_published_values(
    compute: Compute, inputs: Inputs, key: str, expected: dict[str, Any]
) -> None:
    assert compute(inputs)[key] == pytest.approx(expected["value"], rel=expected["rel_tol"])
