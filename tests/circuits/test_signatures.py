"""The signs that faults leave: what they do to branch, tee pressure, pump vacuum and engine flow of the reference diesel.

Source: sums made once by a separate script on the same circuit, at cruise, in per cent of the sound one; common
practice for such a boat, no published source. The signs must be right, the figures within five points.
"""

from __future__ import annotations

import math
from pathlib import Path

import pytest

import netsolve
from netsolve.result import Result, RowResult
from tests.circuits.test_reference import BEFORE_THE_TEE, CHANGES, ON_THE_BRANCH

FOLDER = Path(__file__).parents[2] / "circuits"
GPM = 3.785411784e-3 / 60
POINTS = 5
LITTLE = 3
"""Per cent: what no gauge on board tells from no change."""

MORE = """
  check valve backwards:  {fit: swing check, set: {swing check.backwards: yes}}
  scale of half a millimetre: {set: {coil.bore: 12.8 mm}}
  scale of a millimetre:  {set: {coil.bore: 11.8 mm}}
"""

SIGNS = {
    "plug with a 6 mm hole": (-46, 8, 0, 5),
    "plug with a 5 mm hole": (-59, 10, 0, 7),
    "plug with a 4 mm hole": (-72, 12, 0, 8),
    "check valve backwards": (-100, 17, 0, 11),
    "three quarters blinded": (-26, 4, 0, 3),
    "main strainer of Cv 15": (-4, -6, 294, -4),  # the vacuum goes from 7.0 to 27.6 kPa
    "worn impeller": (-25, -37, -47, -29),
    "coolers fouled threefold": (29, 53, -6, -7),
    "elbow clogged fourfold": (22, 40, -4, -5),
}
"""Change of branch flow, tee pressure, vacuum at the pump, engine flow, per cent."""

SCALED = {"scale of half a millimetre": (-12, 1.5), "scale of a millimetre": (-24, 2.2)}
"""Change of branch flow, per cent, and how many times the coil's resistance."""

INDEX = {"plug with a 6 mm hole": 4.6, "plug with a 5 mm hole": 8.4, "plug with a 4 mm hole": 19}
"""Drop over the square of the flow, of the coil with its ends and what is stuck in it, beside that of the clean one."""


@pytest.fixture(scope="module")
def result() -> Result:
    text = (FOLDER / "reference_diesel.yaml").read_text(encoding="utf-8")
    for before, parts in (("      - small strainer:", ON_THE_BRANCH), ("  engine:\n", BEFORE_THE_TEE)):
        text = text.replace(before, f"{parts.strip(chr(10))}\n{before}")
    return netsolve.solve(netsolve.loads(text + CHANGES + MORE), conditions=["cruise"])


def signs(row: RowResult) -> tuple[float, float, float, float]:
    """Branch flow, tee pressure, vacuum and engine flow, SI."""
    pump = row.part("raw-water pump")
    speed = (pump.flow or 0.0) / (math.pi / 4 * 0.0381**2)
    vacuum = -((pump.inlet_pressure or 0.0) + 1025 * speed**2 / 2)
    tee = row.joint("take-off").ports["engine"].total_pressure
    return row.run("branch").flow or 0.0, tee, vacuum, row.run("engine").flow or 0.0


def changes(result: Result, change: str) -> list[float]:
    sound, faulty = (signs(result["cruise", each]) for each in ("as found", change))
    return [100 * (after / before - 1) for before, after in zip(sound, faulty, strict=True)]


@pytest.mark.parametrize("change", SIGNS)
def test_a_fault_leaves_the_signs_that_are_known_of_it(result: Result, change: str):
    found = changes(result, change)
    for expected, each in zip(SIGNS[change], found, strict=True):
        assert abs(each) < LITTLE if expected == 0 else each * expected > 0
        assert expected == pytest.approx(each, abs=POINTS)


@pytest.mark.parametrize("change", SCALED)
def test_scale_all_along_the_coil_is_a_slow_loss_of_flow(result: Result, change: str):
    flow, tee, vacuum, engine = changes(result, change)
    expected, times = SCALED[change]
    assert expected == pytest.approx(flow, abs=POINTS)
    assert tee > 0
    assert engine > 0
    assert abs(vacuum) < LITTLE
    assert times == pytest.approx(resistance(result, change, "coil", "coil ends"), rel=0.1)


@pytest.mark.parametrize("change", INDEX)
def test_the_index_over_the_cooler_tells_how_far_it_is_plugged(result: Result, change: str):
    assert INDEX[change] == pytest.approx(resistance(result, change, "hole", "coil", "coil ends"), rel=0.05)


@pytest.mark.parametrize("change", ["worn impeller", "main strainer of Cv 15", "coolers fouled threefold"])
def test_faults_outside_of_the_branch_leave_its_index_alone(result: Result, change: str):
    """But for friction, which is a little more of the square of a smaller flow."""
    assert 1 == pytest.approx(resistance(result, change, "coil", "coil ends"), abs=0.1)


def resistance(result: Result, change: str, *parts: str) -> float:
    """Drop over flow squared of these parts, beside that of the circuit as found."""

    def of(row: RowResult) -> float:
        return sum(row.part(each).pressure_drop or 0.0 for each in parts) / (row.run("branch").flow or math.nan) ** 2

    return of(result["cruise", change]) / of(result["cruise", "as found"])
