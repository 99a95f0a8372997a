"""`compare`: what lies behind a flow, against another file, part by part, and the sentence for the customer."""

from __future__ import annotations

from pathlib import Path

import pytest

import netsolve
from netsolve.study.diverted import share_diverted
from tests.commands import CIRCUITS, POT_HAULER, Shell, edited, written

LITRE = 1e-3 / 60


@pytest.fixture
def shell(capsys: pytest.CaptureFixture[str]) -> Shell:
    return Shell(capsys)


def test_each_effect_tells_what_every_other_need_loses(shell: Shell) -> None:
    effects = shell("compare", POT_HAULER, "--change", "screen", "--json").json["effects"]
    for engine, oil in zip(effects[::2], effects[1::2], strict=True):
        assert (engine["about"], oil["about"]) == ("engine cooler", "oil cooler")
        assert oil["others"] == {"engine cooler": engine["difference"]}
        assert 100 * oil["difference"] / oil["before"] == pytest.approx(oil["percent"])


def test_the_budget_is_the_pressure_that_drives_the_run(shell: Shell) -> None:
    data = shell("compare", POT_HAULER, "--change", "screen and check valve", "--json").json
    solved = shell("solve", POT_HAULER, "--json").json["rows"]
    rows = {(row["condition"], row["change"]): row for row in solved}
    for budget in data["budgets"]:
        run = rows[budget["condition"], budget["change"]]["runs"][budget["run"]]
        before = rows[budget["condition"], "as found"]["runs"][budget["run"]]
        for side, drive in (("after", run["drive_pa"]), ("before", before["drive_pa"])):
            assert drive == pytest.approx(sum(each[side] or 0.0 for each in budget["takes"]))
    assert len(data["budgets"]) == len(data["effects"]) == 6


def test_the_table_shows_the_budget_of_the_need_that_fares_worst(shell: Shell) -> None:
    words = shell("compare", POT_HAULER, "--change", "screen").words
    assert "pressure in oil cooler branch at idle, kPa" in words
    assert "mesh screen - " in words
    assert "in all" in words


@pytest.mark.parametrize(("file", "change"), [(POT_HAULER, "screen"), (CIRCUITS / "two_coolers.yaml", None)])
def test_nothing_printed_is_wider_than_a_terminal(
    shell: Shell, file: Path, change: str | None, monkeypatch: pytest.MonkeyPatch
) -> None:
    monkeypatch.setenv("COLUMNS", "80")
    for options in (["--change", change] if change else [], ["--each-part"]):
        assert max(len(line.rstrip()) for line in shell("compare", file, *options).out.splitlines()) <= 80


DIVERTED = """format: 1
circuit: two pumps
gallon: us
water: {kind: custom, density: 1000 kg/m3, viscosity: 1 mPa.s}
engines: {main: {speed: 2000 rpm, rated_speed: 2000 rpm}}
joints:
  sea:       {type: sea_inlet, height: -0.5 m, bore: 50 mm}
  other sea: {type: sea_inlet, height: -0.5 m, bore: 50 mm}
  chest:     {type: manifold, height: 0 m}
  exhaust:   {type: exhaust_injection, height: 0.2 m, bore: 32 mm}
  overboard: {type: discharge, height: 0.2 m, bore: 16 mm}
runs:
  engine's: {from: sea, to: chest, parts: [pump: {type: impeller_pump, rated_flow: 100 L/min, rated_speed: 2000 rpm}]}
  electric:
    from: other sea
    to: chest
    parts: [second pump: {type: impeller_pump, rated_flow: 50 L/min, rated_speed: 1000 rpm, speed: 1000 rpm}]
  wet exhaust: {from: chest, to: exhaust, parts: [ring: {type: rated_loss, drop: 20 kPa, at: 100 L/min}]}
  branch: {from: chest, to: overboard, parts: [cooler: {type: rated_loss, drop: 20 kPa, at: 20 L/min}]}
changes:
  branch closed: {blank: branch}
  engine off the chest: {blank: engine's}
"""


def test_what_is_diverted_is_the_engines_water_that_misses_the_exhaust() -> None:
    result = netsolve.solve(netsolve.loads(DIVERTED))
    shares = {row.change: share_diverted(row, state) for row, state in zip(result, result.states, strict=True)}
    runs = result["as written"].runs
    flow = {name: run.flow for name, run in runs.items()}
    assert flow["branch"] / (flow["branch"] + flow["wet exhaust"]) == pytest.approx(shares["as found"])  # evenly mixed
    assert 0.1 < shares["as found"] < 0.3
    assert [shares["branch closed"], shares["engine off the chest"]] == [0, None]


def test_the_pot_haulers_branch_is_what_it_diverts(shell: Shell) -> None:
    (share, *_) = shell("compare", POT_HAULER, "--change", "screen", "--json").json["diverted"]
    row = shell("solve", POT_HAULER, "--condition", "idle", "--change", "screen", "--json").json["rows"][0]
    flows = {name: run["flow_m3_s"] for name, run in row["runs"].items()}
    assert flows["oil cooler branch"] / flows["intake"] == pytest.approx(share["after"])


def test_another_file_is_compared_by_the_names_of_its_parts(shell: Shell, tmp_path: Path) -> None:
    other = written(
        tmp_path, edited("- feed hose:      {type: hose, bore: 5/8 in", "- Feed  Hose: {type: hose, bore: 3/4 in")
    )
    asked = shell("compare", POT_HAULER, other, "--json").json
    change = shell("compare", POT_HAULER, "--set", "feed hose.bore = 3/4 in", "--json").json
    for one, same in zip(asked["effects"], change["effects"], strict=True):
        assert one["after"] == pytest.approx(same["after"], rel=1e-7)
    for one, same in zip(asked["budgets"], change["budgets"], strict=True):
        assert [each["name"] for each in one["takes"]] == [each["name"] for each in same["takes"]]
    assert {each["change"] for each in asked["effects"]} == {"boat.yaml"}
    assert "before is pot_hauler.yaml" in shell("compare", POT_HAULER, other).words


def test_files_that_share_no_condition_are_refused(shell: Shell, tmp_path: Path) -> None:
    text = POT_HAULER.read_text(encoding="utf-8")
    for name in ("idle", "cruise", "full"):
        text = text.replace(f"  {name}:  ", f"  {name} ahead:  ").replace(f"  {name}: ", f"  {name} ahead: ")
    done = shell("compare", POT_HAULER, written(tmp_path, text))
    assert (done.status, done.out) == (2, "")
    assert "share no condition" in done.err


@pytest.mark.parametrize(
    ("options", "why"),
    [
        (["--need", "oil cooler"], "--need belongs to --each-part"),
        (["--each-part", "--fit", "mesh screen"], "--each-part looks at the circuit as found alone"),
        (["--each-part", "--change", "screen"], "--each-part looks at the circuit as found alone"),
        ([POT_HAULER, "--fit", "mesh screen"], "another file is compared as it stands"),
        (["--each-part", "--need", "oil coler"], "no part is called 'oil coler'"),
    ],
)
def test_questions_that_do_not_go_together_are_refused(shell: Shell, options: list[str], why: str) -> None:
    done = shell("compare", POT_HAULER, *options)
    assert (done.status, done.out) == (2, "")
    assert why in done.err


def test_each_part_is_worth_what_taking_it_out_gives(shell: Shell) -> None:
    parts = shell("compare", POT_HAULER, "--each-part", "--json").json["parts"]
    asked = {each["part"]: each for each in parts if each["condition"] == "idle"}
    assert list(asked)[:3] == ["oil cooler", "return hose", "feed hose"]
    assert set(asked) == set(netsolve.load(POT_HAULER).as_found.parts)
    for option, name in (("--remove", "return hose"), ("--fit", "check valve"), ("--remove", "injection ring")):
        effects = shell("compare", POT_HAULER, option, name, "--condition", "idle", "--json").json["effects"]
        effect = next(each for each in effects if each["about"] == "oil cooler")
        told = asked[name]
        assert told["verdict"] == effect["verdict_after"]
        assert told["before"] == pytest.approx(effect["before"], rel=1e-9)
        assert told["after"] == pytest.approx(effect["after"], rel=1e-9)
        assert told["put_in"] == (option == "--fit")
    gains = [each["difference"] for each in asked.values()]
    assert gains == sorted(gains, reverse=True)


def test_the_need_worst_off_is_looked_at_unless_another_is_named(shell: Shell) -> None:
    assert shell("compare", POT_HAULER, "--each-part", "--json").json["need"] == "oil cooler"
    data = shell("compare", POT_HAULER, "--each-part", "--need", "engine cooler", "--json").json
    assert data["need"] == "engine cooler"
    ring = next(each for each in data["parts"] if (each["part"], each["condition"]) == ("injection ring", "full"))
    assert ring["difference"] > 0


def test_parts_of_a_blanked_run_and_of_a_circuit_without_needs(shell: Shell, tmp_path: Path) -> None:
    data = shell("compare", CIRCUITS / "reference_diesel.yaml", "--each-part", "--json").json
    assert {"coil", "swing check"} <= {each["part"] for each in data["parts"]}
    text = POT_HAULER.read_text(encoding="utf-8")
    for need in (", min_flow: 35 L/min", ", min_flow: 3 gpm", ", oil cooler.min_flow: 1.5 gpm"):
        text = text.replace(need, "")
    done = shell("compare", written(tmp_path, text), "--each-part")
    assert done.status == 2
    assert "no part has a need" in done.err


def test_very_many_parts_are_not_taken_out_in_turn(shell: Shell, tmp_path: Path) -> None:
    hoses = "\n".join(f"      - hose {n}: {{type: hose, bore: 20 mm, length: 1 m}}" for n in range(1000))
    line = "      - return hose:"
    file = written(tmp_path, edited(line, f"{hoses}\n{line}"))
    done = shell("compare", file, "--each-part")
    assert (done.status, done.out) == (2, "")
    assert "1011 parts in 3 conditions are too many" in done.err


def test_a_circuit_without_needs_has_nothing_to_compare(shell: Shell) -> None:
    done = shell("compare", CIRCUITS / "cookbook" / "siphon.yaml")
    first, _, objections = done.out.partition("\n")
    assert (done.status, first) == (0, "No change, or no part with a need, to compare.")
    assert "danger: vent stuck shut: The vent of loop is stuck shut" in objections


@pytest.mark.parametrize(
    ("options", "sentence"),
    [
        (
            ["--change", "screen", "--condition", "idle"],
            "With screen, oil cooler gets 4.28 L/min at idle instead of 4.4 L/min (-3 %), still less than the "
            "5.68 L/min it needs.",
        ),
        (
            ["--set", "feed hose.bore = 3/4 in", "--condition", "full"],
            "With feed hose.bore at 3/4 in, oil cooler gets 16 L/min at full instead of 15.5 L/min (+3 %), still enough.",
        ),
        (
            ["--condition", "idle"],
            "Of 4 changes, bigger feed hose gives oil cooler most: 4.57 L/min at idle instead of 4.4 L/min (+4 %), "
            "still less than the 5.68 L/min it needs.",
        ),
        (
            ["--change", "screen", "--change", "cooler branch closed", "--condition", "idle"],
            "None of 2 changes gives oil cooler more water; with screen it gets 4.28 L/min at idle instead of "
            "4.4 L/min (-3 %), still less than the 5.68 L/min it needs.",
        ),
        (
            ["--each-part", "--condition", "idle"],
            "Without return hose, oil cooler would get most at idle: 4.4 → 4.78 L/min (+8 %), starved.",
        ),
    ],
)
def test_the_last_line_can_be_read_to_a_customer(shell: Shell, options: list[str], sentence: str) -> None:
    """The flows are those of the table and the JSON, which other tests hold to what is right."""
    assert shell("compare", POT_HAULER, *options).words.endswith(sentence)
    assert shell("compare", POT_HAULER, *options, "--json").json["sentence"] == sentence
