"""sweep, --find, margin and size look at oils as at flows, and agree with what solve says of one row."""

from __future__ import annotations

from pathlib import Path

import pytest

import netsolve
from tests.commands import CIRCUITS, Shell

WINCH = CIRCUITS / "winch_tank.yaml"
CIRCUIT = netsolve.load(WINCH)

SIMPLE = """
format: 1
water: {kind: fresh, temperature: 20 degC}
oils: {hydraulic: {volume: 40 L, heat: 2 kW, start: 20 degC, limit: 60 degC, alarm: 70 degC}}
joints:
  header: {type: tank, level: 1 m}
  overboard: {type: discharge, height: 0 m, bore: 16 mm}
runs:
  line:
    from: header
    to: overboard
    parts:
      - hose: {type: hose, bore: 16 mm, length: 3 m}
      - cooler: {type: heat_exchanger, drop: 4 kPa, at: 10 L/min, cools: hydraulic, ua: 60 W/K}
"""


@pytest.fixture
def shell(capsys: pytest.CaptureFixture[str]) -> Shell:
    return Shell(capsys)


@pytest.fixture
def simple(tmp_path: Path) -> Path:
    path = tmp_path / "boat.yaml"
    path.write_text(SIMPLE, encoding="utf-8")
    return path


def settled(temperature: str, *, bore: str = "16 mm") -> float:
    """Where the simple circuit's oil settles, degC, solved by itself."""
    text = SIMPLE.replace("temperature: 20 degC", f"temperature: {temperature}").replace(
        "hose, bore: 16 mm", f"hose, bore: {bore}"
    )
    (row,) = netsolve.solve(netsolve.loads(text))
    plateau = row.oil("hydraulic").plateau
    assert plateau is not None
    return plateau - 273.15


def test_a_sweep_has_every_oil_as_columns():
    seas = [278.15, 288.15, 303.15]
    swept = netsolve.sweep(CIRCUIT, {"water.temperature": seas}, conditions=["hauling"], changes=["as found"])
    assert ("winch oil",) == swept.oils
    for row, plateau, time in zip(swept, swept.plateau("winch oil"), swept.time_to_alarm("winch oil"), strict=True):
        oil = row.oil("winch oil")
        assert oil.plateau == pytest.approx(plateau, abs=1e-6)
        assert (oil.time_to_alarm or float("inf")) == pytest.approx(time, rel=1e-6)
    lines = list(swept.lines())
    assert lines[0]["winch oil settles K"] == pytest.approx(swept.plateau("winch oil")[0])
    assert lines[0]["winch oil alarm s"] is None


def test_its_table_says_where_an_oil_settles_and_when_it_passes_its_alarm(shell: Shell):
    asked = ("sweep", WINCH, "--vary", "water.temperature = 5 degC, 32 degC", "--condition", "hauling")
    done = shell(*asked, "--change", "as found")
    swept = netsolve.sweep(CIRCUIT, {"water.temperature": [305.15]}, conditions=["hauling"], changes=["as found"])
    oil = swept.rows[0].oil("winch oil")
    assert oil.plateau is not None
    assert oil.time_to_alarm is not None
    settles, alarm = f"{oil.plateau - 273.15:.3g} °C", f"alarm {oil.time_to_alarm / 60:.3g} min"
    lines = done.out.splitlines()
    assert any("limit 66 °C" in line for line in lines)
    assert any(line.startswith("32 °C") and settles in line and alarm in line for line in lines)
    assert max(map(len, lines)) <= 80


def test_the_sea_in_which_an_oil_reaches_its_limit_is_found(shell: Shell, simple: Path):
    found = shell(
        "sweep", simple, "--find", "water.temperature = 0 .. 40 degC", "--for", "hydraulic = 60 degC", "--json"
    )
    ((value,),) = [each["values"] for each in found.json["found"]]
    assert 60.0 == pytest.approx(settled(f"{value!r} K"), abs=1e-4)
    assert (
        "hydraulic settling at 60 °C (140 °F)"
        in shell("sweep", simple, "--find", "water.temperature = 0 .. 40 degC", "--for", "hydraulic = 60 degC").words
    )


def test_a_temperature_that_is_never_reached_says_between_what_it_settles(shell: Shell, simple: Path):
    done = shell("sweep", simple, "--find", "water.temperature = 0 .. 5 degC", "--for", "hydraulic = 60 degC")
    low, high = (settled(each) for each in ("0 degC", "5 degC"))
    assert f"it settles from {low:.3g} °C at 0 °C to {high:.3g} °C at 5 °C" in done.words


@pytest.mark.parametrize(
    ("goal", "message"), [("hydraulic = 3 gpm", "a temperature is wanted"), ("hydralic = 60 degC", "hydraulic")]
)
def test_a_wish_that_cannot_be_is_told(shell: Shell, simple: Path, goal: str, message: str):
    done = shell("sweep", simple, "--find", "water.temperature = 0 .. 40 degC", "--for", goal)
    assert (2, True) == (done.status, message in done.err)


def test_crossings_of_limit_and_alarm_are_told(shell: Shell, simple: Path):
    asked = ("sweep", simple, "--vary", "water.temperature = 5 .. 45 degC, 5 points", "--json")
    crossed = {each["bound"]: each["value"] for each in shell(*asked).json["crossings"]}
    assert {"limit", "alarm"} == set(crossed)
    for bound, degrees in (("limit", 60.0), ("alarm", 70.0)):
        assert degrees == pytest.approx(settled(f"{crossed[bound]!r} K"), abs=1e-4)


def test_a_margin_ends_where_the_oil_reaches_its_limit(shell: Shell, simple: Path):
    margins = shell("margin", simple, "--json").json["margins"]
    (kink,) = [each for each in margins if each["part"] == "hose"]
    assert ("hydraulic", "limit") == (kink["need"], kink["bound"])
    text = SIMPLE.replace("length: 3 m", f"length: 3 m, {kink['parameter']}: {kink['limit'] * 1e3!r} mm")
    (row,) = netsolve.solve(netsolve.loads(text))
    assert 60.0 == pytest.approx((row.oil("hydraulic").plateau or 0) - 273.15, abs=1e-3)
    assert "cooler" == kink["reading"]["through"]
    assert "then hydraulic settles above its limit" in shell("margin", simple).words


def test_an_oil_that_is_too_hot_already_has_no_margin(shell: Shell, tmp_path: Path):
    path = tmp_path / "hot.yaml"
    path.write_text(SIMPLE.replace("limit: 60 degC", "limit: 40 degC"), encoding="utf-8")
    assert "hydraulic at as written, too hot, " in shell("margin", path).words
    (missed,) = shell("margin", path, "--json").json["missed"]
    assert settled("20 degC") == pytest.approx(missed["temperature_k"] - 273.15, abs=1e-6)


def test_the_size_that_is_chosen_keeps_the_oil_below_its_limit(shell: Shell, simple: Path):
    (sized,) = shell("size", simple, "hose.bore", "--json").json["sizings"]
    chosen = next(each for each in sized["candidates"] if each["name"] == sized["chosen"])
    smaller = [each for each in sized["candidates"] if each["value_m"] < chosen["value_m"]][-1]
    for each, holds in ((chosen, True), (smaller, False)):
        assert holds == (settled("20 degC", bore=f"{each['value_m'] * 1e3!r} mm") <= 60.0)
    assert smaller["tightest"]["bound"] == "limit"
    assert "its limit is 60 °C" in shell("size", simple, "hose.bore").words


@pytest.mark.parametrize(
    ("goal", "field", "wanted"),
    [
        ("winch oil.time_to_alarm = 60 min", "time_to_alarm", 3600.0),
        ("winch oil.time_without_water = 2 min", "time_without_water", 120.0),
        ("winch oil.plateau = 70 degC", "plateau", 343.15),
        ("tank coil.outlet_temperature = 25 degC", "outlet_temperature", 298.15),
        ("tank coil.duty = 5.5 kW", "duty", 5500.0),
        ("exhaust.mixed_temperature = 50 degC", "mixed_temperature", 323.15),
    ],
)
def test_times_temperatures_and_duties_are_found_and_solve_agrees(
    shell: Shell, goal: str, field: str, wanted: float
) -> None:
    asked = ("--condition", "hauling", "--change", "as found", "--json")
    found = shell("sweep", WINCH, "--find", "water.temperature = 2 .. 40 degC", "--for", goal, *asked).json["found"]
    ((value,),) = [each["values"] for each in found]
    swept = netsolve.sweep(CIRCUIT, {"water.temperature": [value]}, conditions=["hauling"], changes=["as found"])
    row = swept.rows[0]
    name = goal.partition(".")[0]
    things = (*row.oils.values(), *row.parts.values(), *row.joints.values())
    (thing,) = [each for each in things if each.name == name]
    assert wanted == pytest.approx(getattr(thing, field), rel=1e-5)


def test_a_time_that_is_never_reached_is_said_to_be_never(shell: Shell) -> None:
    asked = ("--condition", "hauling", "--change", "as found")
    goal = "winch oil.time_to_alarm = 10 min"
    said = shell("sweep", WINCH, "--find", "water.temperature = 2 .. 40 degC", "--for", goal, *asked).words
    assert "to never at" in said


@pytest.mark.parametrize(
    ("goal", "message"),
    [("winch ol.plateau = 60 degC", "did you mean 'winch oil'?"), ("tank coil.duty = 60 degC", "a power is wanted")],
)
def test_what_has_no_such_value_is_told(shell: Shell, goal: str, message: str) -> None:
    done = shell("sweep", WINCH, "--find", "water.temperature = 2 .. 40 degC", "--for", goal)
    assert (2, True) == (done.status, message in done.err)
