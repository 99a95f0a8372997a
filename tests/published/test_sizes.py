"""Standard sizes, cloth and limits against published values; each source stands in data/."""

from __future__ import annotations

from collections.abc import Callable, Mapping
from typing import Any

import pytest

from netsolve.components.hose import Hose
from netsolve.components.strainer import Strainer
from netsolve.hydraulics import velocity, velocity_pressure
from netsolve.laws.fittings import screen
from netsolve.laws.materials import DRAWN, roughness_of
from netsolve.quantities.sizes import COPPER_L, HOSE_METRIC, HOSE_RANGE, MARKET_CLOTH, NPS, SIEVE_CLOTH, open_share
from netsolve.units import read
from netsolve.water import custom_water

Inputs = Mapping[str, Any]
Compute = Callable[[Inputs], Mapping[str, Any]]

MM = 1e-3
INCH = 0.0254


def hose_ranges(given: Inputs) -> dict[str, float]:
    ranges = {name: HOSE_RANGE[name] for name in map(str, given["nominal"])}
    least = {f"min_{name}": low / MM for name, (low, _) in ranges.items()}
    return least | {f"max_{name}": high / MM for name, (_, high) in ranges.items()}


def pipe_bores(given: Inputs) -> dict[str, float]:
    return {size: NPS[size] for size in given["NPS"]}


def copper_bores(given: Inputs) -> dict[str, float]:
    return {size: COPPER_L[size] / MM for size in given["size"]}


def sieves(given: Inputs) -> dict[str, float]:
    return {f"open_{number}": open_share(*SIEVE_CLOTH[number]) for number in given["sieve"]}


def market_cloth(given: Inputs) -> dict[str, float]:
    opening, wire = MARKET_CLOTH[given["mesh_per_in"]]
    return {"opening_in": opening / INCH, "open": open_share(opening, wire)}


def exhaust_limits(given: Inputs) -> dict[str, float]:
    return {f"{engine}_kPa": read(f"{limit} inHg", "pressure").value / 1e3 for engine, limit in given["inHg"].items()}


def scale_limit(given: Inputs) -> dict[str, float]:
    return {"limit_C": read(f"{given['limit_F']} degF", "temperature").value - 273.15}


def roughness(given: Inputs) -> dict[str, float]:
    return {"drawn_tube_mm": DRAWN / MM, "commercial_steel_mm": roughness_of("steel") / MM}


def hose_roughness(given: Inputs) -> dict[str, float]:
    hose = Hose(bore=0.019, length=1.0)
    return {"plastic_mm": hose.roughness / MM, "drawn_copper_mm": roughness_of("copper") / MM}


COMPUTED: dict[str, Compute] = {
    "ST-01": hose_ranges,
    "ST-02": pipe_bores,
    "ST-03": sieves,
    "ST-04": market_cloth,
    "ST-06": scale_limit,
    "ST-07": exhaust_limits,
    "ST-08": copper_bores,
    "FI-31": roughness,
    "FI-32": hose_roughness,
}


def test_size_agrees_with_published_values(
    compute: Compute, inputs: Inputs, key: str, expected: dict[str, Any]
) -> None:
    assert compute(inputs)[key] == pytest.approx(expected["value"], rel=expected["rel_tol"])


@pytest.mark.parametrize("name", HOSE_RANGE)
def test_hose_is_taken_by_its_name_within_what_iso_1307_allows(name: str) -> None:
    low, high = HOSE_RANGE[name]
    assert low <= HOSE_METRIC[name] <= high


@pytest.mark.parametrize("mesh", list(MARKET_CLOTH))
def test_strainer_finds_the_wire_of_its_cloth_from_mesh_and_open_share(mesh: int) -> None:
    opening, wire = MARKET_CLOTH[mesh]
    liquid, bore, flow = custom_water(1000.0, 1e-3), 0.025, 2e-4
    share = open_share(opening, wire)
    k = screen(share, 1000.0 * velocity(flow, bore) * wire / 1e-3)
    strainer = Strainer(open_area_ratio=share, mesh=mesh, bore=bore)
    assert strainer.pressure_drop(flow, liquid) == pytest.approx(k * velocity_pressure(flow, bore, liquid), rel=1e-9)


def test_rubber_hose_is_as_smooth_as_published_for_smooth_rubber() -> None:
    # 0.006 to 0.07 mm: the range of FI-32's source for smooth rubber
    assert 0.006e-3 <= Hose(bore=0.019, length=1.0).roughness <= 0.07e-3
