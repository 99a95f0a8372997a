"""Standard sizes against other statements of the same standards."""

from __future__ import annotations

from typing import Any

import pytest
from fluids.piping import nearest_pipe

from netsolve.quantities import sizes
from netsolve.units import read

INCH = 0.0254

# Outside diameters of ISO 4200 / EN 10255, mm, from memory; walls of the medium series, EN 10255.
MEDIUM_PIPE = {
    "1/4": (13.5, 2.3),
    "3/8": (17.2, 2.3),
    "1/2": (21.3, 2.6),
    "3/4": (26.9, 2.6),
    "1": (33.7, 3.2),
    "1-1/4": (42.4, 3.2),
    "1-1/2": (48.3, 3.2),
    "2": (60.3, 3.6),
}


@pytest.mark.parametrize("name", sizes.NPS)
def test_nps_bore_is_that_of_schedule_40(name: str) -> None:
    # Source: the table of ASME B36.10M in `fluids`.
    size: Any = read(name, "number").value  # typed as a whole number there
    _, bore, _, _ = nearest_pipe(NPS=size, schedule="40")
    assert sizes.NPS[name] == pytest.approx(bore, abs=1e-6)


@pytest.mark.parametrize("name", MEDIUM_PIPE)
def test_bsp_bore_is_outside_less_two_walls(name: str) -> None:
    outside, wall = MEDIUM_PIPE[name]
    assert sizes.BSP[name] == pytest.approx((outside - 2 * wall) / 1000, abs=1e-9)


def test_every_bsp_size_is_checked() -> None:
    assert set(sizes.BSP) == set(MEDIUM_PIPE)


@pytest.mark.parametrize("name", sizes.HOSE_INCH)
def test_inch_hose_has_the_bore_it_is_named_after(name: str) -> None:
    assert sizes.HOSE_INCH[name] == pytest.approx(read(f"{name} in", "length").value, rel=1e-12)


@pytest.mark.parametrize("name", sizes.HOSE_METRIC)
def test_metric_hose_has_the_bore_it_is_named_after(name: str) -> None:
    assert sizes.HOSE_METRIC[name] == pytest.approx(read(f"{name} mm", "length").value, rel=1e-12)


@pytest.mark.parametrize(
    "table", [sizes.NPS, sizes.BSP, sizes.HOSE_INCH, sizes.HOSE_METRIC], ids=["NPS", "BSP", "inch", "metric"]
)
def test_sizes_rise_in_order(table: dict[str, float]) -> None:
    bores = list(table.values())
    assert bores == sorted(set(bores))
