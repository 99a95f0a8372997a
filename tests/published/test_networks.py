"""Networks worked in textbooks, each written as a circuit and solved; each source stands in data/.

Where a book gives the friction factor, a pipe is a `loss` with K = f L/D; where it gives the roughness, a `tube`.
"""

from __future__ import annotations

from collections.abc import Callable, Mapping
from typing import Any

import pytest
from scipy.optimize import brentq

from netsolve.result import RowResult
from netsolve.water import GRAVITY
from tests.solved import KILO, LITRE, drop, flow, solved

Inputs = Mapping[str, Any]
Compute = Callable[[Inputs], Mapping[str, Any]]

HOUR = 3600.0
FOOT = 0.3048
PSI = 6894.757293168
SLUG_PER_FT3 = 515.378818  # kg/m3
LBF_S_PER_FT2 = 47.8802590  # Pa s


def water(density: float, viscosity: float) -> str:
    return f"{{kind: custom, density: {density} kg/m3, viscosity: {viscosity} Pa.s}}"


def pipe(factor: float, length: float, bore: float) -> str:
    """A pipe of known friction factor, in metres."""
    return f"{{type: loss, bore: {bore} m, k: {factor * length / bore}}}"


def tubes(given: Inputs) -> list[str]:
    """White's three pipes."""
    return [
        f"{{type: tube, length: {length} m, bore: {bore} mm, roughness: {roughness} mm}}"
        for length, bore, roughness in zip(given["L_m"], given["D_mm"], given["eps_mm"], strict=True)
    ]


def tanks(*levels: float, losses: str = "none") -> str:
    """Tanks A, B and C."""
    return "\n".join(
        f"  {name}: {{type: tank, level: {level} m, losses: {losses}}}"
        for name, level in zip("ABC", levels, strict=False)
    )


def pipes_in_series(given: Inputs) -> dict[str, float]:
    first, second, third = tubes(given)
    row = solved(
        f"""
joints:
{tanks(given["h_m"], 0)}
runs:
  line: {{from: A, to: B, parts: [first: {first}, second: {second}, third: {third}]}}
""",
        water=water(given["rho"], given["rho"] * given["nu"]),
    )
    return {"Q_m3h": flow(row, "line") * HOUR, "V1_ms": row.part("first").velocity or 0.0}


def pipes_in_parallel(given: Inputs) -> dict[str, float]:
    first, second, third = tubes(given)
    row = solved(
        f"""
joints:
{tanks(given["h_m"], 0)}
runs:
  one: {{from: A, to: B, parts: [first: {first}]}}
  two: {{from: A, to: B, parts: [second: {second}]}}
  three: {{from: A, to: B, parts: [third: {third}]}}
""",
        water=water(given["rho"], given["rho"] * given["nu"]),
    )
    hourly = {f"Q{place}_m3h": flow(row, run) * HOUR for place, run in enumerate(("one", "two", "three"), start=1)}
    return hourly | {"Q_m3h": sum(port.flow for port in row.joint("A").ports.values()) * HOUR}


def from_the_highest(levels: list[float], first: str, second: str, third: str) -> RowResult:
    """Tank A's pipe forks into those of B and C."""
    return solved(
        f"""
joints:
{tanks(*levels)}
  fork: {{type: manifold}}
runs:
  out of A: {{from: A, to: fork, parts: [first: {first}]}}
  into B: {{from: fork, to: B, parts: [second: {second}]}}
  into C: {{from: fork, to: C, parts: [third: {third}]}}
"""
    )


def three_flows(row: RowResult) -> tuple[float, float, float]:
    """Out of A, into B and into C, m3/s."""
    return flow(row, "out of A"), flow(row, "into B"), flow(row, "into C")


def three_reservoirs(given: Inputs) -> dict[str, float]:
    pipes = [pipe(given["f_darcy"], length * FOOT, given["D_ft"] * FOOT) for length in given["L_ft"]]
    flows = three_flows(from_the_highest([level * FOOT for level in given["z_ft"]], *pipes))
    return dict(zip(("QA_cfs", "QB_cfs", "QC_cfs"), (each / FOOT**3 for each in flows), strict=True))


def forked_pipe(given: Inputs) -> dict[str, float]:
    pipes = [pipe(given["f_darcy"], *sizes) for sizes in zip(given["L_m"], given["D_m"], strict=True)]
    return dict(zip(("Q1", "Q2", "Q3"), three_flows(from_the_highest(given["z_m"], *pipes)), strict=True))


def house_line(given: Inputs) -> dict[str, float]:
    """The pressure to begin with, without any loss, with that of the pipe, with all; the pipe by its roughness."""
    bore = f"bore: {given['D_ft']} ft"
    body = f"""
joints:
  main: {{type: fixed_flow, flow: {given["Q_ft3s"]} ft3/s, height: 0 m}}
  faucet mouth: {{type: discharge, height: {given["dz_ft"]} ft, bore: {given["D_outlet_in"]} in}}
runs:
  line:
    from: main
    to: faucet mouth
    parts:
      - bore of the pipe: {{type: loss, {bore}, k: 1e-9}}     # costs nothing: where nothing else is fitted, it says how fast
      - pipe: {{type: tube, {bore}, length: {given["L_ft"]} ft, roughness: {given["eps_ft"]} ft}}
      - globe valve: {{type: loss, {bore}, k: {given["K_globe"]}}}
      - elbows: {{type: loss, {bore}, k: {given["K_elbow"]}, count: {given["elbows"]}}}
      - faucet: {{type: loss, {bore}, k: {given["K_faucet"]}}}
changes:
  pipe only: {{remove: [globe valve, elbows, faucet]}}
  no loss: {{also: pipe only, remove: pipe}}
"""
    liquid = water(given["rho_slug"] * SLUG_PER_FT3, given["mu_lbf_s_ft2"] * LBF_S_PER_FT2)
    rows = {change: solved(body, water=liquid, change=change) for change in ("as found", "pipe only", "no loss")}
    pressures = {change: (row.joint("main").ports["line"].pressure or 0.0) / PSI for change, row in rows.items()}
    found = rows["as found"].part("pipe")
    speed, density = found.velocity or 0.0, rows["as found"].water_density
    factor = (found.pressure_drop or 0.0) / (given["L_ft"] / given["D_ft"] * density * speed**2 / 2)
    return {
        "no_loss_psi": pressures["no loss"],
        "pipe_only_psi": pressures["pipe only"],
        "all_psi": pressures["as found"],
        "f": factor,
    }


def between_two_tanks(given: Inputs, bores: list[float]) -> list[float]:
    """Flows in m3/s of pipes of these bores, each with an entrance and an exit."""
    runs = [
        f"  pipe {place}: {{from: A, to: B, parts: [wall {place}: {pipe(given['f_darcy'], given['L_m'], bore)}]}}"
        for place, bore in enumerate(bores)
    ]
    row = solved(f"joints:\n{tanks(given['dz_m'], 0, losses='entrance')}\nruns:\n" + "\n".join(runs))
    return [flow(row, f"pipe {place}") for place in range(len(bores))]


def parallel_with_ends(given: Inputs) -> dict[str, float]:
    first, second = between_two_tanks(given, given["D_m"])
    total = first + second
    alike = brentq(lambda bore: between_two_tanks(given, [bore])[0] - total, 0.05, 0.2, rtol=1e-6)
    return {"Q1": first, "Q2": second, "Q": total, "D_equiv_mm": float(alike) * KILO}


def four_sided_loop(given: Inputs) -> dict[str, float]:
    """A tank stands where the book draws off at D: it takes what is left over, and fixes the pressure."""
    side = f"type: rated_loss, drop: {given['r_Pa_per_Ls2']} Pa, at: 1 L/s"
    feeds = {name: amount for name, amount in given["inflow_Ls"].items() if name != "D"}
    row = solved(
        "joints:\n"
        + "".join(f"  {name}: {{type: fixed_flow, flow: {amount} L/s}}\n" for name, amount in feeds.items())
        + "  D: {type: tank, level: 0 m, losses: none}\nruns:\n"
        + "".join(
            f"  {name}: {{from: {name[0]}, to: {name[1]}, parts: [side {name}: {{{side}}}]}}\n"
            for name in ("AB", "AD", "BC", "DC")
        )
    )
    drops = {f"dp_{name}": drop(row, f"side {name}") / KILO for name in ("AD", "AB", "BC", "DC")}
    drawn = sum(port.flow for port in row.joint("D").ports.values())
    assert drawn / LITRE == pytest.approx(given["inflow_Ls"]["D"], rel=1e-6)
    return drops | {"Q_AB": flow(row, "AB") / LITRE, "Q_BC": flow(row, "BC") / LITRE}


def line_over_a_hump(given: Inputs) -> dict[str, float]:
    bore = given["D_m"]
    up, down = (pipe(given["f_darcy"], length, bore) for length in given["L_m"])
    row = solved(
        f"""
joints:
{tanks(0, losses="entrance")}
  hump: {{type: manifold, height: {given["B_above_A_m"]} m}}
  outlet: {{type: discharge, height: {-given["z_drop_m"]} m, bore: {bore} m, into: air}}
runs:
  up: {{from: A, to: hump, parts: [first: {up}]}}
  down: {{from: hump, to: outlet, parts: [second: {down}]}}
"""
    )
    pressure = row.joint("hump").ports["down"].pressure or 0.0
    return {"v_ms": row.part("first").velocity or 0.0, "pB_kPa_gauge": pressure / KILO}


def siphon(given: Inputs) -> dict[str, float]:
    up, down = (pipe(given["f_darcy"], length, given["D_m"]) for length in given["L_m"])
    row = solved(
        f"""
joints:
{tanks(given["z_source_m"], given["z_source_m"] - given["h_m"])}
  summit: {{type: manifold, height: {given["z_summit_m"]} m}}
runs:
  up: {{from: A, to: summit, parts: [first: {up}]}}
  down: {{from: summit, to: B, parts: [second: {down}]}}
""",
        water=water(given["gamma_N_m3"] / GRAVITY, 1e-3),
    )
    gauge = row.joint("summit").ports["down"].pressure or 0.0
    air = given["p_atm_m"] * given["gamma_N_m3"]
    return {"V_ms": row.part("first").velocity or 0.0, "p_summit_kPa_abs": (gauge + air) / KILO}


def three_reservoirs_of_known_k(given: Inputs) -> dict[str, float]:
    """h = K Q^2 is a rated loss: K metres at 1 m3/s."""
    pipes = [f"{{type: rated_loss, drop: {k} m, at: 1 m3/s}}" for k in given["K"]]
    row = from_the_highest(given["H_m"], *pipes)
    fork = row.joint("fork")
    head = fork.ports["into B"].total_pressure / (row.water_density * GRAVITY) + (fork.height or 0.0)
    return dict(zip(("Q1", "Q2", "Q3"), three_flows(row), strict=True)) | {"H_J": head}


COMPUTED: dict[str, Compute] = {
    "NW-01": pipes_in_series,  # from memory
    "NW-02": pipes_in_parallel,
    "NW-04": three_reservoirs,
    "NW-05": house_line,
    "NW-08": forked_pipe,
    "NW-09": parallel_with_ends,
    "NW-11": four_sided_loop,
    "NW-15": line_over_a_hump,
    "NW-16": siphon,
    "NW-18": three_reservoirs_of_known_k,
}


def test_network_agrees_with_published_answer(
    compute: Compute, inputs: Inputs, key: str, expected: dict[str, Any]
) -> None:
    assert compute(inputs)[key] == pytest.approx(expected["value"], rel=expected["rel_tol"])
