"""Orifice meters against published values: flows through our orifice; each source stands in data/.

A meter is read between taps by the plate, while our orifice loses what is left after the jet has filled the pipe
again. ISO 5167-2, 5.4 says which share of the reading that is.
"""

from __future__ import annotations

from collections.abc import Callable, Mapping
from typing import Any

import pytest
from scipy.optimize import brentq

from netsolve.components.orifice import Orifice
from netsolve.hydraulics import area
from netsolve.water import GRAVITY, custom_water

Inputs = Mapping[str, Any]
Compute = Callable[[Inputs], Mapping[str, Any]]

CUBIC_METRE_PER_SECOND_OF_GPM = 3.785411784e-3 / 60


def metered(bore: float, hole: float, reading: float, *, density: float, cd: float) -> float:
    """Flow (m3/s) at which our orifice loses what a reading between the taps (Pa) leaves lost in the end."""
    beta_4 = (hole / bore) ** 4
    root = (1 - beta_4 * (1 - cd**2)) ** 0.5
    lost = reading * (root - cd * beta_4**0.5) / (root + cd * beta_4**0.5)
    orifice, liquid = Orifice(bore=hole, hose_bore=bore, cd=cd), custom_water(density, 1e-9)
    return float(brentq(lambda flow: float(orifice.pressure_drop(flow, liquid)) - lost, 1e-6, 1.0, rtol=1e-10))


def mercury(height: float, density: float, mercury_density: float) -> float:
    """Pressure in Pa that a height of mercury under the liquid shows."""
    return height * GRAVITY * (mercury_density - density)


def crane_meter(given: Inputs) -> dict[str, float]:
    reading = mercury(given["h_Hg_in"] * 0.0254, given["rho"], given["rho_Hg"])
    flow = metered(given["D_m"], given["Do_m"], reading, density=given["rho"], cd=given["C"])
    coefficient = flow / area(given["Do_m"]) / (2 * reading / given["rho"]) ** 0.5
    return {"flow_coeff": float(coefficient), "Q_gpm": flow / CUBIC_METRE_PER_SECOND_OF_GPM}


def crane_plate(given: Inputs) -> dict[str, float]:
    flow = metered(given["D_m"], given["Do_m"], given["dp_Pa"], density=given["rho"], cd=given["C"])
    return {"Q_Lmin": flow * 60e3}


def methanol(given: Inputs) -> dict[str, float]:
    reading = mercury(given["h_Hg_m"], given["rho"], given["rho_Hg"])
    flow = metered(given["D"], given["Do"], reading, density=given["rho"], cd=given["Cd"])
    return {"Q": flow, "V": flow / float(area(given["D"]))}


def assumed_coefficient(given: Inputs) -> dict[str, float]:
    return {"C": Orifice(bore=given["Do"], hose_bore=given["D"]).cd}


COMPUTED: dict[str, Compute] = {
    "CR-15": crane_meter,
    "CR-17": crane_plate,
    "FI-29": assumed_coefficient,
    "FI-30": methanol,
}


def test_orifice_agrees_with_published_values(
    compute: Compute, inputs: Inputs, key: str, expected: dict[str, Any]
) -> None:
    assert compute(inputs)[key] == pytest.approx(expected["value"], rel=expected["rel_tol"])
