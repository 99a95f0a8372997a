"""A document becomes a circuit: every condition under every change, with what is assumed and noted."""

import subprocess
import sys
import time

import pytest

from netsolve.circuit import Circuit, Row
from netsolve.problems import CircuitError
from netsolve.read import read, read_text
from netsolve.registry import Registry
from netsolve.source import parse

BOAT = """format: 1
circuit: Deck wash
about: {boat: invented}
units: us
water: {kind: fresh, temperature: 10 degC}
engines:
  main: {speed: 2600 rpm, rated_speed: 2600 rpm}
joints:
  sea: {type: sea_inlet, height: -0.5 m}
  tee: {type: tee, bore: 32 mm, branch_bore: 16 mm}
  exhaust: {type: exhaust_injection, height: 0.4 m, bore: 32 mm, back_pressure_at_rated: 8 kPa}
  side: {type: discharge, height: 0.1 m}
runs:
  intake:
    from: SEA
    to: tee.common
    parts:
      - strainer: {type: strainer, cv: 40}
      - suction hose: {type: hose, bore: 38 mm, length: 2 m}
      - pump: {type: impeller_pump, rated_flow: 40 gpm, rated_speed: 5200 rpm, drive_ratio: 2}
  engine: {from: tee.straight, to: exhaust}
  branch:
    from: tee.branch
    to: side
    parts:
      - feed hose: {type: hose, bore: 16 mm ± 0.5 mm, length: 3 m, min_flow: 3 gpm, count: 2, note: new}
      - screen: {type: strainer, cv: 8, fitted: no}
  spare: {from: tee.branch, to: side, blanked: yes, direction: either}
conditions:
  idle: {main.speed: 650 rpm, Feed  Hose.min_flow: none}
  full: {}
  warm: {water.temperature: 40 degC}
changes:
  screen: {fit: screen}
  wide: {also: screen, set: {feed hose.bore: 19 mm, main.speed: 700 rpm}}
  detour: {blank: branch, open: spare}
limits: {starved: off, slow: {good: 1 m/s}}
"""


@pytest.fixture(scope="module")
def circuit() -> Circuit:
    return read_text(BOAT, "boat.yaml")


def row(circuit: Circuit, condition: str, change: str = "as found") -> Row:
    return next(each for each in circuit.rows if (each.condition, each.change) == (condition, change))


def test_the_rows_are_every_condition_under_every_change_as_found_first(circuit: Circuit) -> None:
    expected = [(c, k) for k in ("as found", "screen", "wide", "detour") for c in ("idle", "full", "warm")]
    assert [(each.condition, each.change) for each in circuit.rows] == expected
    assert circuit.as_found is circuit.rows[0]


def test_the_head_of_the_file_is_kept(circuit: Circuit) -> None:
    assert (circuit.name, circuit.units, circuit.gallon, circuit.file) == ("Deck wash", "us", "us", "boat.yaml")
    assert circuit.about == {"boat": "invented"}
    assert circuit.limits == {"starved": "off", "slow": {"good": "1 m/s"}}


def test_references_are_found_whatever_their_case_and_spaces(circuit: Circuit) -> None:
    assert circuit.as_found.runs["intake"].source.joint == "sea"
    assert row(circuit, "idle").parts["feed hose"].min_flow is None


def test_what_every_part_may_carry_is_read(circuit: Circuit) -> None:
    hose = row(circuit, "full").parts["feed hose"]
    assert (hose.count, hose.note, hose.run, hose.fitted, hose.type) == (2, "new", "branch", True, "hose")
    assert hose.min_flow == pytest.approx(3 * 3.785411784e-3 / 60, rel=1e-12)  # the US gallon, by definition
    assert hose.spreads == {"bore": pytest.approx(0.0005, rel=1e-12)}
    assert (circuit.as_found.runs["spare"].blanked, circuit.as_found.runs["spare"].either) == (True, True)


def test_an_engine_drives_its_pump_and_its_exhaust(circuit: Circuit) -> None:
    for condition, change, rpm in [("idle", "as found", 650), ("full", "screen", 2600), ("full", "wide", 700)]:
        here = row(circuit, condition, change)
        assert here.parts["pump"].component.speed == pytest.approx(2 * rpm / 60)  # type: ignore[attr-defined]
        assert here.places["exhaust"].joint.speed == pytest.approx(rpm / 60)  # type: ignore[attr-defined]


def test_a_change_fits_sets_blanks_and_opens_and_builds_on_others(circuit: Circuit) -> None:
    assert not row(circuit, "full").parts["screen"].fitted
    wide, detour = row(circuit, "full", "wide"), row(circuit, "full", "detour")
    assert wide.parts["screen"].fitted
    assert wide.parts["feed hose"].component.bore == pytest.approx(0.019)  # type: ignore[attr-defined]
    assert wide.parts["feed hose"].spreads == {}
    assert {name for name, run in detour.runs.items() if run.blanked} == {"branch"}


def test_a_change_wins_over_a_condition_and_that_is_noted(circuit: Circuit) -> None:
    wide = row(circuit, "idle", "wide")
    assert wide.engines["main"].speed == pytest.approx(700 / 60)
    (note,) = [note for note in circuit.notes if note.code == "overruled"]
    assert note.message == "condition 'idle' and change 'wide' both set 'main.speed': the change wins"
    assert note.severity == "note"


def test_water_is_a_setting(circuit: Circuit) -> None:
    # IAPWS, fresh water at 0.1 MPa: 999.70 kg/m3 at 10 degC, 992.22 at 40 degC
    assert row(circuit, "idle").water.density == pytest.approx(999.70, abs=0.02)
    assert row(circuit, "warm").water.density == pytest.approx(992.22, abs=0.02)


def test_rows_share_what_does_not_differ(circuit: Circuit) -> None:
    idle, full, fitted = row(circuit, "idle"), row(circuit, "full"), row(circuit, "full", "screen")
    assert idle.parts["suction hose"] is full.parts["suction hose"]
    assert full.runs is idle.runs
    assert fitted.parts["screen"] is row(circuit, "warm", "screen").parts["screen"]
    assert row(circuit, "idle", "screen").parts["pump"] is idle.parts["pump"]


def test_an_opening_without_a_bore_takes_that_of_its_runs_end_as_written(circuit: Circuit) -> None:
    places = row(circuit, "full", "wide").places
    assert places["sea"].joint.bore == pytest.approx(0.038)  # type: ignore[attr-defined]
    assert places["side"].joint.bore == pytest.approx(0.016)  # type: ignore[attr-defined]


def test_what_nobody_wrote_is_listed_as_assumed(circuit: Circuit) -> None:
    listed = {(each.part, each.parameter): each for each in circuit.assumed}
    assert listed["circuit", "gallon"].value == "us"
    assert listed["suction hose", "roughness"].unit == "m"
    assert listed["sea", "bore"].source == "the bore of 'suction hose', at the end of its run"
    assert listed["tee", "height"].value == pytest.approx((-0.5 + 0.4 + 0.1) / 3)
    assert ("water", "temperature") not in listed
    assert len(listed) == len(circuit.assumed)


def test_water_and_gallon_are_assumed_only_where_nothing_is_written() -> None:
    text = BOAT.replace("water: {kind: fresh, temperature: 10 degC}\n", "").replace("units: us", "gallon: imperial")
    circuit = read_text(text)
    listed = {(each.part, each.parameter): each.value for each in circuit.assumed if each.part in ("circuit", "water")}
    assert listed == {("water", "kind"): "sea", ("water", "temperature"): 288.15, ("water", "salinity"): 35.0}
    hose = row(circuit, "full").parts["feed hose"]
    assert hose.min_flow == pytest.approx(3 * 4.54609e-3 / 60, rel=1e-12)  # the imperial gallon, by definition


def test_a_file_without_conditions_has_one_as_written() -> None:
    text = BOAT[: BOAT.index("conditions:")]
    assert [(each.condition, each.change) for each in read_text(text).rows] == [("as written", "as found")]


def test_a_head_is_of_the_water_of_its_row() -> None:
    text = BOAT.replace(
        "- screen: {type: strainer, cv: 8, fitted: no}", "- screen: {type: rated_loss, drop: 1 m, at: 5 L/min}"
    )
    text = text.replace("screen: {fit: screen}", "screen: {remove: screen}")
    circuit = read_text(text)
    for condition in ("full", "warm"):
        here = row(circuit, condition)
        expected = 9.80665 * float(here.water.density)
        assert here.parts["screen"].component.drop == pytest.approx(expected)  # type: ignore[attr-defined]
    assert row(circuit, "idle").parts["screen"] is row(circuit, "full").parts["screen"]


def test_what_changes_nothing_is_noted() -> None:
    text = BOAT.replace("{fit: screen}", "{fit: pump, remove: screen, blank: spare, open: branch}")
    notes = [note.message for note in read_text(text).notes if note.code == "no-change"]
    assert notes == [
        "'pump' is fitted as written, so 'fit' changes nothing",
        "'screen' is not fitted as written, so 'remove' changes nothing",
        "'spare' is blanked as written, so 'blank' changes nothing",
        "'branch' is open as written, so 'open' changes nothing",
    ]


@pytest.mark.parametrize(
    ("old", "new", "message", "help"),
    [
        ("16 mm ± 0.5 mm", "16 m", "bore of feed hose: 16 m is out of the ordinary", "did you mean 16 mm?"),
        ("length: 2 m", "length: 2 mm", "length of suction hose: 2 mm is out of the ordinary", "did you mean 2 m?"),
        ("3 gpm", "3 gph", "min flow of feed hose: 3 gph through 16 mm is 0.016 m/s", "did you mean 3 gpm?"),
        (
            "hose.bore: 19 mm",
            "hose.bore: 19 m",
            "bore of feed hose: 19 m is out of the ordinary",
            "did you mean 19 mm?",
        ),
        ("height: 0.1 m", "height: 100 m", "height of side: 100 m is out of the ordinary", "did you mean 100 mm?"),
    ],
)
def test_a_likely_slip_is_noted_and_not_refused(old: str, new: str, message: str, help: str) -> None:
    assert BOAT.count(old) == 1
    notes = [note for note in read_text(BOAT.replace(old, new)).notes if note.code == "suspicious"]
    assert [(note.message, note.help) for note in notes] == [(message, help)]


def test_the_example_has_no_suspicious_value(circuit: Circuit) -> None:
    assert [note for note in circuit.notes if note.code == "suspicious"] == []


def test_a_misspelt_setting_is_told_once_however_many_rows_it_is_in() -> None:
    with pytest.raises(CircuitError) as raised:
        read_text(BOAT.replace("main.speed: 650 rpm", "screen.open_area_ratio: 0.4"))
    (problem,) = raised.value.problems
    assert problem.code == "contradiction"


def test_names_may_be_long_and_in_any_script() -> None:
    name = "насос " + "x" * 300
    circuit = read_text(BOAT.replace("- pump:", f"- {name}:"))
    assert name in circuit.as_found.parts


ODD = [
    "",
    "none",
    "{}",
    "[]",
    "[1]",
    "{a: b}",
    "yes",
    "-1",
    "1e999 m",
    "nan",
    "~",
    "'#'",
    "a.b.c",
    "\u202e",
    "x" * 400,
]


def test_no_odd_value_anywhere_raises_anything_but_a_circuit_error() -> None:
    registry = Registry.built_in()
    seen = 0
    for number, line in enumerate(BOAT.splitlines()):
        for odd in ODD:
            for text in (f"{line.split(':')[0]}: {odd}", line.replace("mm", odd or "mmm"), odd):
                lines = BOAT.splitlines()
                lines[number] = text
                try:
                    read(parse("\n".join(lines)), registry)
                except CircuitError as error:
                    seen += len(error.problems) > 0
    assert seen > 500


def test_ten_thousand_parts_are_read_in_a_few_seconds() -> None:
    parts = "".join(
        f"      - hose {number}: {{type: hose, bore: {10 + number % 40} mm, length: {number + 1} mm}}\n"
        for number in range(10_000)
    )
    at = BOAT.index("      - screen:")
    table = parse(BOAT[:at] + parts + BOAT[at:])
    started = time.perf_counter()
    circuit = read(table, Registry.built_in())
    assert time.perf_counter() - started < 8.0  # some 1.5 s on one slow core; the rest is for a busy machine
    assert len(circuit.as_found.parts) == 10_005


def test_too_many_rows_are_refused() -> None:
    many = "".join(f"  c{number}: {{}}\n" for number in range(600))
    with pytest.raises(CircuitError) as raised:
        read_text(BOAT.replace("  full: {}\n", many))
    assert [problem.code for problem in raised.value.problems] == ["too-large"]


def test_reading_loads_no_solver_and_no_graph() -> None:
    script = (
        "import sys; from netsolve.read import read_text;"
        f"read_text({BOAT!r});"
        "heavy = ('networkx', 'scipy.sparse', 'scipy.linalg', 'scipy.optimize', 'fluids', 'rich');"
        "print([name for name in heavy if name in sys.modules])"
    )
    done = subprocess.run([sys.executable, "-c", script], capture_output=True, text=True, check=True)
    assert done.stdout.strip() == "[]"


def test_a_value_that_another_one_leaves_without_effect_is_not_listed_as_assumed():
    pump = "type: impeller_pump, rated_flow: 50 L/min, rated_speed: 2000 rpm, speed: 2000 rpm"
    text = """
format: 1
circuit: a pump
joints:
  low: {{type: tank, level: 0 m, losses: none}}
  high: {{type: tank, level: 1 m, losses: none}}
runs:
  up: {{from: low, to: high, parts: [{{pump: {{{pump}}}}}]}}
"""
    curve = ", curve: [{flow: 0 L/min, head: 3 m}, {flow: 50 L/min, head: 0 m}]"
    listed = [
        {(each.part, each.parameter) for each in read_text(text.format(pump=written)).assumed}
        for written in (pump, pump + curve)
    ]
    assert [("pump", "slip") in each for each in listed] == [True, False]
