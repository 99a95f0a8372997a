"""What `--json` prints, key by key: programs rely on it, so nothing is renamed, left out or added unseen."""

from __future__ import annotations

from pathlib import Path
from typing import Any

import pytest

import netsolve
from netsolve.circuit import Circuit
from tests.commands import CIRCUITS, POT_HAULER, Shell

EVERY = sorted(CIRCUITS.glob("*.yaml"))

ROW = {"condition", "change", "settings", "settled", "iterations", "mass_imbalance_m3_s", "energy_imbalance_pa"}
SETTLED = ROW | {"runs", "joints", "parts", "findings", "oils"}
RUN = {
    "from", "to", "flow_m3_s", "verdict", "drive_pa", "lift_pa", "missing_pa", "lowest_pressure_pa", "lowest_at",
}  # fmt: skip
PORT = {"flow_m3_s", "pressure_pa", "total_pressure_pa"}
PART = {
    "type", "run", "fitted", "height_m", "flow_m3_s", "pressure_drop_pa", "share", "inlet_pressure_pa",
    "outlet_pressure_pa", "velocity_m_s", "status", "min_flow_m3_s", "max_flow_m3_s", "verdict", "inlet_temperature_k",
    "outlet_temperature_k", "duty_w",
}  # fmt: skip
FINDING = {"code", "severity", "about", "message", "help", "value", "limit", "unit", "basis", "at"}
EFFECT = {
    "change", "condition", "about", "before", "after", "difference", "verdict_before", "verdict_after",
}  # fmt: skip


@pytest.fixture
def shell(capsys: pytest.CaptureFixture[str]) -> Shell:
    return Shell(capsys)


@pytest.fixture
def circuit() -> Circuit:
    return netsolve.load(POT_HAULER)


def test_the_head_names_the_format_the_program_and_the_circuit(shell: Shell) -> None:
    data = shell("solve", POT_HAULER, "--json").json
    assert set(data) == {"format", "version", "circuit", "assumed", "rows"}
    assert (data["format"], data["version"]) == (1, netsolve.__version__)
    assert data["circuit"] == "Pot-hauler oil cooler on a 12 m crab boat"


def test_every_assumed_value_is_listed_in_si_with_its_source(shell: Shell) -> None:
    assumed = shell("solve", POT_HAULER, "--json").json["assumed"]
    assert {frozenset(each) for each in assumed} == {frozenset({"part", "parameter", "value", "unit", "source"})}
    slip = next(each for each in assumed if (each["part"], each["parameter"]) == ("raw-water pump", "slip"))
    assert slip["value"] == pytest.approx(0.12 / 1e5)
    assert slip["unit"] == "1/Pa"


def test_rows_come_in_file_order_conditions_inside_changes(shell: Shell, circuit: Circuit) -> None:
    rows = shell("solve", POT_HAULER, "--json").json["rows"]
    expected = [(condition, change) for change in circuit.changes for condition in circuit.conditions]
    assert [(row["condition"], row["change"]) for row in rows] == expected


@pytest.mark.parametrize("file", EVERY, ids=lambda file: file.stem)
def test_every_row_has_exactly_the_promised_keys(shell: Shell, file: Path) -> None:
    written = netsolve.load(file).as_found
    findings = 0
    for row in shell("solve", file, "--json").json["rows"]:
        assert set(row) == SETTLED
        assert list(row["parts"]) == list(written.parts)
        assert list(row["runs"]) == list(written.runs)
        assert list(row["joints"]) == list(written.places)
        assert all(set(run) == RUN for run in row["runs"].values())
        assert all(set(part) == PART for part in row["parts"].values())
        for joint in row["joints"].values():
            assert set(joint) == {"height_m", "status", "ports", "temperature_k", "mixed_temperature_k"}
            assert all(set(port) == PORT for port in joint["ports"].values())
        assert all(set(each) - {"cautions", "lacks"} == FINDING for each in row["findings"])
        findings += len(row["findings"])
    assert findings > 0


def test_a_part_that_is_not_fitted_is_listed_with_nulls(shell: Shell) -> None:
    row = shell("solve", POT_HAULER, "--json", "--condition", "idle", "--change", "as found").json["rows"][0]
    screen = row["parts"]["mesh screen"]
    assert (screen["type"], screen["run"], screen["fitted"]) == ("strainer", "oil cooler branch", False)
    empty = ("flow_m3_s", "pressure_drop_pa", "share", "inlet_pressure_pa", "velocity_m_s", "verdict")
    assert [screen[key] for key in empty] == [None] * len(empty)


def test_a_blanked_run_is_listed_as_shut_with_nulls(shell: Shell) -> None:
    data = shell("solve", POT_HAULER, "--json", "--condition", "idle", "--change", "cooler branch closed").json
    (row,) = data["rows"]
    run, cooler = row["runs"]["oil cooler branch"], row["parts"]["oil cooler"]
    assert (run["from"], run["to"].removesuffix(".end"), run["verdict"]) == ("tee-off.branch", "overboard", "shut")
    assert (run["flow_m3_s"], run["drive_pa"]) == (None, None)
    assert (cooler["fitted"], cooler["flow_m3_s"], cooler["verdict"]) == (True, None, "shut")


def test_numbers_are_si_and_flows_are_positive_out_of_a_joint(shell: Shell) -> None:
    row = shell("solve", POT_HAULER, "--json", "--condition", "idle", "--change", "as found").json["rows"][0]
    cooler = row["parts"]["oil cooler"]
    assert cooler["min_flow_m3_s"] == pytest.approx(1.5 * 3.785411784e-3 / 60)  # 1.5 US gpm, by definition
    branch = row["runs"]["oil cooler branch"]["flow_m3_s"]
    ports = row["joints"]["tee-off"]["ports"]
    assert ports["branch"]["flow_m3_s"] == pytest.approx(branch)
    assert ports["common"]["flow_m3_s"] == pytest.approx(-row["runs"]["intake"]["flow_m3_s"])
    assert sum(port["flow_m3_s"] for port in ports.values()) == pytest.approx(0, abs=1e-9 * branch)
    assert row["joints"]["overboard"]["ports"]["end"]["flow_m3_s"] == pytest.approx(-branch)
    velocity = branch / (3.141592653589793 / 4 * 13.8e-3**2)
    assert cooler["velocity_m_s"] == pytest.approx(velocity)


def test_a_finding_stands_at_its_line_and_column(shell: Shell) -> None:
    row = shell("solve", POT_HAULER, "--json", "--condition", "idle", "--change", "as found").json["rows"][0]
    starved = next(each for each in row["findings"] if each["code"] == "starved")
    lines = POT_HAULER.read_text(encoding="utf-8").splitlines()
    line = next(number for number, text in enumerate(lines, 1) if text.strip().startswith("- oil cooler:"))
    assert starved["at"] == {
        "file": str(POT_HAULER),
        "line": line,
        "column": lines[line - 1].index("oil cooler") + 1,
    }
    assert (starved["severity"], starved["about"], starved["unit"]) == ("fault", "oil cooler", "m3/s")
    assert starved["value"] == row["parts"]["oil cooler"]["flow_m3_s"]
    assert starved["limit"] == row["parts"]["oil cooler"]["min_flow_m3_s"]


def test_effects_have_exactly_the_promised_keys(shell: Shell) -> None:
    data = shell("compare", POT_HAULER, "--json").json
    assert set(data) == {"effects", "oils", "coolers", "diverted", "budgets", "sentence"}
    assert {frozenset(each) for each in data["effects"]} == {frozenset({*EFFECT, "percent", "others"})}
    assert len(data["effects"]) == 4 * 3 * 2  # changes, conditions, needs


def everything(data: Any) -> list[Any]:
    if isinstance(data, dict):
        return [each for value in data.values() for each in everything(value)]
    return [each for value in data for each in everything(value)] if isinstance(data, list) else [data]


@pytest.mark.parametrize("file", EVERY, ids=lambda file: file.stem)
def test_a_value_is_a_finite_number_a_word_yes_no_or_null(shell: Shell, file: Path) -> None:
    values = everything(shell("solve", file, "--json").json)  # reading refuses NaN and infinity
    assert {type(value) for value in values} <= {float, int, str, bool, type(None)}
    assert len([value for value in values if isinstance(value, float)]) > 100
