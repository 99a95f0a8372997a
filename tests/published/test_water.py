"""Properties of sea and fresh water against published values; each source stands in data/."""

from __future__ import annotations

from collections.abc import Callable, Mapping
from typing import Any

import numpy as np
import pytest

from netsolve.laws.glycol import glycol_water
from netsolve.water import Water, fresh_water, sea_water

Inputs = Mapping[str, Any]
Compute = Callable[[Inputs], Mapping[str, Any]]

PSS_78 = 35.16504 / 35.0
"""g/kg of reference composition for one unit of practical salinity. Source: Millero et al. (2008)."""


def viscosity_and_density(water: Water) -> dict[str, Any]:
    return {"rho": water.density, "mu": water.viscosity, "nu": water.viscosity / water.density}


def standard_sea(given: Inputs) -> dict[str, Any]:
    return viscosity_and_density(sea_water(given["t_C"] + 273.15, given["S_A_gkg"]))


def fresh(given: Inputs) -> dict[str, Any]:
    found: dict[str, Any] = {}
    for celsius in given["t_C"]:
        values = viscosity_and_density(fresh_water(celsius + 273.15))
        found |= {f"{name}{celsius}": value for name, value in values.items()}
    return found


def vapour_pressures(given: Inputs) -> dict[str, Any]:
    kelvin = given["t_C"] + 273.15
    return {
        "pv_fresh": fresh_water(kelvin).vapour_pressure,
        "pv_sea": sea_water(kelvin, given["S_gkg"]).vapour_pressure,
    }


def eos_80(given: Inputs) -> dict[str, Any]:
    found: dict[str, Any] = {}
    for salinity, celsius in given["S_t"]:
        kelvin = celsius + 273.15
        water = sea_water(kelvin, salinity * PSS_78) if salinity else fresh_water(kelvin)
        found[f"r{salinity}_{celsius}"] = water.density
    return found


def sea_heat_capacity(given: Inputs) -> dict[str, Any]:
    return {"cp": sea_water(given["t"] + 273.15, given["S"] * PSS_78).heat_capacity}


def standard_heat_capacity(given: Inputs) -> dict[str, Any]:
    celsius = np.array(given["t_C"], dtype=float)
    capacities = np.atleast_1d(sea_water(celsius + 273.15, 35.16504).heat_capacity)
    return {f"cp{t}": value for t, value in zip(given["t_C"], capacities, strict=True)}


def sharqawy(given: Inputs) -> dict[str, Any]:
    water = sea_water(given["t_C"] + 273.15, 1000.0 * given["S_kgkg"])
    return {"rho": water.density, "mu": water.viscosity, "cp": water.heat_capacity}


def room_viscosity(given: Inputs) -> dict[str, Any]:
    return {"m1": fresh_water(given["T_rho"][0][0]).viscosity}


def room_conductivity(given: Inputs) -> dict[str, Any]:
    return {"k": fresh_water(given["T"]).conductivity}


def saturation(given: Inputs) -> dict[str, Any]:
    return {"ps300": fresh_water(given["T"]).vapour_pressure / 1e6}


def below_the_surface(given: Inputs) -> dict[str, Any]:
    """Ours is at one atmosphere, and takes the conservative temperature for the plain one."""
    points = given["SA_CT_p"]
    return {f"rho{place}": sea_water(t + 273.15, s).density for place, (s, t, _) in enumerate(points)}


def density_at_one_bar(given: Inputs) -> dict[str, Any]:
    return {"rho": fresh_water(given["T"]).density}


def salty_sea(given: Inputs) -> dict[str, Any]:
    return {"rho": sea_water(given["T"], 1000 * given["S"]).density}


def ethylene_glycol(given: Inputs) -> dict[str, Any]:
    found: dict[str, Any] = {}
    for share in given["w"]:
        mixture, name = glycol_water("ethylene", share, given["t_C"] + 273.15), round(100 * share)
        found |= {f"rho{name}": mixture.density, f"mu{name}": mixture.viscosity, f"cp{name}": mixture.heat_capacity}
    return found


COMPUTED: dict[str, Compute] = {
    **dict.fromkeys((f"FP-{number:02d}" for number in range(1, 7)), standard_sea),
    "FP-08": fresh,
    "FP-09": vapour_pressures,
    "FP-10": below_the_surface,
    "FP-11": eos_80,
    "FP-12": sea_heat_capacity,
    "FP-13": standard_heat_capacity,
    "FP-14": sharqawy,
    "FP-15": room_viscosity,
    "FP-16": density_at_one_bar,
    "FP-17": saturation,
    "FP-18": room_conductivity,
    "FP-19": salty_sea,
    "FP-20": ethylene_glycol,
}


def test_water_agrees_with_published_values(
    compute: Compute, inputs: Inputs, key: str, expected: dict[str, Any]
) -> None:
    assert compute(inputs)[key] == pytest.approx(expected["value"], rel=expected["rel_tol"])
