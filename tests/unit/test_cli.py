"""The commands: what they print, where they print it, and how they end."""

from __future__ import annotations

import json
import os
import re
import subprocess
import sys
from pathlib import Path

import pytest

import netsolve
from tests.commands import CIRCUITS, POT_HAULER, Shell, edited, written

EVERY = sorted(CIRCUITS.glob("*.yaml"))


@pytest.fixture
def shell(capsys: pytest.CaptureFixture[str], monkeypatch: pytest.MonkeyPatch) -> Shell:
    monkeypatch.setenv("COLUMNS", "80")
    return Shell(capsys)


@pytest.mark.parametrize("file", EVERY, ids=lambda file: file.stem)
def test_check_counts_what_a_sound_file_holds(shell: Shell, file: Path) -> None:
    done = shell("check", file)
    assert done.status == 0
    assert re.search(r"no problems; \d+ parts in \d+ runs? between \d+ joints, [1-9] conditions?", done.out)


def test_check_counts_one_thing_as_one(shell: Shell, tmp_path: Path) -> None:
    text = """format: 1
circuit: drip
water: {kind: fresh, temperature: 10 degC}
joints: {sea: {type: sea_inlet, height: -1 m, bore: 16 mm}, bilge: {type: discharge, height: -0.5 m, bore: 16 mm}}
runs: {leak: {from: sea, to: bilge, parts: [pipe: {type: hose, bore: 16 mm, length: 1 m}]}}
"""
    done = shell("check", written(tmp_path, text))
    assert done.out.splitlines() == ["drip", "no problems; 1 part in 1 run between 2 joints, 1 condition"]


@pytest.mark.parametrize("file", EVERY, ids=lambda file: file.stem)
@pytest.mark.parametrize("command", ["check", "solve", "compare"])
def test_tables_fit_80_columns_and_end_with_status_0(shell: Shell, command: str, file: Path) -> None:
    done = shell(command, file)
    assert done.status == 0
    assert done.err == ""
    assert 80 >= max(len(line) for line in done.out.splitlines())


@pytest.mark.parametrize("file", EVERY, ids=lambda file: file.stem)
def test_every_row_of_a_comparison_stands_on_one_line(shell: Shell, file: Path) -> None:
    printed = shell("compare", file).out.splitlines()
    lines = [line for line in printed if " → " in line and "Flows" not in line and not line.startswith(" ")]
    effects = shell("compare", file, "--json").json["effects"]
    assert len(effects) == len(lines)
    for line, effect in zip(lines, effects, strict=True):
        assert line.startswith(effect["condition"])
        assert effect["about"] in line


def test_a_number_is_never_parted_from_its_unit(shell: Shell) -> None:
    for file in EVERY:
        lines = shell("solve", file).out.splitlines()
        assert [line for line in lines if re.match(r" *(kPa|psi|L/min|gpm|mm|%)", line)] == []
        assert [line for line in lines if re.search(r"\d (kPa|psi|L/min|gpm|mm|%)", line)] != []


def test_alike_assumed_values_are_said_once_in_units_of_the_trade(shell: Shell) -> None:
    words = shell("solve", POT_HAULER).words
    assert "roughness 0.01 mm of suction hose, feed hose, return hose: the middle of" in words
    assert "slip 12 %/bar of raw-water pump: an estimate" in words


def test_assumed_values_of_parts_in_none_of_the_rows_are_left_out(shell: Shell) -> None:
    assert "of check valve" in shell("solve", POT_HAULER).words
    assert "of check valve" not in shell("solve", POT_HAULER, "--change", "screen").words


def test_a_run_blanked_as_written_is_not_listed_until_a_change_opens_it(shell: Shell) -> None:
    file = CIRCUITS / "reference_diesel.yaml"
    assert "to exhaust" not in shell("solve", file, "--change", "as found").out
    opened = shell("solve", file, "--change", "discharge into exhaust", "--condition", "idle").words
    assert "to overboard shut, to exhaust 1.0" in opened


def test_filters_leave_the_rows_asked_for_whatever_their_case_and_spaces(shell: Shell) -> None:
    done = shell("solve", POT_HAULER, "--json", "--condition", "IDLE", "--condition", "full", "--change", "As  Found")
    assert [(row["condition"], row["change"]) for row in done.json["rows"]] == [
        ("idle", "as found"),
        ("full", "as found"),
    ]


def test_compare_keeps_the_circuit_as_found_beside_the_change_asked_for(shell: Shell) -> None:
    effects = shell("compare", POT_HAULER, "--json", "--change", "screen", "--condition", "idle").json["effects"]
    assert [(each["change"], each["condition"], each["about"]) for each in effects] == [
        ("screen", "idle", "engine cooler"),
        ("screen", "idle", "oil cooler"),
    ]
    assert effects[1]["difference"] == pytest.approx(effects[1]["after"] - effects[1]["before"])
    assert effects[1]["difference"] < 0


@pytest.mark.parametrize(
    ("arguments", "message"),
    [
        (["--condition", "idel"], "no condition is called 'idel'\n  help: did you mean 'idle'?"),
        (["--condition", "storm"], "no condition is called 'storm'\n  help: there are: idle, cruise, full"),
        (["--change", "scren"], "no change is called 'scren'\n  help: did you mean 'screen'?"),
        (["--change", "[/red]"], "no change is called '[/red]'"),
    ],
)
@pytest.mark.parametrize("command", ["solve", "compare", "draw"])
def test_a_name_that_the_file_does_not_have_is_refused(
    shell: Shell, tmp_path: Path, command: str, arguments: list[str], message: str
) -> None:
    picture = ["-o", str(tmp_path / "x.svg")] if command == "draw" else []
    done = shell(command, POT_HAULER, *arguments, *picture)
    assert (done.status, done.out) == (2, "")
    assert message in done.err
    assert list(tmp_path.iterdir()) == []


def test_show_adds_values_in_both_systems(shell: Shell) -> None:
    wanted = ["raw-water pump.inlet_pressure", "Tee-Off.branch.flow", "oil cooler branch.lowest_at"]
    options = [option for each in wanted for option in ("--show", each)]
    words = shell("solve", POT_HAULER, "--condition", "idle", "--change", "as found", *options).words
    assert re.search(r"raw-water pump.inlet_pressure: -?[\d.]+ kPa \(-?[\d.]+ psi\)", words)
    assert re.search(r"tee-off.branch.flow: [\d.]+ L/min \([\d.]+ gpm\)", words)
    assert "oil cooler branch.lowest_at: " in words


@pytest.mark.parametrize(
    ("wanted", "message"),
    [
        ("flow", "there is no value 'flow'"),
        ("oil coler.flow", "there is no value 'oil coler.flow'"),
        ("oil cooler.colour", "'oil cooler' has no 'colour'; it has: flow,"),
        ("tee-off.side.flow", "'tee-off' has no port 'side'; it has: common, straight, branch"),
        ("oil cooler.__class__", "'oil cooler' has no '__class__'"),
    ],
)
def test_a_value_that_there_is_not_is_refused(shell: Shell, wanted: str, message: str) -> None:
    done = shell("solve", POT_HAULER, "--show", wanted)
    assert (done.status, done.out) == (2, "")
    assert message in done.err
    assert "--show" in done.err


def test_what_carries_no_water_has_nothing_that_moves_its_flow(shell: Shell) -> None:
    done = shell("solve", POT_HAULER, "--sensitivity", "Mesh Screen", "--condition", "idle")
    assert done.status == 0
    for change, flows in (("as found", False), ("screen", True), ("cooler branch closed", False)):
        told = done.out.partition(f"idle, {change}: ")[2].partition("what moves")[0]
        assert told.startswith("no flow") is not flows
        assert ("raw-water pump  speed" in told) is flows


def test_units_us_puts_gallons_first_and_leaves_json_alone(shell: Shell) -> None:
    table = shell("solve", POT_HAULER, "--units", "us", "--condition", "idle").out
    assert re.search(r"STARVED +oil cooler +[\d.]+ gpm \([\d.]+ L/min\)", table)
    assert "of 1.5 gpm" in table
    metric, us = (shell("solve", POT_HAULER, "--json", "--units", system).json for system in ("metric", "us"))
    assert [row["parts"] for row in metric["rows"]] == [row["parts"] for row in us["rows"]]


def test_strict_ends_with_1_only_where_a_need_is_missed(shell: Shell) -> None:
    served = ("solve", POT_HAULER, "--condition", "full", "--change", "as found")
    starved = ("solve", POT_HAULER, "--condition", "idle", "--change", "as found")
    assert [shell(*each, *extra).status for each in (served, starved) for extra in ((), ("--strict",))] == [0, 0, 0, 1]
    assert shell("compare", POT_HAULER, "--strict").status == 1


@pytest.mark.parametrize(("name", "magic"), [("x.svg", b"<?xml"), ("x.png", b"\x89PNG"), ("x.DOT", b"digraph")])
def test_draw_writes_the_picture_that_the_ending_names(shell: Shell, tmp_path: Path, name: str, magic: bytes) -> None:
    done = shell("draw", POT_HAULER, "-o", tmp_path / name, "--condition", "Idle", "--change", "SCREEN")
    assert (done.status, done.out, done.err) == (0, "", "")
    assert (tmp_path / name).read_bytes().startswith(magic)


def test_draw_refuses_what_it_cannot_write(shell: Shell, tmp_path: Path) -> None:
    for name, message in (
        ("x.gif", "is neither .svg, .png, .pdf nor .dot\n  help: write for example -o circuit.svg"),
        ("x", "is neither .svg, .png, .pdf nor .dot"),
        ("none/x.dot", "cannot be written: No such file or directory\n  help: give another place after -o"),
        ("folder.dot", "cannot be written: Is a directory"),
    ):
        (tmp_path / "folder.dot").mkdir(exist_ok=True)
        done = shell("draw", POT_HAULER, "-o", tmp_path / name)
        assert (done.status, done.out) == (2, "")
        assert message in done.err


def test_notes_are_said_once_and_not_among_the_data(shell: Shell, tmp_path: Path) -> None:
    file = written(tmp_path, edited("length: 2.5 m", "length: 2 mm"))
    data, table, compared = shell("solve", file, "--json"), shell("solve", file), shell("compare", file, "--json")
    assert [done.status for done in (data, table, compared)] == [0, 0, 0]
    for done in (data, compared):
        assert f"{file}:41:60: note[suspicious]: length of feed hose: 2 mm is out of the ordinary" in done.err
        assert "did you mean 2 m?" in done.err
        assert done.json
    assert (table.err, table.words.count("2 mm is out of the ordinary")) == ("", 1)


def test_check_as_data_has_the_notes(shell: Shell, tmp_path: Path) -> None:
    done = shell("check", written(tmp_path, edited("length: 2.5 m", "length: 2 mm")), "--json")
    assert done.json["notes"] == ["length of feed hose: 2 mm is out of the ordinary"]


def test_a_silenced_rule_is_said_to_be_silenced(shell: Shell, tmp_path: Path) -> None:
    file = written(tmp_path, POT_HAULER.read_text() + "limits: {bore_step: off}\n")
    assert "bore steps" in shell("solve", POT_HAULER).words
    silent = shell("solve", file).words
    assert "bore steps" not in silent
    assert "because limits has them off: bore_step" in silent


def test_components_lists_every_kind_and_prints_the_page_of_one(shell: Shell) -> None:
    listed = shell("components")
    assert listed.status == 0
    kinds = re.findall(r"^  ([a-z_]+) ", listed.out, re.MULTILINE)
    assert {"hose", "strainer", "impeller_pump", "tee", "sea_inlet"} <= set(kinds)
    for kind in kinds:
        page = shell("components", kind)
        assert page.status == 0
        assert "Parameters" in page.out
        assert "Sources" in page.out


@pytest.mark.parametrize(
    ("name", "help"),
    [("hoes", "did you mean 'hose'?"), ("Hose", "did you mean 'hose'?"), ("[/red]", "'netsolve components' lists")],
)
def test_a_kind_that_there_is_not_is_refused_with_one_that_there_is(shell: Shell, name: str, help: str) -> None:
    done = shell("components", name)
    assert (done.status, done.out) == (2, "")
    assert f"no component is called '{name}'" in done.err
    assert help in done.err


def test_schema_names_every_parameter_of_every_kind(shell: Shell) -> None:
    text = shell("schema").out
    schema = json.loads(text)
    assert {"joints", "runs", "conditions", "changes", "limits"} <= set(schema["properties"])
    assert {"coil_diameter", "branch_bore", "rated_speed"} <= set(re.findall(r'"([a-z_]+)": \{', text))


@pytest.mark.parametrize(
    "arguments", [["frobnicate"], ["solve"], ["solve", "x.yaml", "--units", "cubits"], ["draw", "x"]]
)
def test_a_command_line_that_makes_no_sense_ends_with_2(shell: Shell, arguments: list[str]) -> None:
    done = shell(*arguments)
    assert (done.status, done.out) == (2, "")
    assert "Usage: netsolve" in done.err


def run(*arguments: str | Path, **environment: str) -> subprocess.CompletedProcess[bytes]:
    command = [sys.executable, "-W", "error", "-m", "netsolve", *map(str, arguments)]
    return subprocess.run(command, capture_output=True, env=os.environ | environment, check=False)


def test_the_package_runs_as_a_module() -> None:
    done = run("--version")
    assert (done.returncode, done.stdout.decode().strip()) == (0, f"netsolve {netsolve.__version__}")


@pytest.mark.skipif(not Path("/dev/full").exists(), reason="needs a device that is always full")
@pytest.mark.parametrize("arguments", [("check", POT_HAULER), ("solve", POT_HAULER, "--json"), ("solve", POT_HAULER)])
def test_an_answer_that_cannot_be_written_is_told_in_a_line(arguments: tuple[str | Path, ...]) -> None:
    command = [sys.executable, "-W", "error", "-m", "netsolve", *map(str, arguments)]
    with open("/dev/full", "wb") as full:
        done = subprocess.run(command, stdout=full, stderr=subprocess.PIPE, check=False)
    assert done.returncode == 2
    assert done.stderr.decode().splitlines() == [
        "error: the answer cannot be written: no space left on device",
        "  help: make room, or write it elsewhere",
    ]


def test_a_reader_who_has_seen_enough_is_not_told_of_it() -> None:
    command = [sys.executable, "-W", "error", "-m", "netsolve", "schema"]
    with subprocess.Popen(command, stdout=subprocess.PIPE, stderr=subprocess.PIPE) as running:
        assert running.stdout is not None
        assert running.stderr is not None
        running.stdout.close()
        assert running.stderr.read() == b""


def test_help_gives_each_command_a_whole_sentence(shell: Shell) -> None:
    lines = shell("--help").out.partition("Commands:\n")[2].splitlines()
    files = (CIRCUITS.parent / "netsolve" / "commands").glob("[a-z]*.py")
    names = sorted(file.stem.replace("_", "-") for file in files)
    assert {"check", "compare", "components", "draw", "report", "schema", "solve"} <= set(names)
    assert [line.split()[0] for line in lines] == names
    assert [line for line in lines if not line.endswith(".") or line.endswith("...")] == []


def test_a_terminal_that_lacks_a_character_gets_another() -> None:
    done = run("solve", POT_HAULER, "--condition", "idle", "--change", "as found", PYTHONIOENCODING="ascii")
    assert (done.returncode, done.stderr) == (0, b"")
    assert b"? 5.68 L/min" in done.stdout


@pytest.mark.parametrize("looked_on", [True, False])
@pytest.mark.parametrize(
    ("command", "counted"),
    [(("solve",), "rows"), (("margin",), "parts"), (("report", "-o", "boat.html"), "pictures")],
)
def test_long_work_shows_a_bar_to_whoever_looks_on(
    shell: Shell,
    monkeypatch: pytest.MonkeyPatch,
    tmp_path: Path,
    command: tuple[str, ...],
    counted: str,
    looked_on: bool,
) -> None:
    monkeypatch.chdir(tmp_path)
    monkeypatch.setattr("netsolve.console.PATIENCE", 0.0)
    monkeypatch.setattr(sys.stderr, "isatty", lambda: looked_on)
    monkeypatch.setenv("TERM", "xterm")
    done = shell(command[0], POT_HAULER, *command[1:])
    assert (counted in done.err) == looked_on
    assert "\x1b" not in done.out


def test_short_work_shows_no_bar(shell: Shell, monkeypatch: pytest.MonkeyPatch) -> None:
    monkeypatch.setattr("netsolve.console.PATIENCE", 60.0)
    monkeypatch.setattr(sys.stderr, "isatty", lambda: True)
    monkeypatch.setenv("TERM", "xterm")
    assert shell("margin", POT_HAULER).err == ""
