"""Temperatures and alarms as readings: they show the fault that the water does not, and no more than they can."""

from __future__ import annotations

from pathlib import Path

import pytest

import netsolve
from netsolve.problems import CircuitError
from netsolve.study.diagnosis.diagnose import diagnose
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
