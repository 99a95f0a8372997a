"""Small circuits whose flows are known in closed form: every law is r q|q|, with r in kPa/(L/s)^2; own constructions."""

from __future__ import annotations

from math import sqrt

import pytest

from netsolve.result import RowResult
from netsolve.water import GRAVITY
from tests.solved import KILO, LITRE, PLAIN_WATER, drop, flow, solved

EXACT = 1e-4
"""The solver's own 100 Pa s/m3 in every run, 0.1 Pa at 1 L/s, moves the flows here by up to half of that."""

DENSITY = 1000.0
THIN_WATER = "{kind: custom, density: 1000 kg/m3, viscosity: 0.001 mPa.s}"
"""So thin that a plain loss coefficient, K (1 + 10/Re) here, is K."""


def path(resistance: float) -> str:
    """A part that takes this many kPa at 1 L/s, rated so low that its straight beginning plays no role."""
    return f"{{type: rated_loss, drop: {resistance * 1e-2} kPa, at: 0.1 L/s}}"


def tank(pressure: float) -> str:
    """A tank at the height 0, under so many kPa."""
    return f"{{type: tank, level: 0 m, pressure: {pressure} kPa, losses: none}}"


def between(pressure: float, *runs: str, water: str = PLAIN_WATER) -> RowResult:
    """Runs of these parts, side by side from a tank under pressure to one without; called run 0, run 1, ..."""
    lines = [f"  run {place}: {{from: high, to: low, parts: [{parts}]}}" for place, parts in enumerate(runs)]
    return solved(f"joints:\n  high: {tank(pressure)}\n  low: {tank(0)}\nruns:\n" + "\n".join(lines), water=water)


def litres(row: RowResult, run: str) -> float:
    return flow(row, run) / LITRE


def head(row: RowResult, joint: str) -> float:
    """Total gauge pressure at a joint at the height 0, kPa; alike at all its ports."""
    first, *others = [port.total_pressure for port in row.joint(joint).ports.values()]
    assert others == pytest.approx([first] * len(others), rel=1e-12)
    return first / KILO


RESISTANCES = (3.0, 5.0, 8.0)


def test_resistances_in_series_add_up() -> None:
    row = between(64, ", ".join(f"p{each:.0f}: {path(each)}" for each in RESISTANCES))
    assert litres(row, "run 0") == pytest.approx(sqrt(64 / 16), rel=EXACT)
    assert [drop(row, f"p{each:.0f}") / KILO for each in RESISTANCES] == pytest.approx([12, 20, 32], rel=EXACT)


def test_resistances_in_parallel_add_as_one_over_their_roots() -> None:
    row = between(64, *(f"p{each:.0f}: {path(each)}" for each in RESISTANCES))
    total = sum(litres(row, f"run {place}") for place in range(3))
    together = sum(each**-0.5 for each in RESISTANCES) ** -2
    assert together == pytest.approx(0.5265355018, rel=1e-9)
    assert 64 / total**2 == pytest.approx(together, rel=EXACT)


def coefficients(*given: tuple[float, float]) -> str:
    """Losses by their K and their bore in mm."""
    return ", ".join(f"part {place}: {{type: loss, bore: {bore} mm, k: {k}}}" for place, (k, bore) in enumerate(given))


def per_area(k: float, bore: float) -> float:
    """The flow in L/s of one loss under 20 kPa: A sqrt(2 dp / (K rho))."""
    return 3.141592653589793 / 4 * (bore * 1e-3) ** 2 * sqrt(2 * 20e3 / (k * DENSITY)) / LITRE


def test_losses_in_series_of_one_bore_are_the_loss_of_their_sum() -> None:
    row = between(20, coefficients((2.5, 19), (0.5, 19), (4, 19)), water=THIN_WATER)
    assert litres(row, "run 0") == pytest.approx(per_area(7, 19), rel=EXACT)


def test_losses_in_series_are_brought_to_one_bore_by_its_fourth_power() -> None:
    row = between(20, coefficients((2.5, 19), (4, 16)), water=THIN_WATER)
    assert litres(row, "run 0") == pytest.approx(per_area(2.5 + 4 * (19 / 16) ** 4, 19), rel=EXACT)


def test_losses_in_parallel_do_not_know_of_each_other() -> None:
    row = between(20, "a: {type: loss, bore: 19 mm, k: 2.5}", "b: {type: loss, bore: 16 mm, k: 4}", water=THIN_WATER)
    assert litres(row, "run 0") == pytest.approx(per_area(2.5, 19), rel=EXACT)
    assert litres(row, "run 1") == pytest.approx(per_area(4, 16), rel=EXACT)


def test_so_many_alike_are_as_many_in_series() -> None:
    row = between(20, "elbows: {type: loss, bore: 19 mm, k: 1.5, count: 4}", water=THIN_WATER)
    assert litres(row, "run 0") == pytest.approx(per_area(6, 19), rel=EXACT)


def bridge(far: float) -> RowResult:
    """From A by B and by D to C, with a link from B to D; `far` is the resistance from D to C."""
    runs = {"AB": 1.0, "BC": 2.0, "AD": 4.0, "DC": far, "BD": 7.0}
    return solved(
        f"joints:\n  A: {tank(18)}\n  B: {{type: manifold, height: 0 m}}\n  D: {{type: manifold, height: 0 m}}\n"
        f"  C: {tank(0)}\nruns:\n"
        + "\n".join(
            f"  {name}: {{from: {name[0]}, to: {name[1]}, direction: either, parts: [path {name}: {path(each)}]}}"
            for name, each in runs.items()
        )
    )


def test_a_balanced_bridge_passes_nothing_across() -> None:
    """To 1e-8 m3/s: the solver's 100 Pa s/m3 in each run put 0.04 Pa across the link, which drives 4e-9 m3/s."""
    row = bridge(8)
    assert flow(row, "BD") == pytest.approx(0, abs=1e-8)
    assert litres(row, "AB") == pytest.approx(sqrt(6), rel=EXACT)
    assert litres(row, "AD") == pytest.approx(sqrt(1.5), rel=EXACT)
    assert (head(row, "B"), head(row, "D")) == pytest.approx((12, 12), rel=EXACT)
    assert row.joint("A").ports["AB"].flow + row.joint("A").ports["AD"].flow == pytest.approx(
        3.674234614 * LITRE, rel=EXACT
    )


@pytest.mark.parametrize(("far", "sense"), [(2, 1), (32, -1)])
def test_a_bridge_off_balance_passes_water_to_the_lower_side(far: float, sense: int) -> None:
    row = bridge(far)
    across = litres(row, "BD")
    assert across * sense > 0
    assert head(row, "B") - head(row, "D") == pytest.approx(7 * across * abs(across), rel=EXACT)


CHECK = "{type: check_valve, style: spring, bore: 19 mm, k: 1e-6, cracking: %s}"


def two_tanks(valve: str) -> RowResult:
    """1 L/s is drawn at J; A stands higher than the tank B behind a check valve."""
    return solved(
        f"""
joints:
  A: {tank(10)}
  B: {tank(4)}
  J: {{type: fixed_flow, flow: -1 L/s, height: 0 m}}
runs:
  from A: {{from: A, to: J, parts: [path A: {path(2)}]}}
  from B: {{from: B, to: J, parts: [path B: {path(1)}, {valve}]}}
"""
    )


def test_a_check_valve_keeps_the_higher_tank_out_of_the_lower() -> None:
    row = two_tanks("valve: " + CHECK % "1 Pa")
    assert litres(row, "from A") == pytest.approx(1, rel=EXACT)
    assert flow(row, "from B") == 0
    assert head(row, "J") == pytest.approx(8, rel=EXACT)
    assert row.part("valve").status == "shut"


def test_without_the_check_valve_the_higher_tank_fills_the_lower() -> None:
    """2 a^2 + (a - 1)^2 = 6 for the flow a out of A."""
    row = two_tanks("plain: " + path(1e-9))
    out = (1 + sqrt(16)) / 3
    assert litres(row, "from A") == pytest.approx(out, rel=EXACT)
    assert litres(row, "from B") == pytest.approx(1 - out, rel=EXACT)
    assert row.run("from B").verdict == "reversed"


def side_path(*more: str) -> RowResult:
    """1.1 L/s divides over a main and a path beside it that is ten times as hard, and meets again."""
    return solved(
        f"""
joints:
  take-off: {{type: fixed_flow, flow: 1.1 L/s, height: 0 m}}
  back: {tank(0)}
runs:
  main: {{from: take-off, to: back, parts: [main path: {path(4)}]}}
  branch: {{from: take-off, to: back, parts: [{", ".join((f"side path: {path(400)}", *more))}]}}
"""
    )


def test_a_branch_beside_the_main_takes_its_share() -> None:
    row = side_path()
    assert (litres(row, "branch"), litres(row, "main")) == pytest.approx((0.1, 1.0), rel=EXACT)
    assert head(row, "take-off") == pytest.approx(4, rel=EXACT)


def test_a_check_valve_in_the_branch_takes_its_cracking_pressure_off() -> None:
    """4 (1.1 - b)^2 = 2 + 400 b^2, whose positive root is the branch's flow."""
    row = side_path("valve: " + CHECK % "2 kPa")
    b = (-8.8 + sqrt(8.8**2 + 4 * 396 * 2.84)) / (2 * 396)
    assert litres(row, "branch") == pytest.approx(b, rel=EXACT)
    assert drop(row, "valve") == pytest.approx(2e3, rel=1e-5)
    assert row.part("valve").status == "cracking"


def test_a_check_valve_that_needs_more_than_there_is_stays_shut() -> None:
    row = side_path("valve: " + CHECK % "5 kPa")
    assert flow(row, "branch") == 0
    assert litres(row, "main") == pytest.approx(1.1, rel=EXACT)
    assert drop(row, "valve") == pytest.approx(4.84e3, rel=EXACT)
    assert row.run("branch").missing == pytest.approx(160, rel=1e-3)


@pytest.mark.parametrize(("below", "opens"), [(-1e-4, True), (1e-4, False)])
def test_a_check_valve_opens_at_its_cracking_pressure_to_a_ten_thousandth(below: float, opens: bool) -> None:
    row = between(6.894757293168361 * (1 - below), f"path: {path(4)}, valve: " + CHECK % "1 psi")
    assert (flow(row, "run 0") > 0) == opens


def pump(*, running: str = "yes") -> str:
    return f"pump: {{type: centrifugal_pump, shutoff: 30 kPa, open_flow: 1 L/s, running: {running}}}"


def test_a_centrifugal_pump_meets_its_line() -> None:
    """30 (1 - q^2) + 5 = 90 q^2; the pump's curve also has a straight share of a ten thousandth."""
    row = between(5, f"{pump()}, path: {path(90)}")
    assert litres(row, "run 0") == pytest.approx(sqrt(35 / 120), rel=1e-4)


def test_a_centrifugal_pump_that_is_off_is_a_loss() -> None:
    row = between(5, f"{pump(running='no')}, path: {path(90)}")
    assert litres(row, "run 0") == pytest.approx(sqrt(5 / 120), rel=1e-3)
    assert row.part("pump").status == "stopped"


def test_a_pump_that_is_off_lifts_nothing() -> None:
    """With the pump on, 30 kPa reach over the 1 m; off, all of that head is missing."""
    for running, carries in (("yes", True), ("no", False)):
        row = solved(
            f"""
joints:
  tank: {tank(0)}
  outlet: {{type: discharge, height: 1 m, losses: none}}
runs:
  line: {{from: tank, to: outlet, parts: [{pump(running=running)}, path: {path(90)}]}}
"""
        )
        assert (flow(row, "line") > 0) == carries
    assert row.run("line").verdict == "dry"
    assert row.run("line").missing == pytest.approx(DENSITY * GRAVITY, rel=1e-3)


def test_an_impeller_pump_slips_by_the_pressure_it_makes() -> None:
    """60 L/min less 12 L/min a bar meets 100 kPa/(L/s)^2: q = 1 - 0.2 q^2, in L/s."""
    turning = (
        "pump: {type: impeller_pump, rated_flow: 60 L/min, rated_speed: 2000 rpm, speed: 2000 rpm, slip: 12 L/min/bar}"
    )
    row = between(0, f"{turning}, path: {path(100)}")
    assert litres(row, "run 0") == pytest.approx((sqrt(1 + 4 * 0.2) - 1) / 0.4, rel=EXACT)


def test_a_stopped_impeller_pump_lets_only_its_slip_through() -> None:
    """20 kPa across 12 L/min a bar."""
    standing = (
        "pump: {type: impeller_pump, rated_flow: 60 L/min, rated_speed: 2000 rpm, slip: 12 L/min/bar, running: no}"
    )
    row = between(20, standing)
    assert litres(row, "run 0") == pytest.approx(0.04, rel=EXACT)
