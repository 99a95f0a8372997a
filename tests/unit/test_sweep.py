"""A sweep's rows are the rows that one would solve one by one, and its columns say what those rows say."""

import math

import numpy as np
import pytest

import netsolve
from netsolve.problems import CircuitError
from tests.commands import CIRCUITS, POT_HAULER, Shell, edited, written
from tests.unit.test_cli_unsettled import NO_NUMBER

HAULER = netsolve.load(POT_HAULER)
TWO = netsolve.load(CIRCUITS / "two_coolers.yaml")

QUADRATIC = """
format: 1
circuit: a tank that feeds two open ends through plain losses
joints:
  tank: {type: tank, level: 0 m, pressure: 20 kPa, losses: none}
  outlet: {type: discharge, height: 0 m, losses: none}
runs:
  feed: {from: tank, to: outlet, parts: [{pipe: {type: loss, k: 4, bore: 16 mm, min_flow: 12 L/min}}]}
"""
DENSITY = 1025.0


@pytest.fixture
def netsolve_at_shell(capsys: pytest.CaptureFixture[str]) -> Shell:
    return Shell(capsys)


@pytest.mark.parametrize(
    ("circuit", "settings"),
    [
        (HAULER, {"main.speed": list(np.linspace(0, 45, 12)), "feed hose.bore": ["8 mm", "1/2 in"]}),
        (TWO, {"main.speed": list(np.linspace(0, 45, 9)), "winch outlet.height": list(np.linspace(-0.5, 9, 7))}),
        (TWO, {"weed strainer.blinded": ["0 %", "50 %", "90 %"], "winch hose.wall": ["smooth", "corrugated"]}),
        (HAULER, {"seacock.shut": ["open", "45 deg", "closed"], "oil cooler.min_flow": ["2 gpm", "4 gpm"]}),
        (HAULER, {"overboard.height": ["-0.1 m", "0.1 m", "3 m"], "feed hose.count": [1.0, 2.0]}),
    ],
    ids=["speed and bore", "dry and reversed", "words", "closed, and a need", "height and count"],
)
def test_the_columns_say_what_the_rows_say(circuit, settings):
    sweep = netsolve.sweep(circuit, settings)
    flows = {name: sweep.flow(name) for name in sweep.needs}
    verdicts = {name: sweep.verdict(name) for name in sweep.needs}
    assert len(sweep.rows) == len(circuit.rows) * np.prod([len(values) for values in settings.values()])
    for place, row in enumerate(sweep):
        for name in sweep.needs:
            assert verdicts[name][place] == row.part(name).verdict
            assert flows[name][place] == pytest.approx(row.part(name).flow or 0.0, rel=1e-9, abs=1e-12)


def test_a_row_is_the_one_that_solve_gives_for_a_file_with_the_same_values(tmp_path):
    text = POT_HAULER.read_text(encoding="utf-8")
    edited = text.replace("idle:   {main.speed: 700 rpm", "idle:   {main.speed: 900 rpm").replace(
        "feed hose:      {type: hose, bore: 5/8 in", "feed hose:      {type: hose, bore: 12 mm"
    )
    assert edited != text
    alone = netsolve.solve(netsolve.loads(edited))["idle", "screen"]
    sweep = netsolve.sweep(
        HAULER, {"main.speed": ["900 rpm"], "feed hose.bore": [0.012]}, conditions=["idle"], changes=["screen"]
    )
    (row,) = sweep.rows
    assert {"main.speed": pytest.approx(15.0), "feed hose.bore": 0.012} == row.settings
    fitted = {name: part for name, part in alone.parts.items() if part.fitted}
    for name, part in fitted.items():
        assert row.parts[name].flow == pytest.approx(part.flow, rel=1e-6)
        assert row.parts[name].verdict == part.verdict


def test_the_flow_follows_the_bore_as_it_does_on_paper():
    """q = A sqrt(2 dp / (K rho)), and so as the square of the bore; the water is thin, so that friction adds nothing, and the
    open end asks for 1 Pa."""
    circuit = netsolve.loads(
        QUADRATIC.replace("joints:", "water: {kind: custom, density: 1025 kg/m3, viscosity: 0.01 mPa.s}\njoints:")
    )
    bores = [0.008, 0.012, 0.016, 0.02]
    sweep = netsolve.sweep(circuit, {"pipe.bore": bores})
    by_hand = [math.pi / 4 * bore**2 * math.sqrt(2 * 20e3 / (4 * DENSITY)) for bore in bores]
    assert by_hand == pytest.approx(list(sweep.flow("pipe")), rel=5e-5)


def test_settings_that_move_together_make_no_rows_of_their_own():
    sweep = netsolve.sweep(
        HAULER, {"feed hose.bore, return hose.bore": [0.012, 0.019]}, conditions=["idle"], changes=["as found"]
    )
    assert [{"feed hose.bore": bore, "return hose.bore": bore} for bore in (0.012, 0.019)] == [
        row.settings for row in sweep
    ]
    apart = netsolve.sweep(
        HAULER, {"feed hose.bore": [0.012], "return hose.bore": [0.012]}, conditions=["idle"], changes=["as found"]
    )
    assert apart.flow("oil cooler")[0] == pytest.approx(sweep.flow("oil cooler")[0])


def test_a_sweep_is_a_result(tmp_path):
    sweep = netsolve.sweep(HAULER, {"main.speed": ["700 rpm", "900 rpm"]}, conditions=["idle"], changes=["as found"])
    told = sweep.to_dict()["rows"]
    assert [11.666666666666666, 15.0] == [row["settings"]["main.speed"] for row in told]
    assert all(row["findings"] for row in told)
    sweep.to_csv(tmp_path / "rows.csv")
    head, first, _ = (tmp_path / "rows.csv").read_text(encoding="utf-8").splitlines()
    assert head.startswith("condition,change,main.speed rev/s,settled,engine cooler flow m3/s,engine cooler verdict")
    assert first.startswith("idle,as found,11.666666666666666,True,")
    assert list(sweep.to_pandas()["oil cooler verdict"]) == [row["parts"]["oil cooler"]["verdict"] for row in told]


def test_a_row_that_does_not_settle_has_no_flow_and_no_verdict(netsolve_at_shell, tmp_path):
    written(tmp_path, NO_NUMBER, "riddle.py")
    file = written(tmp_path, edited("{type: strainer, cv: 8, mesh: 60, fitted: no}", "{type: riddle, bore: 16 mm}"))
    only = ("--condition", "idle", "--change", "as found", "--plugins", tmp_path)
    csv = tmp_path / "rows.csv"
    done = netsolve_at_shell("sweep", file, "--vary", "mesh screen.bore = 10 mm, 16 mm", *only)
    assert done.status == 3
    assert next(line for line in done.out.splitlines() if "NOT SETTLED" in line).startswith("10 mm")
    assert "1 of 2 rows did not settle" in done.out
    assert (
        netsolve_at_shell("sweep", file, "--vary", "mesh screen.bore = 10 mm, 16 mm", *only, "--csv", csv).status == 3
    )
    _, wrong, right = csv.read_text(encoding="utf-8").splitlines()
    assert wrong.endswith("False,,,,")
    assert right.endswith("starved")


def test_what_cannot_be_is_refused_from_python_too():
    with pytest.raises(CircuitError, match="there is no 'man' to set"):
        netsolve.sweep(HAULER, {"man.speed": [1.0]})
    with pytest.raises(CircuitError, match="more than 200,000"):
        netsolve.sweep(
            HAULER, {"main.speed": np.linspace(1, 40, 2000), "feed hose.bore": np.linspace(0.01, 0.02, 2000)}
        )
    with pytest.raises(ValueError, match="no value"):
        netsolve.sweep(HAULER, {"main.speed": []})
    with pytest.raises(KeyError, match="no condition"):
        netsolve.sweep(HAULER, {"main.speed": [1.0]}, conditions=["flat out"])


def test_the_command_prints_a_table_of_80_columns(netsolve_at_shell):
    done = netsolve_at_shell(
        "sweep", POT_HAULER, "--vary", "main.speed = 700 .. 2600 rpm, 3 points", "--condition", "cruise"
    )
    assert done.status == 0
    assert max(map(len, done.out.splitlines())) <= 80
    assert "1650 rpm" in done.out
    assert "STARVED" in done.out


def test_what_conditions_set_too_is_said_to_be_overruled(netsolve_at_shell):
    vary = ("--vary", "main.speed = 700 rpm, 900 rpm", "--change", "as found")
    assert "note: main.speed is not the same in all" in netsolve_at_shell("sweep", POT_HAULER, *vary).out
    assert "note" not in netsolve_at_shell("sweep", POT_HAULER, *vary, "--condition", "idle").out


def test_many_needs_are_told_in_several_tables(netsolve_at_shell, tmp_path):
    parts = "".join(f", {{cooler {n}: {{type: loss, k: 1, bore: 16 mm, min_flow: {n} L/min}}}}" for n in range(1, 8))
    file = written(tmp_path, QUADRATIC.replace("12 L/min}}]", f"12 L/min}}}}{parts}]"))
    done = netsolve_at_shell("sweep", file, "--vary", "pipe.k = 1, 2")
    assert max(map(len, done.out.splitlines())) <= 80
    assert all(f"cooler {n}" in done.out for n in range(1, 8))


def test_csv_and_json_hold_the_same(netsolve_at_shell, tmp_path):
    vary = (
        "--vary",
        "feed hose.bore = 12 mm, 16 mm",
        "--vary",
        "feed hose.wall = smooth, corrugated",
        "--condition",
        "idle",
    )
    file = tmp_path / "rows.csv"
    told = netsolve_at_shell("sweep", POT_HAULER, *vary, "--csv", file).out
    assert told == "no need is crossed, feed hose.bore between 12 mm and 16 mm\n"
    told = netsolve_at_shell("sweep", POT_HAULER, *vary, "--json").json["rows"]
    lines = file.read_text(encoding="utf-8").splitlines()
    assert len(lines) == 1 + len(told)
    for line, row in zip(lines[1:], told, strict=True):
        assert row["settings"]["feed hose.wall"] in line
        assert str(row["parts"]["engine cooler"]["flow_m3_s"])[:10] in line


@pytest.mark.parametrize(
    ("options", "place", "message", "cure"),
    [
        (["main.speed"], "1:1", "is not NAME.PARAMETER = VALUES", "--vary 'main.speed = 700 rpm"),
        (["main.sped = 1 rpm"], "1:1", "an engine has no 'sped'", "did you mean 'speed'?"),
        (["mian.speed = 1 rpm"], "1:1", "there is no 'mian' to set", "did you mean 'main'?"),
        (["main.speed = 700"], "1:14", "'700' has no unit", "write 700 rpm"),
        (["main.speed = 700 rpm, nine rpm"], "1:23", "not a number that can be read", ""),
        (["main.speed = 700,900 rpm"], "1:14", "a comma between two digits", "700, 900 for two values"),
        (["main.speed = 2600 .. 700 rpm"], "1:1", "the range does not rise", "put the smaller value first"),
        (["main.speed = 1 .. 2 rpm, 1 points"], "1:26", "from 2 to 10000 points", "write 7 points"),
        (["feed hose.bore = -1 mm, 2 mm"], "1:18", "must be above 0", ""),
        (["feed hose.wall = smooth, rough"], "1:26", "'rough' is none of smooth, corrugated", "write smooth"),
        (["feed hose.wall = smooth .. corrugated"], "1:1", "takes no range of numbers", "list its values"),
        (["mesh screen.fitted = yes, no"], "1:1", "'fitted' is not a setting", "use a change"),
        (["main.speed = 1 rpm", "Main.speed = 2 rpm"], "2:1", "varied twice", "keep one"),
        (["main.speed = 1 rpm,, 2 rpm"], "1:20", "nothing stands between two commas", "take one away"),
        (["feed hose.bore = 1 .. 2 mm, 2000", "main.speed = 1 .. 2 rpm, 2000"], "", "more than 200,000", "take fewer"),
    ],
)  # fmt: skip
def test_what_is_wrong_with_an_option_is_told_at_its_place(netsolve_at_shell, options, place, message, cure):
    done = netsolve_at_shell("sweep", POT_HAULER, *(word for each in options for word in ("--vary", each)))
    assert (done.status, done.out) == (2, "")
    assert done.err.startswith(f"--vary:{place}: error[" if place else "error[")
    assert message in done.err
    assert cure in done.err


def test_no_option_is_refused_with_one(netsolve_at_shell):
    done = netsolve_at_shell("sweep", POT_HAULER)
    assert (done.status, done.out) == (2, "")
    assert "--vary 'main.speed" in done.err


def test_a_file_that_cannot_be_written_is_told(netsolve_at_shell, tmp_path):
    done = netsolve_at_shell(
        "sweep", POT_HAULER, "--vary", "main.speed = 700 rpm", "--csv", tmp_path / "nowhere" / "x.csv"
    )
    assert done.status == 2
    assert "cannot be written" in done.err
