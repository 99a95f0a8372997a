"""What stands behind ±, wherever it may stand: carried through bands, diagnosis and trial, or refused with the cure."""

from __future__ import annotations

import math
from dataclasses import replace
from statistics import NormalDist

import numpy as np
import pytest

import netsolve
from netsolve.problems import CircuitError
from netsolve.study.bands import Band, bands
from netsolve.study.diagnosis.diagnose import diagnose
from netsolve.study.diagnosis.predicted import Predicted, predict
from netsolve.study.diagnosis.probe import Probe, Reading, Situation
from netsolve.study.diagnosis.read import read_text
from netsolve.study.diagnosis.rows import row_of
from netsolve.study.diagnosis.seen import seen
from netsolve.study.trial import PASS, STARVED, trial
from netsolve.study.uncertain import uncertain, uncertain_heat
from tests.commands import CIRCUITS, edited

SHARES = (0.05, 0.5, 0.95)
WEIGHT = 1000 * 9.80665
"""Pa/m of the water of these circuits."""

DRIVEN = """
format: 1
circuit: a pump over next to nothing
water: {kind: custom, density: 1000 kg/m3, viscosity: 1 mPa.s}
engines: {main: {speed: 2000 rpm ± 100 rpm, rated_speed: 2600 rpm}}
joints:
  well:  {type: tank, level: 0 m, losses: none}
  spout: {type: discharge, height: 0 m, losses: none}
runs:
  line:
    from: well
    to: spout
    parts:
      - pump: {type: impeller_pump, rated_flow: 26 L/min ± 0 L/min, rated_speed: 2600 rpm, slip: 0.001 %/bar}
      - throat: {type: loss, bore: 50 mm, k: 0.1, min_flow: 20 L/min}
conditions:
  cruise: {}
  slow: {main.speed: 1000 rpm}
  full: {main.speed: 2600 rpm ± 1 %}
  stopped: {main.speed: 0 rpm}
"""

LOOP = """
format: 1
circuit: a tank that runs over a loop with a vent
water: {kind: custom, density: 1000 kg/m3, viscosity: 1 mPa.s}
joints:
  header: {type: tank, level: 1 m, losses: none}
  loop:   {type: vented_loop, height: 0.4 m ± 20 cm}
  below:  {type: discharge, height: -2 m, losses: none, into: air}
runs:
  up:   {from: header, to: loop.in, parts: [{throat: {type: loss, bore: 20 mm, k: 10}}]}
  down: {from: loop.out, to: below, parts: [{leg: {type: loss, bore: 50 mm, k: 1}}]}
"""


def ends(band: Band) -> list[float]:
    return [6e4 * each for each in (band.low, band.middle, band.high)]


def flows(middle: float, half: float) -> list[float]:
    """The quantiles of a flow that follows its number, L/min; ± is two standard deviations."""
    return [NormalDist(middle, half / 2).inv_cdf(share) for share in SHARES]


def bands_of(text: str, run: str = "line") -> dict[str, Band]:
    return {row.condition: row.runs[run] for row in bands(netsolve.loads(text), samples=4000)}


def test_the_speed_of_an_engine_moves_the_pump_that_it_drives():
    """A pump that loses nothing gives 10 mL for each turn."""
    assert ends(bands_of(DRIVEN)["cruise"]) == pytest.approx(flows(20.0, 1.0), rel=5e-3)


def test_a_speed_that_a_condition_sets_keeps_what_stands_behind_the_engine_s():
    found = bands_of(DRIVEN)
    assert ends(found["slow"]) == pytest.approx(flows(10.0, 1.0), rel=5e-3)
    assert ends(found["full"]) == pytest.approx(flows(26.0, 0.26), rel=5e-3)
    per_cent = bands_of(DRIVEN.replace("± 100 rpm", "± 5 %"))
    assert ends(per_cent["slow"]) == pytest.approx(flows(10.0, 0.5), rel=5e-3)


def test_an_engine_that_stands_still_does_so_exactly():
    assert ends(bands_of(DRIVEN)["stopped"]) == pytest.approx([0.0, 0.0, 0.0], abs=1e-6)


def test_a_hose_of_another_bore_is_as_uncertain_as_hoses_are():
    text = DRIVEN.replace("k: 0.1,", "k: 0.1 ± 50 %,").replace(
        "  slow: {main.speed: 1000 rpm}", "  slow: {throat.k: 0.2, pump.rated_flow: 20 L/min}"
    )
    row = netsolve.loads(text).row("slow", "as found", {})
    assert {"k": pytest.approx(0.1)} == row.parts["throat"].spreads
    usual = {(each.name, each.field): each.deviation for each in uncertain(row)}
    assert usual["pump", "rated_flow"] == pytest.approx(0.15 * 20 / 6e4 / 2)


def test_the_speed_of_a_pump_with_a_motor_and_its_drive_ratio_count_too():
    motor = DRIVEN.replace("slip:", "speed: 1000 rpm ± 10 %, slip:").replace("conditions:", "changes: {}\nconditions:")
    assert ends(bands_of(motor)["full"]) == pytest.approx(flows(10.0, 1.0), rel=5e-3)
    geared = DRIVEN.replace("± 100 rpm", "").replace("slip:", "drive_ratio: 0.5 ± 0.05, slip:")
    assert ends(bands_of(geared)["cruise"]) == pytest.approx(flows(10.0, 1.0), rel=5e-3)
    both = DRIVEN.replace("slip:", "drive_ratio: 0.5 ± 0.05, slip:")
    assert ends(bands_of(both)["cruise"]) == pytest.approx(flows(10.0, math.hypot(1.0, 0.5)), rel=6e-3)


def test_the_speed_of_an_engine_moves_its_exhaust_s_back_pressure():
    text = DRIVEN.replace(
        "spout: {type: discharge, height: 0 m, losses: none}",
        "spout: {type: exhaust_injection, height: 0 m, losses: none, back_pressure_at_rated: 10 kPa}",
    ).replace(
        "pump: {type: impeller_pump, rated_flow: 26 L/min ± 0 L/min, rated_speed: 2600 rpm, slip: 0.001 %/bar}",
        "pipe: {type: loss, bore: 20 mm, k: 1}",
    )
    row = netsolve.loads(text).row("cruise", "as found", {})
    (number,) = uncertain(row)
    assert ("spout", "speed") in dict(number.followers)


def test_a_vented_loop_is_as_high_as_it_may_be():
    """Over the top runs what the head above it drives: v = sqrt(2 g (1 m - h) / K)."""
    low, middle, high = (NormalDist(0.4, 0.1).inv_cdf(share) for share in SHARES)
    area = math.pi / 4 * 0.020**2
    expected = [6e4 * area * math.sqrt(2 * 9.80665 * (1 - top) / 10) for top in (high, middle, low)]
    (band,) = bands_of(LOOP, "up").values()
    assert ends(band) == pytest.approx(expected, rel=5e-3)


def test_what_is_fed_in_may_be_off():
    text = LOOP.replace("{type: tank, level: 1 m, losses: none}", "{type: fixed_flow, flow: 10 L/min ± 10 %}")
    (band,) = bands_of(text, "up").values()
    assert ends(band) == pytest.approx(flows(10.0, 1.0), rel=5e-3)


def test_a_need_that_is_uncertain_is_met_as_often_as_it_is_below_the_flow():
    text = DRIVEN.replace("± 100 rpm", "").replace("20 L/min}", "21 L/min ± 10 %, max_flow: 24 L/min ± 2 L/min}")
    rows = {row.condition: row.parts["throat"] for row in bands(netsolve.loads(text), samples=4000)}
    assert rows["cruise"].chance == pytest.approx(NormalDist(21.0, 1.05).cdf(20.0), abs=0.02)
    assert rows["full"].chance == pytest.approx(1 - NormalDist(24.0, 1.0).cdf(26.0), abs=0.02)
    assert 6e4 * (rows["cruise"].least or 0.0) == pytest.approx(21.0)


def test_a_trial_carries_the_speed_and_does_not_fail_a_need_that_may_be_lower():
    (line,) = [each for each in trial(netsolve.loads(DRIVEN)).lines if str(each.probe) == "bucket: line, cruise"]
    assert [6e4 * each for each in (line.low, line.high)] == pytest.approx([19.18, 20.82], abs=0.15)
    text = DRIVEN.replace("min_flow: 20 L/min", "min_flow: 20 L/min ± 10 %")
    (wide,) = [each for each in trial(netsolve.loads(text)).lines if each.probe == line.probe]
    reading = Reading(line.probe, 18.5 / 6e4, 0.01 / 6e4)
    assert STARVED == replace(line, reading=reading).verdict
    assert PASS == replace(wide, reading=reading).verdict
    assert STARVED == replace(wide, reading=replace(reading, value=17.5 / 6e4)).verdict


def slopes(predicted: Predicted, at: int) -> dict[tuple[str, str, float], float]:
    """How what a probe shows of a sound circuit hangs on each number that is carried."""
    moved = predicted.under[0].slopes[0, at]
    return {(each.name, each.field, each.value): float(moved[here]) for here, each in enumerate(predicted.unsure)}


def test_a_diagnosis_carries_the_speed_of_each_condition_by_itself():
    """A standard deviation of 50 rpm, of 13 rpm at full, is 0.5 L/min, 0.13 L/min."""
    circuit = netsolve.loads(DRIVEN)
    probes = [Probe("bucket", ("line",), Situation(name)) for name in ("cruise", "slow", "full")]
    predicted = predict(circuit, probes)
    rpm = 1 / 60
    for at, (speed, off) in enumerate(((2000, 0.5), (1000, 0.5), (2600, 0.13))):
        moved = {
            value / rpm: 6e4 * slope for (name, _, value), slope in slopes(predicted, at).items() if name == "main"
        }
        assert {2000.0, 1000.0, 2600.0} == {round(each) for each in moved}
        for value, slope in moved.items():
            assert slope == pytest.approx(off if round(value) == speed else 0.0, rel=0.02, abs=1e-6)


def test_a_diagnosis_moves_a_number_from_what_it_is_in_each_condition():
    """A throat that a change makes narrower: from there, not from what it was, its loss is off."""
    text = LOOP.replace("k: 10}", "k: 10 ± 20 %}").replace("± 20 cm", "") + "changes: {narrow: {set: {throat.k: 90}}}\n"
    probes = [Probe("bucket", ("down",), Situation("as written", change)) for change in ("as found", "narrow")]
    predicted = predict(netsolve.loads(text), probes)
    for at, k in enumerate((10.0, 90.0)):
        flow = float(predicted.under[0].shown[0, at])
        moved = {value: slope for (_, field, value), slope in slopes(predicted, at).items() if field == "k"}
        assert moved[k] == pytest.approx(flow * (1.1**-0.5 - 1), rel=1e-3)
        assert sum(abs(slope) for value, slope in moved.items() if value != k) == 0.0


def test_a_gauge_at_a_place_whose_height_is_uncertain_is_as_uncertain_as_that():
    """A joint without a height of its own lies half way between its neighbours, and goes half the way with one."""
    text = (
        LOOP.replace("± 20 cm", "")
        .replace(
            "  up:   {from: header, to: loop.in, parts: [{throat: {type: loss, bore: 20 mm, k: 10}}]}",
            "  feed: {from: header, to: chest, parts: [{pipe: {type: loss, k: 1, bore: 20 mm}}]}\n"
            "  up:   {from: chest, to: loop.in, parts: [{throat: {type: loss, bore: 20 mm, k: 10}}]}",
        )
        .replace("  below:", "  chest: {type: manifold, height: 0.2 m ± 10 cm}\n  below:")
    )
    row = row_of(netsolve.loads(text), Situation("as written"))
    assert ("chest", "height") in {(each.name, each.field) for each in uncertain(row)}
    probe = Probe("pressure", ("chest",), Situation("as written"))
    shown = seen(row, {("chest", "height"): np.array([0.2, 0.3])}).read(probe)
    assert shown[0] - shown[1] == pytest.approx(0.1 * WEIGHT)
    held = replace(probe, height=0.2)
    assert np.ptp(seen(row, {("chest", "height"): np.array([0.2, 0.3])}).read(held)) == pytest.approx(0.0, abs=1e-6)
    free = row_of(netsolve.loads(text.replace(", height: 0.2 m ± 10 cm", "")), Situation("as written"))
    shown = seen(free, {("loop", "height"): np.array([0.4, 0.4001])}).read(probe)
    flow = seen(free, {("loop", "height"): np.array([0.4, 0.4001])}).flow("feed")
    lost = 0.5 * 1000 * np.diff((flow / (math.pi / 4 * 0.020**2)) ** 2)
    assert shown[0] - shown[1] == pytest.approx(0.5e-4 * WEIGHT + lost[0], rel=1e-3)


def test_heat_that_a_cooler_gives_may_be_off():
    text = LOOP.replace(
        "{leg: {type: loss, bore: 50 mm, k: 1}}",
        "{engine: {type: heat_exchanger, drop: 1 kPa, at: 30 L/min, heat: 20 kW ± 10 %}}",
    )
    row = netsolve.loads(text).as_found
    assert {("engine", "heat"): 1e3} == {(each.name, each.field): each.deviation for each in uncertain_heat(row)}


@pytest.mark.parametrize(
    ("old", "new", "help"),
    [
        ("{kind: custom, density: 1000 kg/m3,", "{kind: custom, density: 1000 kg/m3 ± 2 %,", "write 1000 kg/m3"),
        ("mPa.s}", "mPa.s, temperature: 14 degC ± 3 K}", "water.temperature in conditions"),
        ("min_flow: 20 L/min", "count: 2 ± 1", "write a whole number"),
        ("  cruise: {}", "  cruise: {water.density: 1000 ± 5 kg/m3}", "write 1000 kg/m3"),
        (
            "slip: 0.001 %/bar",
            "curve: [{flow: 26 L/min ± 1 L/min, head: 0 kPa}, {flow: 20 L/min, head: 90 kPa}]",
            "leave the ± of points out",
        ),
    ],
)
def test_what_is_not_taken_into_account_is_refused_with_the_cure(old: str, new: str, help: str):
    assert old in DRIVEN
    with pytest.raises(CircuitError) as error:
        netsolve.loads(DRIVEN.replace(old, new))
    (problem,) = error.value.problems
    assert problem.code == "no-spread"
    assert problem.at is not None
    assert help in problem.help


def test_a_limit_and_a_reading_take_no_uncertainty_either():
    with pytest.raises(CircuitError) as error:
        netsolve.loads(DRIVEN + "limits: {suction_vacuum: 20 kPa ± 1 kPa}\n")
    assert ["no-spread"] == [each.code for each in error.value.problems]
    reading = "readings: [{bucket: line, condition: cruise, volume: 10 L, took: 60 s ± 1 s}]"
    with pytest.raises(CircuitError) as error:
        read_text(reading, netsolve.loads(DRIVEN))
    (problem,) = error.value.problems
    assert (problem.code, "accuracy" in problem.help) == ("no-spread", True)


def test_a_test_in_a_condition_that_was_not_read_is_as_unsure_as_its_speed():
    """Read at cruise, offered at idle: what a bucket is off and what the speed makes it, as solved with that plug."""
    readings = (CIRCUITS / "readings/pot_hauler.yaml").read_text(encoding="utf-8")

    def width(speed: str) -> float:
        circuit = netsolve.loads(edited("main.speed: 700 rpm", f"main.speed: {speed}"))
        tests = {
            str(each.probe): each.expected.values for each in diagnose(circuit, read_text(readings, circuit)).tests
        }
        value, deviation = tests["bucket: oil cooler branch, idle"]["feed hose: plugged"]
        return 2 * deviation / value

    def flow(speed: str) -> float:
        """Through the hole that those readings leave, 4.69 mm."""
        plug = "      - plug: {type: blockage, hole: 4.69 mm, bore: 15.9 mm}\n      - feed hose:"
        text = edited("main.speed: 700 rpm", f"main.speed: {speed}").replace("      - feed hose:", plug)
        return netsolve.solve(netsolve.loads(text))["idle", "as found"].run("oil cooler branch").flow or 0.0

    of_speed = (flow("840 rpm") - flow("560 rpm")) / 2 / flow("700 rpm")
    assert width("700 rpm ± 20 %") == pytest.approx(math.hypot(width("700 rpm"), of_speed), rel=0.03)
