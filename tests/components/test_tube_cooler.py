"""Shell-and-tube coolers, held against Colebrook's friction and the 2.5 heads a pass of the handbooks."""

from __future__ import annotations

from typing import Any

import fluids
import pytest

import netsolve
from netsolve.components.tube_cooler import TubeCooler
from netsolve.hydraulics import area
from netsolve.water import custom_water

WATER = custom_water(1025.0, 1.08e-3)
BORE, LENGTH = 0.006, 0.4


def one_pass(speed: float) -> float:
    """(f L/d + 2.5) rho v^2/2. Source: Sinnott, Chemical Engineering Design, eq. 12.20 (from memory); Colebrook's f."""
    f = fluids.friction.Colebrook(1025.0 * speed * BORE / 1.08e-3, 1.5e-6 / BORE)
    return float((f * LENGTH / BORE + 2.5) * 0.5 * 1025.0 * speed**2)


def cooler(tubes: float, **more: Any) -> TubeCooler:
    return TubeCooler(tubes=tubes, bore=BORE, length=LENGTH, **more)


def test_single_pass_is_friction_and_two_and_a_half_heads() -> None:
    speed = 1.8

    assert cooler(20).pressure_drop(20 * area(BORE) * speed, WATER) == pytest.approx(one_pass(speed), rel=0.02)


def test_four_passes_have_a_quarter_of_the_tubes_and_four_times_the_way() -> None:
    speed = 1.8

    assert cooler(80, passes=4.0).pressure_drop(20 * area(BORE) * speed, WATER) == pytest.approx(
        4 * one_pass(speed), rel=0.02
    )


def test_plugged_tubes_hasten_the_water_in_the_first_pass_only() -> None:
    flow = 10 * area(BORE) * 1.5

    # Half of the first pass plugged doubles its speed; the second pass keeps its own.
    expected = one_pass(3.0) + one_pass(1.5)
    assert cooler(20, passes=2.0, plugged=5.0).pressure_drop(flow, WATER) == pytest.approx(expected, rel=0.02)


def test_it_says_how_many_tubes_are_plugged() -> None:
    assert cooler(20, passes=2.0, plugged=3.0).status(0.0, 0.0) == "3 of 10 plugged"
    assert cooler(20).status(0.0, 0.0) is None


CIRCUIT = """
format: 1
circuit: a cooler at the end of its run
joints:
  above: {type: tank, level: 2 m}
  side: {type: discharge, height: 0.2 m}
runs:
  cooling:
    from: above
    to: side
    parts:
      - hose: {type: hose, bore: 19 mm, length: 2 m}
      - cooler: {type: tube_cooler, tubes: 20, bore: 6 mm, length: 400 mm}
"""


def test_the_opening_behind_it_takes_the_bore_of_the_hose_and_not_of_one_tube() -> None:
    result = netsolve.solve(netsolve.loads(CIRCUIT))
    given = netsolve.solve(netsolve.loads(CIRCUIT.replace("0.2 m}", "0.2 m, bore: 19 mm}")))

    flows = [each["as written", "as found"].part("cooler").flow for each in (result, given)]
    assert flows[0] == pytest.approx(flows[1], rel=1e-9)


@pytest.mark.parametrize(
    ("given", "sentence"),
    [
        ({"tubes": 20, "passes": 1.5}, "tubes and passes are whole numbers"),
        ({"tubes": 2, "passes": 4.0}, "2 tubes are too few for 4 passes"),
        ({"tubes": 20, "passes": 2.0, "plugged": 10.0}, "10 plugged tubes leave none of the 10 in a pass open"),
    ],
)
def test_contradictions_are_said(given: dict[str, float], sentence: str) -> None:
    assert list(cooler(**given).check()) == [sentence]
