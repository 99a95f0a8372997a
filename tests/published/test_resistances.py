"""Networks of known resistances, h = r Q^n, written as circuits of rated losses; each source stands in data/.

Every run of a circuit has a further 0.1 Pa at 1 L/s by the solver, which the tolerances allow for.
"""

from __future__ import annotations

from collections.abc import Callable, Mapping
from typing import Any

import pytest
from scipy.optimize import brentq

from netsolve.result import RowResult
from tests.solved import KILO, LITRE, drop, flow, solved

Inputs = Mapping[str, Any]
Compute = Callable[[Inputs], Mapping[str, Any]]

SMALL = 0.01
"""The flow at which the losses are rated, so small that their straight beginning plays no role."""


def resistance(r: float, n: float = 2.0, *, pressure: str = "kPa") -> str:
    """A part that takes r at 1 L/s and grows with the n-th power."""
    return f"{{type: rated_loss, drop: {r * SMALL**n} {pressure}, at: {SMALL} L/s, exponent: {n}}}"


def tank(head: float, pressure: str = "kPa") -> str:
    return f"{{type: tank, level: 0 m, pressure: {head} {pressure}, losses: none}}"


def runs(parts: Mapping[str, str]) -> str:
    """Runs called by the two joints they lead between, such as AB or c-f."""
    return "runs:\n" + "\n".join(
        f"  {name}: {{from: {name[0]}, to: {name.strip('12')[-1]}, direction: either, parts: [path {name}: {part}]}}"
        for name, part in parts.items()
    )


def draw(amount: float) -> str:
    return f"{{type: fixed_flow, flow: {-amount} L/s, height: 0 m}}"


def head(row: RowResult, joint: str) -> float:
    """Total gauge pressure at a joint, kPa."""
    (pressure,) = {round(port.total_pressure, 6) for port in row.joint(joint).ports.values()}
    return pressure / KILO


def two_loops(given: Inputs) -> dict[str, float]:
    """A tank stands at A, where all the water comes in: it fixes the pressure."""
    draws = "".join(f"  {name}: {draw(amount)}\n" for name, amount in given["outflow"].items())
    parts = {name: resistance(r, given["n"]) for name, r in given["r"].items()}
    row = solved(f"joints:\n  A: {tank(0)}\n{draws}{runs(parts)}")
    fed = sum(port.flow for port in row.joint("A").ports.values())
    assert fed / LITRE == pytest.approx(given["inflow_A"], rel=1e-6)
    return {name: flow(row, name) / LITRE for name in parts}


LADDER = {"2": "ad", "3": "ab", "4": "be", "5": "bc", "6": "cf1", "7": "cf2", "8": "fe", "9": "ed"}


def ladder(given: Inputs) -> dict[str, float]:
    """The flows do not depend on friction factor, density and bore, as these are alike everywhere."""
    parts = {name: resistance(given["L_m"][duct] * 1e-2) for duct, name in LADDER.items()}
    joints = "".join(f"  {name}: {{type: manifold, height: 0 m}}\n" for name in "bcef")
    feed = f"{{type: fixed_flow, flow: {given['Q1'] * KILO} L/s, height: 0 m}}"
    row = solved(f"joints:\n  a: {feed}\n  d: {tank(0)}\n{joints}{runs(parts)}")
    return {f"Q{duct}": flow(row, LADDER[duct]) for duct in "234567"}


def balanced_bridge(given: Inputs) -> dict[str, float]:
    joints = "".join(f"  {name}: {{type: manifold, height: 0 m}}\n" for name in "BD")
    parts = {name: resistance(r) for name, r in given["r"].items()}
    row = solved(f"joints:\n  A: {tank(given['H_A'])}\n  C: {tank(given['H_C'])}\n{joints}{runs(parts)}")
    flows = {f"Q_{name}": flow(row, name) / LITRE for name in parts}
    total = sum(port.flow for port in row.joint("A").ports.values()) / LITRE
    return flows | {"H_B": head(row, "B"), "H_D": head(row, "D"), "Q_total": total}


def held_by_a_check_valve(given: Inputs) -> dict[str, float]:
    valve = "{type: check_valve, style: swing, bore: 100 mm, cracking: 0 kPa, k: 1e-6}"
    row = solved(
        f"""
joints:
  A: {tank(given["H_A"])}
  B: {tank(given["H_B"])}
  J: {draw(given["demand_J"])}
runs:
  AJ: {{from: A, to: J, parts: [path A: {resistance(given["r_A"])}]}}
  BJ: {{from: B, to: J, parts: [valve: {valve}, path B: {resistance(given["r_B"])}]}}
"""
    )
    return {"Q_A": flow(row, "AJ") / LITRE, "Q_B": flow(row, "BJ") / LITRE, "H_J": head(row, "J")}


def equivalents(given: Inputs) -> dict[str, float]:
    """What 1 L/s costs in line and side by side."""
    line = ", ".join(f"path {r:.0f}: {resistance(r)}" for r in given["r"])
    row = solved(
        f"joints:\n  A: {tank(0)}\n  B: {draw(1)}\n  C: {draw(1)}\nruns:\n"
        f"  line: {{from: A, to: B, parts: [{line}]}}\n"
        + "\n".join(f"  beside {r:.0f}: {{from: A, to: C, parts: [side {r:.0f}: {resistance(r)}]}}" for r in given["r"])
    )
    return {"series": -head(row, "B"), "parallel": -head(row, "C")}


def pipes(given: Inputs, *, bore: float, length: float) -> tuple[float, float, float]:
    """Drops in Pa of 0.1 m3/s in line, in one pipe of that bore and length (m), and side by side; one factor for all."""
    books = [(metres, centimetres / 100) for metres, centimetres in zip(given["L_m"], given["D_cm"], strict=True)]
    written = [f"{{type: loss, bore: {each} m, k: {0.02 * metres / each}}}" for metres, each in books]
    one = f"{{type: loss, bore: {bore} m, k: {0.02 * length / bore}}}"
    row = solved(
        f"joints:\n  A: {tank(0)}\n" + "".join(f"  {name}: {draw(100)}\n" for name in "BCD") + "runs:\n"
        f"  line: {{from: A, to: B, parts: [{', '.join(f'pipe {n}: {part}' for n, part in enumerate(written))}]}}\n"
        f"  one: {{from: A, to: C, parts: [pipe: {one}]}}\n"
        + "\n".join(f"  side {n}: {{from: A, to: D, parts: [beside {n}: {part}]}}" for n, part in enumerate(written))
    )
    return -head(row, "B"), -head(row, "C"), -head(row, "D")


def equivalent_pipes(given: Inputs) -> dict[str, float]:
    whole = sum(given["L_m"])

    def too_narrow(bore: float) -> float:
        series, one, _ = pipes(given, bore=bore, length=whole)
        return one - series

    series, kilometre_of_40, _ = pipes(given, bore=0.4, length=1000.0)
    _, kilometre_of_50, beside = pipes(given, bore=0.5, length=1000.0)
    return {
        "Le_for_40cm_m": 1000 * series / kilometre_of_40,
        "De_for_3600m_cm": float(brentq(too_narrow, 0.3, 0.5, rtol=1e-6)) * 100,
        "Le_parallel_50cm_m": 1000 * beside / kilometre_of_50,
    }


def balancing_valve(given: Inputs) -> dict[str, float]:
    """The K that makes the flows of both pipes alike."""
    first, second = (
        f"{{type: loss, bore: {given['D' + name]} m, k: {given['f' + name] * given['L' + name] / given['D' + name]}}}"
        for name in "ab"
    )

    def uneven(k: float) -> float:
        valve = f"{{type: loss, bore: {given['Da']} m, k: {k}}}"
        row = solved(
            f"joints:\n  A: {tank(50)}\n  B: {tank(0)}\nruns:\n"
            f"  one: {{from: A, to: B, parts: [pipe a: {first}, valve: {valve}]}}\n"
            f"  two: {{from: A, to: B, parts: [pipe b: {second}]}}"
        )
        return flow(row, "one") - flow(row, "two")

    return {"K_L": float(brentq(uneven, 1.0, 100.0, rtol=1e-8))}


def rejoining_branch(given: Inputs) -> dict[str, float]:
    """A branch teed off the main and led back to it, with the check valve where one is given."""
    crack = given.get("crack_kPa")
    valve = f"valve: {{type: check_valve, style: spring, bore: 20 mm, cracking: {crack} kPa, k: 1e-6}}, "
    row = solved(
        f"""
joints:
  A: {draw(-given["Q_Ls"])}
  off: {{type: manifold, height: 0 m}}
  on: {{type: manifold, height: 0 m}}
  B: {tank(0)}
runs:
  feed: {{from: A, to: off, parts: [first: {resistance(1)}]}}
  main: {{from: off, to: on, parts: [cooler: {resistance(given["k_main"])}]}}
  branch: {{from: off, to: on, parts: [{valve if crack else ""}coil: {resistance(given["k_branch"])}]}}
  overboard: {{from: on, to: B, parts: [last: {resistance(1)}]}}
"""
    )
    found = {"Q_branch": flow(row, "branch") / LITRE, "Q_main": flow(row, "main") / LITRE}
    return found | {"dp": drop(row, "cooler") / KILO} | ({"dp_valve_kPa": drop(row, "valve") / KILO} if crack else {})


COMPUTED: dict[str, Compute] = {
    "NW-21": ladder,
    "NW-22": two_loops,
    "NW-24": two_loops,
    "NW-25": balanced_bridge,
    "NW-26": held_by_a_check_valve,
    "NW-27": equivalents,
    "NW-28": equivalent_pipes,
    "NW-29": balancing_valve,
    "NW-30": rejoining_branch,
    "NW-32": rejoining_branch,
}


def test_network_of_resistances_splits_as_it_should(
    compute: Compute, inputs: Inputs, key: str, expected: dict[str, Any]
) -> None:
    assert compute(inputs)[key] == pytest.approx(
        expected["value"], rel=expected["rel_tol"], abs=expected.get("abs_tol", 0)
    )
