"""A file of readings: every kind read into SI, and every mistake told at its place with what to type."""

from __future__ import annotations

import math

import pytest

import netsolve
from netsolve.problems import CircuitError, Problem
from netsolve.study.diagnosis.probe import Reading, bucket_accuracy, bucket_flow
from netsolve.study.diagnosis.read import read_text
from tests.commands import POT_HAULER

CIRCUIT = netsolve.load(POT_HAULER)
LITRE_A_MINUTE = 1e-3 / 60


def readings(*items: str) -> tuple[Reading, ...]:
    lines = "".join(f"  - {{{item}}}\n" for item in items)
    return read_text(f"readings:\n{lines}", CIRCUIT, "read.yaml")


def problem(item: str) -> Problem:
    with pytest.raises(CircuitError) as raised:
        readings(item)
    (found,) = raised.value.problems
    return found


def test_the_flow_of_a_bucket_is_what_was_caught_over_the_time_it_took():
    """10 L in 25 s are 24 L/min: arithmetic."""
    assert 24 * LITRE_A_MINUTE == pytest.approx(bucket_flow(0.010, 25))


def test_a_bucket_is_as_exact_as_its_volume_and_its_time_together():
    """10 L ± 0.2 L in 25 s ± 0.5 s: the root of the sum of squares is 2.828 %. Arithmetic."""
    assert bucket_accuracy(0.010, 25, 0.2e-3, 0.5) == pytest.approx(0.02828, rel=1e-3)


def test_a_bucket_reading_has_its_flow_and_at_least_five_per_cent_of_error():
    (found,) = readings("bucket: oil cooler branch, condition: cruise, volume: 10 L, took: 150 s")
    assert 4 * LITRE_A_MINUTE == pytest.approx(found.value)
    assert 0.05 * found.value / 2 == pytest.approx(found.deviation)


def test_an_accuracy_goes_before_the_usual_and_is_two_standard_deviations():
    (found,) = readings("pressure: tee-off.common, condition: cruise, value: 4 psi, accuracy: 0.2 psi, height: 0.3 m")
    assert 4 * 6894.757 == pytest.approx(found.value, rel=1e-6)
    assert 0.1 * 6894.757 == pytest.approx(found.deviation, rel=1e-6)
    assert 0.3 == found.probe.height


def test_a_clear_hose_is_the_weight_of_its_column():
    (found,) = readings("clear hose: tee-off.common, condition: idle, level: 0.8 m, accuracy: 10 mm")
    weight = float(CIRCUIT.as_found.water.density) * 9.80665
    assert (0.8 * weight, 0.005 * weight) == pytest.approx((found.value, found.deviation))


def test_names_are_found_whatever_their_case_and_a_part_stands_for_its_run():
    (found,) = readings("bucket: Oil  Cooler, condition: Cruise, volume: 10 L, took: 150 s")
    assert (("oil cooler branch",), "cruise") == (found.probe.names, found.probe.situation.condition)


def test_a_bucket_held_elsewhere_is_another_situation_than_the_hose_as_installed():
    low, installed = readings(
        "bucket: oil cooler branch, condition: idle, volume: 5 L, took: 60 s, height: -0.3 m",
        "bucket: oil cooler branch, condition: idle, volume: 5 L, took: 80 s",
    )
    assert ("oil cooler branch", -0.3) == (low.probe.situation.end, low.probe.situation.height)
    assert "" == installed.probe.situation.end


def test_nothing_from_an_opened_hose_is_a_flow_of_nothing_known_to_a_trickle():
    (found,) = readings("opened: feed hose, condition: idle, found: nothing")
    assert (0.0, "feed hose") == (found.value, found.probe.situation.opened)
    assert 0 < found.deviation < LITRE_A_MINUTE


def test_settings_of_the_moment_are_read_as_those_of_a_condition():
    (found,) = readings("vacuum: raw-water pump.in, condition: cruise, settings: {main.speed: 2000 rpm}, value: 8 kPa")
    assert (("main.speed", "2000 rpm"),) == found.probe.situation.settings


def test_what_is_blown_is_a_word():
    (found,) = readings("blow: [feed hose, oil cooler], found: one way")
    assert "one way" == found.found
    assert math.isnan(found.value)


@pytest.mark.parametrize(
    ("item", "code", "column", "help"),
    [
        ("buckt: oil cooler branch, condition: idle", "unknown-reading", 6, "did you mean 'bucket'?"),
        ("bucket: oil coler branch, condition: idle, found: nothing", "unknown-name", 14, "did you mean 'oil cooler"),
        ("bucket: intake, condition: idle, found: nothing", "no-outlet", 14, "opened:"),
        ("bucket: oil cooler, condition: idel, found: nothing", "unknown-condition", 37, "did you mean 'idle'?"),
        ("bucket: oil cooler, found: nothing", "missing-parameter", 6, "add condition: idle"),
        ("bucket: oil cooler, condition: idle, volume: 10 L", "contradiction", 51, ""),
        ("bucket: oil cooler, condition: idle, volume: 10, took: 60 s", "no-unit", 51, "10 L"),
        ("pressure: tee-of.common, condition: idle, value: 2 kPa", "unknown-name", 16, "did you mean 'tee-off.common'?"),
        ("pressure: tee-off.common, condition: idle, valu: 2 kPa", "unknown-parameter", 49, "did you mean 'value'?"),
        ("pressure: tee-off.common, condition: idle, value: 2 m3", "wrong-dimension", 56, ""),
        ("blow: [feed hose], found: open", "not-a-name", 12, "write blow: [first, second]"),
        ("blow: [suction hose, oil cooler], found: open", "pump-in-the-way", 12, "up to it"),
        ("blow: [feed hose, oil cooler], found: opn", "unknown-word", 44, "did you mean 'open'?"),
        ("vacuum: raw-water pump.in, condition: idle, settings: {main.spede: 9 rpm}, value: 1 kPa",
         "unknown-parameter", 60, "did you mean 'speed'?"),
        ("alarm: hydraulic, condition: cruise, took: 60 min", "unknown-name", 13, "under oils:"),
        ("temperature: oil coler.out, condition: cruise, value: 20 degC", "unknown-name", 19, "oil cooler.out"),
        ("temperature: oil cooler.out, condition: cruise, value: 20 kPa", "wrong-dimension", 61, ""),
        ("temperature: oil cooler.out, condition: cruise", "missing-parameter", 6, "value"),
        ("vacuum: raw-water pump.in, condition: idle, value: 120 kPa", "out-of-range", 57, ""),
        ("pressure: tee-off.common, condition: idle, value: -2 bar", "out-of-range", 56, ""),
        ("bucket: oil cooler, condition: idle, volume: 5 L, took: 9 s, height: 60 m", "out-of-range", 75, ""),
        ("difference: [oil cooler.in, oil cooler.in], condition: idle, value: 1 kPa", "same-place", 18, "two places"),
        ("blow: [check valve, oil cooler], found: open", "not-fitted", 12, "add change: screen and check valve"),
        ("contents: mesh screen, found: clean", "not-fitted", 16, "add change: screen"),
        ("blow: [suction hose, raw-water pump], found: open", "pump-in-the-way", 12, "up to it"),
        ("blow: [seacock, engine cooler], found: open", "pump-in-the-way", 12, "up to it"),
        ("temperature: oil cooler.out, condition: idle, value: 31 degC", "no-heat", 19, "oils:"),
    ],
)  # fmt: skip
def test_a_mistake_is_told_at_its_place_with_the_cure(item: str, code: str, column: int, help: str):
    found = problem(item)
    assert (code, help in found.help) == (found.code, True), found
    assert found.at is not None
    assert ("read.yaml", 2, column) == (found.at.file, found.at.line, found.at.column)


def test_a_file_without_readings_is_told_what_one_looks_like():
    with pytest.raises(CircuitError) as raised:
        read_text("readings: []", CIRCUIT)
    assert "bucket: RUN" in raised.value.problems[0].help


@pytest.mark.parametrize("content", ["", "- {bucket: oil cooler}", "readings:", "readings: 5"])
def test_a_file_of_another_shape_is_told_what_readings_look_like(content: str):
    with pytest.raises(CircuitError) as raised:
        read_text(content, CIRCUIT)
    assert "bucket: RUN" in raised.value.problems[0].help


def test_all_mistakes_of_a_file_are_told_at_once():
    with pytest.raises(CircuitError) as raised:
        readings("bucket: nowhere, condition: idle, found: nothing", "pressure: tee-off.common, condition: idle")
    assert ["unknown-name", "missing-parameter"] == [each.code for each in raised.value.problems]
