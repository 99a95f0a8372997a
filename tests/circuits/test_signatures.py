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
  plugged intake: {set: {thru-hull and fittings.k: 20.9}}    # in all the loss of the main strainer of Cv 15
  collapsing suction hose: {set: {suction hose.bore: 20 mm}}
  kinked to a third:  {set: {tee and bends and exit.k: 18.4}}      # and 14.7, which is (3 / 0.62 - 1)²
  kinked to a fifth:  {set: {tee and bends and exit.k: 53.5}}      # and 49.8, which is (5 / 0.62 - 1)²
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
    "plugged intake": (-4, -6, 294, -4),
    "worn impeller": (-25, -37, -47, -29),
    "coolers fouled threefold": (29, 53, -6, -7),
    "elbow clogged fourfold": (22, 40, -4, -5),
}
"""Change of branch flow, tee pressure, vacuum at the pump, engine flow, per cent."""

SCALED = {"scale of half a millimetre": (-12, 1.5), "scale of a millimetre": (-24, 2.2)}
"""Change of branch flow, per cent, and how many times the coil's resistance."""

INDEX = {"plug with a 6 mm hole": 4.6, "plug with a 5 mm hole": 8.4, "plug with a 4 mm hole": 19}
"""Drop over the square of the flow, of the coil with its ends and what is stuck in it, beside that of the clean one."""


TWO_COILS = """  branch:
    from: take-off
    to: split
    parts:
      - branch hose:            {type: hose, bore: 15.9 mm, length: 5.5 m}
      - tee and bends and exit: {type: loss, bore: 15.9 mm, k: 3.7}
  port leg:
    from: split
    to: coil out
    parts:
      - plug with a 4 mm hole: {type: loss, bore: 4 mm, k: 2.6015, fitted: no}
      - port coil:             {type: hose, bore: 13.8 mm, length: 9.6 m}
      - port coil ends:        {type: loss, bore: 13.8 mm, k: 1.5}
  starboard leg:
    from: split
    to: coil out
    parts:
      - starboard coil:        {type: hose, bore: 13.8 mm, length: 9.6 m}
      - starboard coil ends:   {type: loss, bore: 13.8 mm, k: 1.5}
"""
MASKED = {"branch": (4.35, 3.48), "port leg": (2.17, 0.66), "starboard leg": (2.17, 2.83)}
"""gpm at cruise, sound and with 4 mm left in the way to the port coil."""

LOOP = {"idle": (0.69, 1.29), "cruise": (2.84, 3.10), "full": (4.26, 4.45)}
"""gpm of the branch over a loop 0.6 m high: with a vent that works, and with one stuck shut, whose far side helps."""

LOST_TO_AIR = {"idle": -47, "cruise": -8, "full": -4}
"""Per cent of the flow that the siphon would give, lost where the vent lets air in."""

RISE = 0.258
"""kW that one gpm of sea water takes away for each kelvin."""


def text_of_the_reference() -> str:
    return (FOLDER / "reference_diesel.yaml").read_text(encoding="utf-8")


@pytest.fixture(scope="module")
def result() -> Result:
    text = text_of_the_reference()
    for before, parts in (("      - small strainer:", ON_THE_BRANCH), ("  engine:\n", BEFORE_THE_TEE)):
        text = text.replace(before, f"{parts.strip(chr(10))}\n{before}")
    return netsolve.solve(netsolve.loads(text + CHANGES + MORE))


def signs(row: RowResult) -> tuple[float, float, float, float]:
    """Branch flow, tee pressure, vacuum and engine flow, SI."""
    pump = row.part("raw-water pump")
    speed = (pump.flow or 0.0) / (math.pi / 4 * 0.0381**2)
    vacuum = -((pump.inlet_pressure or 0.0) + 1025 * speed**2 / 2)
    return row.run("branch").flow or 0.0, tee_pressure(row), vacuum, row.run("engine").flow or 0.0


def tee_pressure(row: RowResult) -> float:
    return row.joint("take-off").ports["engine"].total_pressure


def changes(result: Result, change: str, condition: str = "cruise") -> list[float]:
    sound, faulty = (signs(result[condition, each]) for each in ("as found", change))
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


@pytest.mark.parametrize(
    "change",
    ["worn impeller", "main strainer of Cv 15", "plugged intake", "coolers fouled threefold", "elbow clogged fourfold"],
)
def test_faults_outside_of_the_branch_leave_its_index_alone(result: Result, change: str):
    """But for friction, which is a little more of the square of a smaller flow."""
    assert 1 == pytest.approx(resistance(result, change, "coil", "coil ends"), abs=0.1)


def test_a_plugged_intake_is_told_from_a_clogged_strainer_by_the_drop_over_the_strainer(result: Result):
    sound, plugged, clogged = (
        result["cruise", each].part("weed strainer").pressure_drop or math.nan
        for each in ("as found", "plugged intake", "main strainer of Cv 15")
    )
    assert 0.92 == pytest.approx(plugged / sound, abs=0.05)  # four per cent less flow, squared
    assert 10 == pytest.approx(clogged / sound, rel=0.1)  # (50/15)², a little less flow


def test_a_collapsing_suction_hose_is_no_trouble_at_idle_and_tells_at_speed(result: Result):
    """One that has given way as far as this all the time: a real one gives way more the more is drawn."""
    found = [changes(result, "collapsing suction hose", at) for at in ("idle", "cruise", "full")]
    branch, tee, vacuum, engine = zip(*found, strict=True)
    assert abs(branch[0]) < LITTLE
    assert branch[2] < branch[1] < -LITTLE / 2
    for one in (tee, engine):
        assert one[2] < one[1] < 0
    assert min(vacuum[1:]) > 100


@pytest.mark.parametrize("change", ["kinked to a third", "kinked to a fifth"])
def test_a_kinked_discharge_takes_from_a_tenth_to_half_of_the_branch(result: Result, change: str):
    flow, tee, vacuum, engine = changes(result, change)
    assert -50 < flow < -10
    assert tee > 0
    assert engine > 0
    assert abs(vacuum) < LITTLE
    assert 1 == pytest.approx(resistance(result, change, "coil", "coil ends"), abs=0.1)


def test_one_of_two_coolers_side_by_side_that_is_plugged_is_masked():
    """The total falls by a fifth, while the leg has less than a third: within five points."""
    text = text_of_the_reference()
    start, end = text.index("  branch:\n    from"), text.index("  to overboard:")
    text = f"{text[:start]}{TWO_COILS}{text[end:]}".replace(" coil.min_flow", " port coil.min_flow")
    text = text[: text.index("changes:")].replace(
        "  overboard:  {", "  split: {type: manifold, height: 0.1 m}\n  overboard:  {"
    )
    found = netsolve.solve(netsolve.loads(f"{text}changes:\n  plugged: {{fit: plug with a 4 mm hole}}\n"))
    for run, (sound, plugged) in MASKED.items():
        flows = [found["cruise", change].run(run).flow or 0.0 for change in ("as found", "plugged")]
        assert sound == pytest.approx(flows[0] / GPM, rel=0.03)
        assert 100 * (plugged / sound - 1) == pytest.approx(100 * (flows[1] / flows[0] - 1), abs=POINTS)
    assert tee_pressure(found["cruise", "plugged"]) > tee_pressure(found["cruise", "as found"])


@pytest.mark.parametrize("condition", LOOP)
def test_a_vent_that_sticks_changes_much_at_idle_and_little_at_cruise(condition: str):
    text = text_of_the_reference().replace(
        "  second nipple:", "  loop: {type: vented_loop, height: 0.6 m}\n  second nipple:"
    )
    text = text.replace("to: overboard}", "to: loop.in}\n  over the side: {from: loop.out, to: overboard}")
    text = text[: text.index("changes:")]
    found = netsolve.solve(netsolve.loads(f"{text}changes:\n  sticks: {{set: {{loop.vent: stuck shut}}}}\n"))
    works, sticks = (found[condition, change].run("branch").flow or 0.0 for change in ("as found", "sticks"))
    expected = LOOP[condition]
    assert expected == pytest.approx((works / GPM, sticks / GPM), rel=0.05)
    assert LOST_TO_AIR[condition] == pytest.approx(100 * (works / sticks - 1), abs=POINTS)


def test_trouble_on_the_side_of_the_oil_leaves_every_flow_alone_and_shows_in_the_heat_balance():
    """A relief valve that has cracked: twice the heat."""
    text = (FOLDER / "winch_tank.yaml").read_text(encoding="utf-8")
    found = netsolve.solve(
        netsolve.loads(f"{text}  cracked: {{set: {{winch oil.heat: 6 kW}}}}\n"), conditions=["towing"]
    )
    sound, cracked = found["towing", "as found"], found["towing", "cracked"]
    for run in ("intake", "engine", "winch branch"):
        # warmer water behind the coil is a little thinner: that is all
        assert sound.run(run).flow == pytest.approx(cracked.run(run).flow, rel=5e-3)
    pressures = [row.part("raw-water pump").inlet_pressure for row in (sound, cracked)]
    assert pressures[0] == pytest.approx(pressures[1], rel=2e-3)
    for row, heat in ((sound, 3.0), (cracked, 6.0)):
        coil, oil = row.part("tank coil"), (row.oil("winch oil").plateau or math.nan) - 273.15
        rise = (coil.outlet_temperature or math.nan) - (coil.inlet_temperature or math.nan)
        carried = heat - 0.011 * (oil - 35)  # less what the tank loses to the air
        assert carried == pytest.approx(RISE * (coil.flow or 0.0) / GPM * rise, rel=0.02)
    assert (cracked.oil("winch oil").plateau or 0.0) > (sound.oil("winch oil").plateau or math.inf) + 10


def resistance(result: Result, change: str, *parts: str) -> float:
    """Drop over flow squared of these parts, beside that of the circuit as found."""

    def of(row: RowResult) -> float:
        return sum(row.part(each).pressure_drop or 0.0 for each in parts) / (row.run("branch").flow or math.nan) ** 2

    return of(result["cruise", change]) / of(result["cruise", "as found"])
