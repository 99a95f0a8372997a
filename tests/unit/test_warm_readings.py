"""Temperatures and alarms as readings: they show the fault that the water does not, and no more than they can."""

from __future__ import annotations

from pathlib import Path

import numpy as np
import pytest
from scipy.stats import multivariate_normal, norm

import netsolve
from netsolve.problems import CircuitError
from netsolve.study.diagnosis.diagnose import diagnose
from netsolve.study.diagnosis.evidence import measured
from netsolve.study.diagnosis.probe import Probe, Reading, Situation
from netsolve.study.diagnosis.read import read_text
from tests.commands import CIRCUITS, Shell

FILE = CIRCUITS / "winch_tank.yaml"
CIRCUIT = netsolve.load(FILE)


def written(row: netsolve.result.RowResult, settles: float, out: float) -> str:  # type: ignore[name-defined]
    """What a technician would write of a row: a bucket, the oil, the water behind the coil."""
    flow = abs(row.part("tank coil").flow)
    return f"""
readings:
  - {{bucket: winch branch, condition: hauling, volume: 10 L, took: {0.01 / flow:.2f} s}}
  - {{temperature: winch oil, condition: hauling, value: {settles - 273.15:.2f} degC, accuracy: 3 K}}
  - {{temperature: tank coil.out, condition: hauling, value: {out - 273.15:.2f} degC, accuracy: 0.5 K}}
"""


def test_a_coil_that_passes_less_heat_is_told_from_one_that_is_plugged():
    """70 in place of 110 W/K: the water runs as ever and comes out a little cooler, and the oil is hot."""
    dull = CIRCUIT.row("hauling", "as found", {"tank coil.ua": "70 W/K"})
    row = solved(dull)
    text = written(row, row.oil("winch oil").plateau, row.part("tank coil").outlet_temperature)
    ranked = diagnose(CIRCUIT, read_text(text, CIRCUIT)).ranking.suspects
    assert ("tank coil", "passes less heat") == (ranked[0].estimates[0].part, ranked[0].estimates[0].fault)
    assert ranked[0].probability > 0.5
    low, high = ranked[0].estimates[0].low, ranked[0].estimates[0].high
    assert low is not None
    assert high is not None
    assert low < 70.0 < high


def test_a_plugged_branch_is_still_the_first_suspect_where_the_water_lacks():
    text = """
readings:
  - {bucket: winch branch, condition: hauling, volume: 10 L, took: 110 s}
  - {temperature: winch oil, condition: hauling, value: 88 degC}
"""
    (first, *_) = diagnose(CIRCUIT, read_text(text, CIRCUIT)).ranking.suspects
    assert "passes less heat" != first.estimates[0].fault


def test_what_all_being_sound_would_show_is_what_solve_says(capsys: pytest.CaptureFixture[str], tmp_path: Path):
    row = netsolve.solve(CIRCUIT)["hauling", "as found"]
    oil = row.oil("winch oil")
    file = tmp_path / "read.yaml"
    file.write_text(
        "readings:\n"
        "  - {alarm: winch oil, condition: hauling, took: 60 min}\n"
        "  - {alarm: winch oil, condition: towing, took: 60 min}\n"
        "  - {temperature: tank coil.out, condition: hauling, value: 23 degC}\n"
        "  - {temperature: tee-off, condition: hauling, value: 18 degC}\n",
        encoding="utf-8",
    )
    found = diagnose(CIRCUIT, read_text(file.read_text(encoding="utf-8"), CIRCUIT))
    alarm, never, out, tee = (each.sound for each in found.readings)
    assert alarm is not None
    assert oil.time_to_alarm is not None
    assert 1 / alarm == pytest.approx(oil.time_to_alarm, rel=2e-3)
    assert never == 0.0
    assert out == pytest.approx(row.part("tank coil").outlet_temperature, abs=0.05)
    assert tee == pytest.approx(row.joints["tee-off"].temperature, abs=1e-6)
    said = Shell(capsys)("diagnose", FILE, file).out
    assert "never" in said
    assert "60 min" in said


def test_a_trial_predicts_the_temperatures_and_keeps_them_for_next_year(
    capsys: pytest.CaptureFixture[str], tmp_path: Path
):
    shell, read, kept = Shell(capsys), tmp_path / "read.yaml", tmp_path / "kept.yaml"
    row = netsolve.solve(CIRCUIT)["towing", "as found"]
    plateau = row.oil("winch oil").plateau
    assert plateau is not None
    read.write_text(
        f"readings:\n  - {{temperature: winch oil, condition: towing, value: {plateau - 273.15:.2f} degC}}\n",
        encoding="utf-8",
    )
    lines = shell("trial", FILE, "--readings", read, "--baseline", kept, "--json").json["lines"]
    (line,) = [each for each in lines if each["verdict"]]
    assert line["low"] < plateau < line["high"]
    assert plateau == pytest.approx(line["predicted"], abs=1.0)
    again = shell("trial", FILE, "--last-year", kept, "--json")
    assert 0 == again.status
    assert [plateau] == pytest.approx([each["before"] for each in again.json["lines"] if each["before"]], abs=0.01)


def test_an_alarm_needs_an_oil_with_an_alarm():
    bare = netsolve.loads(FILE.read_text(encoding="utf-8").replace("alarm: 71 degC, ", ""))
    with pytest.raises(CircuitError, match="has no alarm"):
        read_text("readings: [{alarm: winch oil, condition: hauling, took: 60 min}]", bare)


def solved(state: netsolve.circuit.Row) -> netsolve.result.RowResult:  # type: ignore[name-defined]
    from netsolve.answer import answer
    from netsolve.assemble import assemble
    from netsolve.warmed import solve_rows

    return answer(CIRCUIT, *solve_rows(assemble([state]))).rows[0]


def chances(*lines: str) -> dict[str, float]:
    text = "readings:\n" + "".join(f"  - {{{each}}}\n" for each in lines)
    return {each.name: each.probability for each in diagnose(CIRCUIT, read_text(text, CIRCUIT)).ranking.suspects}


def test_an_alarm_that_did_not_sound_speaks_against_what_would_have_made_it_sound():
    """Towing it never does where all is sound; a coil that passes a third of the heat makes it."""
    bucket = "bucket: winch branch, condition: towing, volume: 10 L, took: 45.5 s"
    before = chances(bucket)
    never = chances(bucket, "alarm: winch oil, condition: towing, never: 8 h")
    soon = chances(bucket, "alarm: winch oil, condition: towing, took: 90 min")
    dull, sound = "tank coil: passes less heat", "nothing is wrong"
    assert never[dull] < before[dull] < soon[dull]
    assert never[sound] > before[sound] > soon[sound]


def test_the_longer_it_did_not_sound_the_more_that_tells_and_a_moment_tells_nothing():
    bucket = "bucket: winch branch, condition: hauling, volume: 10 L, took: 40 s"
    dull = "tank coil: passes less heat"
    before = chances(bucket)[dull]
    told = [chances(bucket, f"alarm: winch oil, condition: hauling, never: {time}")[dull] for time in ("1 min", "2 h")]
    assert told[0] == pytest.approx(before, rel=0.02)
    assert told[1] < 0.8 * before


def test_a_bound_is_as_likely_as_a_normal_vector_of_what_was_read_lies_below_it():
    """P(first, second below its bound) as the joint density's integral, which scipy has as a conditional normal."""
    draw = np.random.default_rng(7)
    shown, slopes = draw.normal(size=(3, 2)), draw.normal(size=(3, 2, 4))
    probe = Probe("alarm", ("oil",), Situation("cruise"))
    exact, bound = Reading(probe, 0.3, 0.5), Reading(probe, -0.2, 0.4, at_most=True)
    unclear = np.array([[0.1, 0.2]] * 3)
    found, _ = measured([exact, bound], [0, 1], shown, slopes, unclear)
    for log, mean, effects in zip(found, shown, slopes, strict=True):
        spread = effects @ effects.T + np.diag([0.5**2 + 0.1**2, 0.4**2 + 0.2**2])
        joint = multivariate_normal(mean, spread)
        at = np.linspace(-30.0, bound.value, 60001)
        expected = np.trapezoid(joint.pdf(np.column_stack([np.full_like(at, exact.value), at])), at)
        assert log == pytest.approx(np.log(expected), abs=1e-4)
    alone, left = measured([bound], [1], shown, slopes, unclear)
    widths = np.sqrt((slopes[:, 1] ** 2).sum(axis=-1) + 0.4**2 + 0.2**2)
    np.testing.assert_allclose(alone, norm.logcdf((bound.value - shown[:, 1]) / widths))
    assert (left > 0).tolist() == (shown[:, 1] > bound.value).tolist()


def test_an_alarm_that_did_not_sound_is_told_as_such(capsys: pytest.CaptureFixture[str], tmp_path: Path):
    shell, file = Shell(capsys), tmp_path / "read.yaml"
    file.write_text("readings: [{alarm: winch oil, condition: towing, never: 90 min}]\n", encoding="utf-8")
    assert "not in 90 min" in shell("diagnose", FILE, file).out
    told = shell("diagnose", FILE, file, "--json").json
    assert sum(each["probability"] for each in told["ranked"]) == pytest.approx(1.0)
    assert "nothing is wrong" in [each["fault"] for each in told["ranked"][:12]]
    assert 0 == shell("trial", FILE, "--readings", file).status


@pytest.mark.parametrize(
    ("said", "code", "cure"),
    [
        ("never: 90 min, took: 60 min", "contradiction", ""),
        ("accuracy: 1 min", "contradiction", ""),
        ("never: 90", "no-unit", "min"),
        ("never: 90 min ± 5 min", "no-spread", "accuracy"),
        ("nevr: 90 min", "unknown-parameter", "did you mean 'never'?"),
    ],
)
def test_a_time_without_an_alarm_that_cannot_be_is_refused(said: str, code: str, cure: str):
    with pytest.raises(CircuitError) as raised:
        read_text(f"readings: [{{alarm: winch oil, condition: towing, {said}}}]", CIRCUIT)
    (problem,) = raised.value.problems
    assert (code, True) == (problem.code, cure in problem.help), problem
