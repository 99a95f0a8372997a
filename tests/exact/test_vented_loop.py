"""A vented loop costs its whole height, one whose vent is stuck shut gives the far side back; known in closed form."""

import pytest

import netsolve
from netsolve.water import GRAVITY

DENSITY = 1025.0
CIRCUIT = """
format: 1
circuit: a loop between a tank and the open air
water: {{kind: custom, density: 1025 kg/m3, viscosity: 1.08 mPa.s}}
joints:
  tank: {{type: tank, level: 0 m, pressure: {pressure} kPa, losses: none}}
  loop: {{type: vented_loop, height: {height} m, vent: {vent}}}
  overboard: {{type: discharge, height: 0.1 m, losses: none}}
runs:
  up: {{from: tank, to: loop.in, parts: [{{up hose: {{type: rated_loss, drop: 10 kPa, at: 10 L/min, bore: 16 mm}}}}]}}
  down: {{from: loop.out, to: overboard, parts: [{{down hose: {{type: rated_loss, drop: 10 kPa, at: 10 L/min, bore: 16 mm}}}}]}}
"""


def row(*, pressure: float = 12, height: float = 0.9, vent: str = "works"):
    text = CIRCUIT.format(pressure=pressure, height=height, vent=vent)
    return netsolve.solve(netsolve.loads(text)).rows[0]


def by_law(pressure: float) -> float:
    """The flow in m3/s that costs this pressure (Pa) in one of the hoses."""
    return 10 / 60_000 * (pressure / 10e3) ** 0.5


def test_a_working_vent_costs_the_whole_height():
    driven = 12e3 - DENSITY * GRAVITY * 0.9
    assert by_law(driven) == pytest.approx(row().run("up").flow, rel=1e-4)
    assert row().run("up").flow == pytest.approx(row().run("down").flow, rel=1e-9)


def test_a_vent_stuck_shut_keeps_the_siphon():
    driven = (12e3 - DENSITY * GRAVITY * 0.1) / 2
    for vent in ("stuck shut", "none"):
        assert by_law(driven) == pytest.approx(row(vent=vent).run("up").flow, rel=1e-4)


def test_the_pressure_at_the_top_says_which():
    venting, stuck = row().joint("loop"), row(vent="stuck shut").joint("loop")
    assert (venting.status, stuck.status) == ("venting", None)
    assert venting.ports["in"].total_pressure == pytest.approx(0.0, abs=1.0)
    assert stuck.ports["in"].total_pressure < -1e3
    assert row().part("down hose").inlet_pressure is None
    assert row(vent="stuck shut").part("down hose").inlet_pressure is not None


def test_a_loop_too_high_is_dry_and_says_what_is_missing():
    dry = row(pressure=8)
    missing = DENSITY * GRAVITY * 0.9 - 8e3
    assert (dry.run("up").flow, dry.run("up").verdict) == (0.0, "dry")
    assert missing == pytest.approx(dry.run("up").missing, rel=1e-3)


def test_a_loop_under_pressure_stays_full():
    full = row(pressure=60, height=0.3)
    stuck = row(pressure=60, height=0.3, vent="stuck shut")
    assert full.joint("loop").status == "full"
    assert full.run("up").flow == pytest.approx(stuck.run("up").flow, rel=1e-9)
