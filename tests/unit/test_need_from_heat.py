"""Heat turned round: with the flow, or the cooler, that is said to be needed the oil settles just at its limit."""

from __future__ import annotations

import json
import math
from pathlib import Path

import pytest
from scipy.optimize import brentq

import netsolve
from netsolve.problems import CircuitError
from netsolve.result import RowResult
from tests.commands import Shell

HEAD = """
format: 1
water: {kind: custom, density: 1000 kg/m3, viscosity: 1 mPa.s, heat_capacity: 4000 J/kg/K, temperature: 15 degC}
oils:
  winch: {volume: 50 L, density: 900 kg/m3, heat_capacity: 2000 J/kg/K, heat: 2 kW, start: 25 degC, air: 35 degC,
          loss: 10 W/K, LIMITS}
joints:
  meter: {type: fixed_flow, flow: FLOW L/min, height: 0 m}
  bucket: {type: tank, level: 0 m, losses: none}
runs:
  line:
    from: meter
    to: bucket
    parts:
"""
COOLER = "      - cooler: {type: heat_exchanger, drop: 1 kPa, at: 10 L/min, bore: 20 mm, cools: winch, UA, min_flow: from heat}\n"


def text(flow: float = 6.0, ua: str = "ua: 60 W/K", limits: str = "limit: 50 degC", before: str = "") -> str:
    body = HEAD.replace("FLOW", repr(flow)).replace("LIMITS", limits)
    return body + before + COOLER.replace("UA", ua)


def solved(*args: str | float, **more: str | float) -> RowResult:
    (row,) = netsolve.solve(netsolve.loads(text(*args, **more)))  # type: ignore[arg-type]
    return row


def need(row: RowResult) -> float:
    """The least flow that follows from heat, L/min."""
    flow = row.part("cooler").min_flow
    assert flow is not None
    return flow * 60_000


def plateau(row: RowResult, oil: str = "winch") -> float:
    """Where the oil settles, degC."""
    found = row.oil(oil).plateau
    assert found is not None
    return found - 273.15


def test_the_need_is_that_of_the_heat_balance():
    """2 kW less 150 W to the air over 35 K are 52.9 W/K: C (1 - exp(-UA/C)) of a coil in a stirred tank."""
    rate = need(solved()) / 60_000 * 4e6
    assert (2000 - 10 * 15) / (50 - 15) == pytest.approx(rate * -math.expm1(-60 / rate), rel=1e-9)


@pytest.mark.parametrize(
    "ua",
    [
        "ua: 60 W/K",
        "ua: 80 W/K, arrangement: counterflow, oil_flow: 12 L/min",
        "ua: 70 W/K, water_side: 40 %, ua_at: 10 L/min",
        "u: 300 W/m2/K, area: 0.3 m2, fouling: 0.0002 m2 K/W",
        "ua: 40 W/K, count: 2",
    ],
)
def test_with_that_flow_the_oil_settles_at_its_limit(ua: str):
    assert 50.0 == pytest.approx(plateau(solved(need(solved(ua=ua)), ua)), abs=1e-6)


def test_behind_the_engine_s_cooler_it_is_more_and_still_right():
    warm = "      - engine cooler: {type: heat_exchanger, drop: 1 kPa, at: 10 L/min, heat: 0.4 kW}\n"
    flow = just_enough(warm)
    assert flow > need(solved())
    assert flow == pytest.approx(need(solved(flow, before=warm)), rel=1e-6)


def test_another_cooler_of_the_oil_takes_its_share():
    other = "      - other: {type: heat_exchanger, drop: 1 kPa, at: 10 L/min, cools: winch, ua: 25 W/K}\n"
    flow = just_enough(other)
    assert flow < need(solved())
    assert flow == pytest.approx(need(solved(flow, before=other)), rel=1e-6)


def just_enough(before: str) -> float:
    """The flow (L/min) with which the oil settles at its limit, by trial."""
    return float(brentq(lambda flow: plateau(solved(flow, before=before)) - 50.0, 0.5, 30.0, xtol=1e-12))


def test_the_alarm_is_what_counts_where_there_is_no_limit():
    assert need(solved()) == pytest.approx(need(solved(limits="alarm: 50 degC")), rel=1e-12)
    assert need(solved()) == pytest.approx(need(solved(limits="limit: 50 degC, alarm: 70 degC")), rel=1e-12)


def test_it_is_judged_as_any_other_need():
    least = need(solved())
    for share, verdict in ((0.99, "starved"), (1.05, "marginal"), (1.2, "served")):
        assert verdict == solved(share * least).part("cooler").verdict


def test_it_follows_the_condition():
    conditions = "conditions: {cold: {water.temperature: 5 degC}, warm: {water.temperature: 25 degC}}\n"
    cold, warm = netsolve.solve(netsolve.loads(text(ua="ua: 100 W/K") + conditions))
    assert need(cold) < need(solved(ua="ua: 100 W/K")) < need(warm)


def test_what_no_flow_would_do_is_said_with_the_cooler_that_would():
    row = solved(ua="ua: 40 W/K")
    assert row.part("cooler").min_flow is None
    (found,) = [each for each in row.findings if each.code == "cooler_too_small"]
    assert row.part("cooler").verdict == "starved"
    assert [each.code for each in row.findings if each.code == "starved"] == []
    assert "no flow of water through cooler keeps winch at 50 °C" in found.message
    ua = found.help.split()[3]
    assert 50.0 == pytest.approx(plateau(solved(ua=f"ua: {ua} W/K")), abs=0.1)


def test_oil_that_stays_cool_by_itself_needs_no_water():
    assert 0.0 == need(solved(limits="limit: 300 degC"))


@pytest.mark.parametrize(
    ("limits", "ua", "message", "help"),
    [
        ("metal: 1 kg", "ua: 60 W/K", "winch has neither limit nor alarm", "add limit: 66 degC to winch"),
        ("limit: 50 degC", "heat: 2 kW", "it cools no oil", "write cools: NAME"),
    ],
)
def test_what_is_missing_for_it_is_told(limits: str, ua: str, message: str, help: str):
    body = text(ua=ua, limits=limits)
    with pytest.raises(CircuitError) as told:
        netsolve.loads(body.replace("cools: winch, heat", "heat"))
    assert (True, True) == (message in str(told.value), help in str(told.value))


def test_a_sweep_and_a_search_take_it_too():
    circuit = netsolve.loads(text(4.0, "ua: 100 W/K") + "conditions: {calm: {}}\n")
    found = netsolve.sweep(circuit, {"water.temperature": [278.15, 288.15, 298.15]}, conditions=["calm"])
    bounds = [each * 60_000 for each in found.bound("cooler", "min_flow")]
    for bound, temperature in zip(bounds, ("5 degC", "15 degC", "25 degC"), strict=True):
        (row,) = netsolve.solve(netsolve.loads(text(4.0, "ua: 100 W/K").replace("15 degC", temperature)))
        assert need(row) == pytest.approx(bound, rel=1e-9)


@pytest.fixture
def shell(capsys: pytest.CaptureFixture[str]) -> Shell:
    return Shell(capsys)


@pytest.fixture
def file(tmp_path: Path) -> Path:
    path = tmp_path / "boat.yaml"
    path.write_text(text(), encoding="utf-8")
    return path


def test_heat_says_the_least_flow_and_the_cooler_that_would_do(shell: Shell, file: Path):
    row = shell("heat", file, "--json").json["rows"][0]["parts"]["cooler"]
    assert need(solved()) == pytest.approx(row["least_flow_m3_s"] * 60_000, rel=1e-9)
    assert 50.0 == pytest.approx(plateau(solved(ua=f"ua: {row['needed_ua_w_k']!r} W/K")), abs=1e-5)
    assert f"{need(solved()):.3g} L/min" in shell("heat", file).words


def test_a_warm_up_tells_the_heat_put_in(shell: Shell, file: Path):
    """The oil without water warms as T = 235 - 210 exp(-t 10 / 90,000) degC with 2 kW: 35 degC + 2 kW / 10 W/K."""
    after = 235 - 210 * math.exp(-600 * 10 / 90_000)
    bare = file.with_name("bare.yaml")
    bare.write_text(text().replace("min_flow: from heat", "fitted: no"), encoding="utf-8")
    asked = ("--measured", f"winch = 25 degC to {after!r} degC in 10 min")
    (told,) = shell("heat", bare, *asked, "--json").json["measured"]
    assert 2000.0 == pytest.approx(told["heat_w"], rel=1e-9)
    assert "2 kW go into winch" in shell("heat", bare, *asked).out


def test_where_an_oil_settled_tells_what_its_cooler_passes(shell: Shell, file: Path):
    settled = plateau(solved())
    (told,) = shell("heat", file, "--measured", f"winch = {settled!r} degC", "--json").json["measured"]
    assert 60.0 == pytest.approx(told["ua_w_k"], rel=1e-6)
    assert (2000 - 10 * (settled - 35)) / (settled - 15) == pytest.approx(told["conductance_w_k"], rel=1e-9)


@pytest.mark.parametrize(
    ("asked", "message"),
    [
        ("winsh = 58 degC", "did you mean 'winch'?"),
        ("winch", "is not OIL = TEMPERATURE"),
        ("winch = 58 bar", "a temperature is wanted"),
        ("winch = 31 degC to 25 degC in 10 min", "does not warm up"),
        ("winch = 25 degC to 31 degC in 10 kg", "a time is wanted"),
        ("winch = ", "is not OIL = TEMPERATURE"),
    ],
)
def test_what_was_measured_badly_is_told_at_its_place(shell: Shell, file: Path, asked: str, message: str):
    done = shell("heat", file, "--measured", asked)
    assert (2, True) == (done.status, message in done.err)
    assert "--measured:1:" in done.err


def test_the_schema_of_editors_knows_the_words(shell: Shell):
    assert "from heat" in json.dumps(shell("schema").json)


BURSTS = "limit: 60 degC, bursts: [{time: 0 s, heat: 12 kW}, {time: 3 min, heat: 0 W}, {time: 5 min, heat: 12 kW}, {time: 8 min, heat: 0 W}]"


@pytest.mark.parametrize("repeat", ["", ", repeat: 40 min"])
@pytest.mark.parametrize(
    "before", ["", COOLER.replace("cooler", "first").replace("UA, min_flow: from heat", "ua: 20 W/K")]
)
def test_with_bursts_the_flow_that_is_needed_holds_their_peak_at_the_limit(repeat: str, before: str):
    """The peak is that of the oil's course, followed through all bursts; the mean heat would need far less."""
    more = {"limits": BURSTS + repeat, "ua": "ua: 300 W/K"}
    asked = need(solved(**more))
    assert solved(asked, **more).oil("winch").peak == pytest.approx(60 + 273.15, abs=1e-3)
    assert asked > 1.5 * need(solved(limits="limit: 60 degC", ua="ua: 300 W/K"))


def test_where_bursts_are_too_much_for_any_cooler_more_oil_is_said_to_help():
    (row,) = netsolve.solve(netsolve.loads(text(limits=BURSTS.replace("60 degC", "30 degC"), ua="ua: 150 W/K")))
    (finding,) = (each for each in row.findings if each.code == "cooler_too_small")
    assert "winch at 30 °C in its bursts" in finding.message
    assert finding.help == "more oil, less heat at once, or colder water"


def test_bursts_that_begin_late_leave_the_beginning_of_every_round_alone():
    """1 kW from the second minute of four on is 750 W on average, and the oil settles around what that gives."""
    row = solved(
        limits="bursts: [{time: 1 min, heat: 1 kW}, {time: 2 min, heat: 1 kW}], repeat: 4 min, limit: 60 degC",
        ua="ua: 60 W/K",
    )
    assert row.oil("winch").heat == pytest.approx(2750)
    assert row.oil("winch").peak == pytest.approx(row.oil("winch").plateau or 0.0, abs=1.0)


def test_a_cooler_that_no_flow_is_enough_for_is_starved_wherever_it_is_looked_at(tmp_path: Path, shell: Shell):
    file = tmp_path / "winch.yaml"
    hose = "      - hose: {type: hose, bore: 20 mm, length: 1 m}\n"
    file.write_text(text(ua="ua: 40 W/K", before=hose), encoding="utf-8")
    said = shell("solve", file)
    assert "trouble in 1 of 1 row" in said.words
    assert "STARVED cooler 6 L/min (1.59 gpm) no flow would do" in said.words
    (sizing,) = shell("size", file, "hose.bore", "--json").json["sizings"]
    assert {each["serves"] for each in sizing["candidates"]} == {False}
    assert {each["tightest"]["wanted_m3_s"] for each in sizing["candidates"]} == {None}
    swept = shell("sweep", file, "--vary", "cooler.ua=40 W/K, 60 W/K", "--json").json
    assert [row["parts"]["cooler"]["verdict"] for row in swept["rows"]] == ["starved", "served"]


def test_a_size_for_a_cooler_that_is_too_small_says_so(tmp_path: Path, shell: Shell):
    file = tmp_path / "tug.yaml"
    tank = Path("circuits/winch_tank.yaml").read_text(encoding="utf-8")
    assert "min_flow: 6 L/min" in tank
    file.write_text(tank.replace("min_flow: 6 L/min", "min_flow: from heat"), encoding="utf-8")
    said = shell("size", file, "feed hose.bore").words
    assert "the tightest: tank coil at hauling, for which no flow would do" in said
