"""Single lines worked in textbooks, each written as a circuit with a known feed; each source stands in data/."""

from __future__ import annotations

from collections.abc import Callable, Mapping
from typing import Any

import pytest

from netsolve.hydraulics import area
from netsolve.result import RowResult
from netsolve.water import GRAVITY
from tests.solved import KILO, drop, solved

Inputs = Mapping[str, Any]
Compute = Callable[[Inputs], Mapping[str, Any]]


def fed(flow: float, parts: str, given: Inputs) -> RowResult:
    """A line from a feed (m3/s) at no height to a tank at no level."""
    return solved(
        f"""
joints:
  feed: {{type: fixed_flow, flow: {flow} m3/s, height: 0 m}}
  tank: {{type: tank, level: 0 m, losses: none}}
runs:
  line: {{from: feed, to: tank, parts: [{parts}]}}
""",
        water=f"{{kind: custom, density: {given['rho']} kg/m3, viscosity: {given.get('mu', 1e-3)} Pa.s}}",
    )


def needed_level(given: Inputs) -> dict[str, float]:
    """The level of the upper reservoir that drives the flow down to the lower one."""
    row = fed(
        given["Q_m3s"],
        f"pipe: {{type: tube, bore: {given['D_m']} m, length: {given['L_m']} m, roughness: {given['eps_m']} m}}, "
        f"fittings: {{type: loss, bore: {given['D_m']} m, k: {sum(given['K'])}}}",
        given,
    )
    return {"z1_m": given["z2_m"] + drop(row, "pipe", "fittings") / (given["rho"] * GRAVITY)}


def easy_widening(given: Inputs) -> dict[str, float]:
    """A cone of our reducer; the book's kinetic-energy factor of 1.06 is one here."""
    row = fed(
        given["V1_ms"] * float(area(given["D1"])),
        f"start: {{type: loss, bore: {given['D1']} m, k: 1e-9}}, cone: {{type: reducer, bore_in: {given['D1']} m, "
        f"bore_out: {given['D2']} m, style: taper, angle: {given['angle_deg']} deg}}, "
        f"far: {{type: loss, bore: {given['D2']} m, k: 1e-9}}",
        given,
    )
    cone = row.part("cone")
    rise = (cone.outlet_pressure or 0.0) - (cone.inlet_pressure or 0.0)
    return {"h_m": drop(row, "cone") / (given["rho"] * GRAVITY), "p2_kPa": given["p1_kPa"] + rise / KILO}


def sea_water_hose(given: Inputs) -> dict[str, float]:
    flow, bore = given["Q_Lmin"] / 60e3, given["D_m"]
    row = fed(
        flow, f"hose: {{type: hose, bore: {bore} m, length: {given['L_m']} m, roughness: {given['eps_m']} m}}", given
    )
    speed, lost = row.part("hose").velocity or 0.0, drop(row, "hose")
    return {
        "V": speed,
        "f": lost / (given["L_m"] / bore * given["rho"] * speed**2 / 2),
        "dp_kPa": lost / KILO,
    }


COMPUTED: dict[str, Compute] = {"NW-17": needed_level, "NW-33": sea_water_hose, "FI-07": easy_widening}


def test_line_agrees_with_published_answer(
    compute: Compute, inputs: Inputs, key: str, expected: dict[str, Any]
) -> None:
    assert compute(inputs)[key] == pytest.approx(expected["value"], rel=expected["rel_tol"])
