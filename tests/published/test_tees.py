"""Losses of tees against handbooks, all on the velocity pressure of the sum; each source stands in data/.

The handbooks differ among themselves by 20 to 100 % of a branch's loss at an even split. So nothing here is pinned
closer than that: the tolerances say how far ours lies from each of them, and the why says on which side.
"""

from __future__ import annotations

from collections.abc import Callable, Mapping
from typing import Any

import numpy as np
import pytest

from netsolve.components.tee import Tee
from netsolve.hydraulics import velocity_pressure
from netsolve.water import custom_water

Inputs = Mapping[str, Any]
Compute = Callable[[Inputs], Mapping[str, Any]]

THIN = custom_water(1000.0, 1e-9)
"""So thin that only what goes with the square of the flow is left."""


def losses(straight: float, branch: float, *, branch_bore: float = 0.1, turn: float = 90.0) -> tuple[float, float]:
    """K from common to straight and to branch, flows in m3/s out of common; negative flows come in."""
    tee = Tee(bore=0.1, branch_bore=branch_bore, angle=np.radians(turn), height=0.0)
    along, off = tee.pressure_drop(np.array([straight, branch]), THIN)
    head = velocity_pressure(abs(straight + branch), 0.1, THIN)
    return float(along / head), float(off / head)


def dividing(given: Inputs) -> dict[str, float]:
    share = given["q"]
    run, branch = losses(1 - share, share, branch_bore=0.1 * given["area_ratio"] ** 0.5)
    return {"K_run": run, "K_branch": branch}


def combining(given: Inputs) -> dict[str, float]:
    """From the legs to common, so against the tee's own sense."""
    share = given["q"]
    run, branch = losses(share - 1, -share, branch_bore=0.1 * given["area_ratio"] ** 0.5)
    return {"K_run": -run, "K_branch": -branch}


def combining_flows(given: Inputs) -> dict[str, float]:
    share = given["Q_branch_Lmin"] / (given["Q_run_Lmin"] + given["Q_branch_Lmin"])
    return combining({"q": share, "area_ratio": 1.0})


def dividing_wye(given: Inputs) -> dict[str, float]:
    share = given["Q_branch_Lmin"] / (given["Q_run_Lmin"] + given["Q_branch_Lmin"])
    run, branch = losses(1 - share, share, turn=given["angle_deg"])
    return {"K_run": run, "K_branch": branch}


def small_branch(given: Inputs) -> dict[str, float]:
    """The branch's speed over the main's is its share of the flow over its share of the area."""
    area_ratio = 0.25
    found = {}
    for ratio in given["ws_over_wc"]:
        share = ratio * area_ratio
        _, branch = losses(1 - share, share, branch_bore=0.1 * area_ratio**0.5)
        found[f"z{ratio:.1f}".replace(".", "")] = branch
    return found


COMPUTED: dict[str, Compute] = {
    **dict.fromkeys((f"FI-{number}" for number in range(14, 19)), dividing),
    "FI-19": combining,
    "FI-20": small_branch,
    "CR-21": combining_flows,
    "CR-22": dividing_wye,
}


def test_tee_lies_within_the_spread_of_the_handbooks(
    compute: Compute, inputs: Inputs, key: str, expected: dict[str, Any]
) -> None:
    assert compute(inputs)[key] == pytest.approx(
        expected["value"], rel=expected["rel_tol"], abs=expected.get("abs_tol", 0)
    )
