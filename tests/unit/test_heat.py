"""Heat in a circuit file: what may be written, where temperatures go, how long an oil has, and what is printed of it."""

from __future__ import annotations

import json
from pathlib import Path

import pytest
from click.testing import CliRunner

import netsolve
from netsolve.cautions import CAUTIONS
from netsolve.cli import main
from netsolve.result import RowResult

ZERO = 273.15
HEAD = """
format: 1
circuit: a winch's oil on a survey launch
water: {kind: fresh, temperature: 20 degC}
"""
OIL = "{volume: 60 L, density: 870 kg/m3, heat_capacity: 1950 J/kg/K, metal: 40 kg, heat: 2 kW, start: 25 degC, alarm: 71 degC, air: 35 degC, loss: 8 W/K}"
RATE = 998.207 * 4184.1
"""J/(m3 K) of fresh water at 20 degC: IAPWS SR6-08, as tabled."""

LINE = """
oils: {{winch: {oil}}}
joints:
  feed: {{type: fixed_flow, flow: 6 L/min, height: 0 m}}
  sea: {{type: tank, level: 0 m, losses: none}}
runs:
  branch:
    from: feed
    to: sea
    parts: [{parts}]
"""
COOLER = "cooler: {{type: heat_exchanger, drop: 6 kPa, at: 12 L/min, {more}}}"
FLOW = 6e-3 / 60


def rows(body: str, more: str = "") -> dict[str, RowResult]:
    result = netsolve.solve(netsolve.loads(HEAD + body + more))
    return {row.condition: row for row in result}


def line(more: str, *, oil: str = OIL, before: str = "", after: str = "") -> str:
    parts = [before, COOLER.format(more=more), after]
    return LINE.format(oil=oil, parts=", ".join(filter(None, parts)))


def only(body: str) -> RowResult:
    (row,) = rows(body).values()
    return row


def test_an_engine_cooler_warms_the_water_by_its_heat():
    row = only(line("heat: 4 kW"))
    cooler = row.part("cooler")
    assert cooler.inlet_temperature == pytest.approx(293.15)
    assert cooler.outlet_temperature == pytest.approx(293.15 + 4000 / (FLOW * RATE), abs=1e-3)
    assert cooler.duty == pytest.approx(4000)


def test_the_oil_settles_where_cooler_and_air_take_its_heat():
    row = only(line("cools: winch, ua: 100 W/K"))
    oil = row.oil("winch")
    passed = FLOW * RATE * (1 - 2.718281828459045 ** (-100 / (FLOW * RATE)))
    wanted = (2000 + passed * 20 + 8 * 35) / (passed + 8)
    assert oil.plateau == pytest.approx(wanted + ZERO, abs=1e-3)
    assert oil.cooler_duty == pytest.approx(passed * (wanted - 20), rel=1e-5)
    assert row.part("cooler").duty == pytest.approx(oil.cooler_duty)
    assert oil.time_to_alarm is None


def test_without_cooling_the_alarm_comes_when_the_tank_is_full_of_heat():
    row = only(line("heat: 0 W"))
    wanted = 49 * 60  # a table of common practice: 2 kW, no water, 49 min
    assert row.oil("winch").time_to_alarm == pytest.approx(wanted, rel=0.03)
    assert row.oil("winch").time_without_water == pytest.approx(row.oil("winch").time_to_alarm)


def test_after_the_water_stops_the_oil_starts_from_where_it_settled():
    oil = only(line("cools: winch, ua: 100 W/K")).oil("winch")
    assert oil.plateau is not None
    assert oil.time_without_water is not None
    mean_gain = 2000 - 8 * ((oil.plateau + 71 + ZERO) / 2 - 35 - ZERO)
    held = 60e-3 * 870 * 1950 + 40 * 480
    assert oil.time_without_water == pytest.approx(held * (71 + ZERO - oil.plateau) / mean_gain, rel=0.01)


def test_with_nothing_to_take_the_heat_away_it_does_not_settle():
    oil = "{volume: 60 L, heat: 2 kW, alarm: 71 degC}"
    row = only(line("heat: 0 W", oil=oil))
    assert row.oil("winch").plateau is None
    assert row.oil("winch").time_to_alarm == pytest.approx(60e-3 * 852.25 * 1981.5 * 51 / 2000, rel=0.001)


def test_a_cooler_after_the_engine_s_meets_warmer_water():
    engine = COOLER.format(more="heat: 8 kW").replace("cooler", "engine", 1)
    cold = only(line("cools: winch, ua: 100 W/K", after=engine)).oil("winch").plateau
    warm = only(line("cools: winch, ua: 100 W/K", before=engine)).oil("winch").plateau
    assert cold is not None
    assert warm is not None
    share = 100 / 108  # nearly: what of the water's warmth reaches the oil beside its loss to the air
    assert warm - cold == pytest.approx(share * 8000 / (FLOW * RATE), rel=0.02)


BACKWARDS = """
joints:
  feed: {type: fixed_flow, flow: 6 L/min, height: 0 m}
  sea: {type: tank, level: 0 m, losses: none}
runs:
  branch:
    from: sea
    to: feed
    direction: either
    parts:
      - last: {type: hose, bore: 16 mm, length: 1 m}
      - cooler: {type: heat_exchanger, drop: 6 kPa, at: 12 L/min, heat: 4 kW}
      - first: {type: hose, bore: 16 mm, length: 1 m}
"""


def test_the_water_is_followed_the_way_it_flows():
    row = only(BACKWARDS)
    assert row.part("first").outlet_temperature == pytest.approx(293.15)
    assert row.part("last").inlet_temperature == pytest.approx(293.15 + 4000 / (FLOW * RATE), abs=1e-3)
    assert row.joint("sea").temperature == row.part("last").outlet_temperature


LOOP = """
oils: {winch: {volume: 60 L, heat: 2 kW, start: 20 degC, alarm: 71 degC, loss: 0 W/K}}
joints:
  header: {type: tank, level: 0.5 m, losses: none}
  top: {type: manifold, height: 0.4 m}
  bottom: {type: manifold, height: 0 m}
runs:
  expansion: {from: header, to: top, parts: [pipe: {type: hose, bore: 12 mm, length: 1 m}]}
  out:
    from: top
    to: bottom
    parts: [pump: {type: centrifugal_pump, shutoff: 4 m, open_flow: 40 L/min, height: 0 m},
            cooler: {type: heat_exchanger, drop: 6 kPa, at: 12 L/min, cools: winch, ua: 300 W/K}]
  back:
    from: bottom
    to: top
    parts: [keel: {type: heat_exchanger, drop: 6 kPa, at: 12 L/min, KEEL}]
""".replace("  out:\n", "  going:\n")


def test_a_closed_loop_is_as_warm_as_its_keel_cooler_needs():
    row = only(LOOP.replace("KEEL", "outside: 12 degC, ua: 250 W/K"))
    assert row.part("keel").duty == pytest.approx(-2000, rel=1e-6)
    flow = row.run("back").flow
    assert flow is not None
    passed = flow * RATE * (1 - 2.718281828459045 ** (-250 / (flow * RATE)))
    assert row.part("keel").inlet_temperature == pytest.approx(12 + ZERO + 2000 / passed, abs=0.02)


def test_a_closed_loop_without_a_keel_cooler_never_settles():
    row = only(LOOP.replace("KEEL", "fouled: 1"))
    assert row.oil("winch").plateau is None
    assert row.oil("winch").time_to_alarm is not None


CONDITIONS = """
conditions:
  light: {winch.heat: 500 W}
  heavy: {winch.heat: 4 kW, cooler.ua: 50 W/K, water.temperature: 30 degC}
"""


def test_heat_varies_by_condition():
    found = rows(line("cools: winch, ua: 100 W/K"), CONDITIONS)
    light, heavy = (found[name].oil("winch") for name in ("light", "heavy"))
    assert (light.heat, heavy.heat) == (500, 4000)
    assert (light.plateau or 0) < 300 < (heavy.plateau or 0)
    assert found["heavy"].part("cooler").inlet_temperature == pytest.approx(303.15)


def test_hydraulic_power_heats_by_what_is_lost_and_relieved():
    oil = "{volume: 60 L, flow: 30 L/min, pressure: 100 bar, efficiency: 80 %, relief_share: 25 %}"
    assert only(line("heat: 0 W", oil=oil)).oil("winch").heat == pytest.approx(5000 * (0.25 + 0.75 * 0.2))


def test_bursts_heat_only_while_they_last():
    base = "volume: 60 L, density: 870 kg/m3, heat_capacity: 1950 J/kg/K, start: 20 degC, alarm: 50 degC"
    held = 60e-3 * 870 * 1950
    bursts = "bursts: [{time: 0 s, heat: 30 kW}, {time: 60 s, heat: 0 W}]"
    once = only(line("heat: 0 W", oil=f"{{{base}, {bursts}}}")).oil("winch")
    again = only(line("heat: 0 W", oil=f"{{{base}, {bursts}, repeat: 10 min}}")).oil("winch")
    assert once.time_to_alarm is None  # 30 kW x 60 s warm it by 17.7 K, of the 30 K wanted
    into_second = 30 - 30e3 * 60 / held
    assert again.time_to_alarm == pytest.approx(600 + into_second * held / 30e3, abs=0.01)
    assert again.heat == pytest.approx(3000)


def test_a_fouled_cooler_passes_less():
    clean = only(line("cools: winch, u: 200 W/m2K, area: 0.5 m2")).oil("winch").plateau
    dirty = only(line("cools: winch, u: 200 W/m2K, area: 0.5 m2, fouling: 0.002 m2K/W")).oil("winch").plateau
    same = only(line(f"cools: winch, ua: {100 / 1.4} W/K")).oil("winch").plateau
    assert dirty == pytest.approx(same)
    assert (clean or 0) < (dirty or 0)


def test_a_rated_cooler_gives_its_duty_at_its_rated_point():
    """The same flows and temperatures as the maker's; his water is taken as sea or fresh, 2 % apart."""
    rated = "rated_duty: 3 kW, rated_water_flow: 6 L/min, rated_oil_flow: 20 L/min, rated_water_temperature: 20 degC"
    oil = "{volume: 60 L, density: 870 kg/m3, heat_capacity: 1950 J/kg/K, heat: 3 kW}"
    more = f"cools: winch, arrangement: counterflow, oil_flow: 20 L/min, {rated}, rated_oil_temperature: 60 degC"
    assert only(line(more, oil=oil)).oil("winch").plateau == pytest.approx(333.15, abs=0.5)


def test_a_coil_whose_water_side_matters_passes_less_at_little_flow():
    much = only(line("cools: winch, ua: 400 W/K, water_side: 40 %, ua_at: 24 L/min")).oil("winch").plateau
    none = only(line("cools: winch, ua: 400 W/K")).oil("winch").plateau
    same = only(line(f"cools: winch, ua: {400 / (0.6 + 0.4 * 4**0.8)} W/K")).oil("winch").plateau
    assert much == pytest.approx(same)
    assert (none or 0) < (much or 0)


def test_one_oil_may_warm_the_water_of_another():
    second = "gearbox: {volume: 10 L, heat: 1 kW, start: 20 degC, alarm: 90 degC}"
    body = line(
        "cools: winch, ua: 100 W/K", after=COOLER.format(more="cools: gearbox, ua: 50 W/K").replace("cooler", "last", 1)
    )
    body = body.replace("oils: {winch:", f"oils: {{{second}, winch:")
    row = only(body)
    first, last = row.part("cooler"), row.part("last")
    assert last.inlet_temperature == first.outlet_temperature
    assert last.duty == pytest.approx(1000, rel=1e-6)
    assert row.oil("gearbox").time_to_alarm is None


EXHAUST = """
joints:
  feed: {type: fixed_flow, flow: 40 us gpm, height: 0 m}
  exhaust: {type: exhaust_injection, height: 0.3 m, bore: 32 mm, gas_flow: 0.28 kg/s, gas_temperature: 450 degC}
runs:
  engine: {from: feed, to: exhaust, parts: [cooler: {type: heat_exchanger, drop: 6 kPa, at: 100 L/min, heat: 127 kW}]}
"""


def test_gas_and_water_mix_at_the_injection():
    text = EXHAUST.join(["format: 1\ncircuit: exhaust\nwater: {kind: sea, temperature: 25 degC}\n", ""])
    (row,) = netsolve.solve(netsolve.loads(text))
    assert (row.joint("exhaust").mixed_temperature or 0) - ZERO == pytest.approx(
        49, rel=0.03
    )  # common practice, no source


def test_a_circuit_without_heat_has_no_temperatures():
    row = only(line("fouled: 1").replace("oils: {winch:", "about: {winch:").replace(OIL, "''"))
    assert row.oils == {}
    assert row.part("cooler").outlet_temperature is None


def run(tmp_path: Path, body: str, *options: str) -> tuple[int, str, str]:
    file = tmp_path / "boat.yaml"
    file.write_text(HEAD + body, encoding="utf-8")
    found = CliRunner().invoke(main, ["heat", str(file), *options], env={"COLUMNS": "80"})
    return found.exit_code, found.stdout, found.stderr


def test_the_command_says_where_it_settles_and_how_long_it_has(tmp_path: Path):
    code, out, _ = run(tmp_path, line("cools: winch, ua: 100 W/K") + CONDITIONS)
    assert code == 0
    assert max(map(len, out.splitlines())) <= 80
    assert "At light winch settles at" in out
    assert "At heavy winch passes its 71 °C alarm after" in out


def test_the_command_as_json_has_ranges_around_its_values(tmp_path: Path):
    code, out, _ = run(tmp_path, line("cools: winch, ua: 100 W/K ± 10 %") + CONDITIONS, "--json")
    assert code == 0
    light, heavy = (row["oils"]["winch"] for row in json.loads(out)["rows"])
    assert set(light) >= {"plateau_k", "time_to_alarm_s", "time_without_water_s", "heat_w", "cooler_duty_w"}
    low, high = light["plateau_range_k"]
    assert low < light["plateau_k"] < high
    low, high = heavy["time_to_alarm_range_s"]
    assert low < heavy["time_to_alarm_s"] < high
    part = json.loads(out)["rows"][0]["parts"]["cooler"]
    assert part["duty_w"] == pytest.approx(light["cooler_duty_w"])
    assert part["inlet_temperature_k"] < part["outlet_temperature_k"]


def test_in_the_water_it_names_the_oil_settles_at_its_alarm(tmp_path: Path):
    body = line("cools: winch, ua: 100 W/K")
    _, out, _ = run(tmp_path, body, "--json")
    hot = json.loads(out)["rows"][0]["oils"]["winch"]["water_at_alarm_k"]
    warmer = only(f"{body}\nconditions: {{hot: {{water.temperature: {hot} K}}}}")
    assert warmer.oil("winch").plateau == pytest.approx(
        71 + ZERO, abs=0.2
    )  # the water's own heat capacity has moved a little


def test_a_circuit_without_heat_is_refused_with_a_cure(tmp_path: Path):
    code, out, told = run(tmp_path, line("fouled: 1").replace("oils: {winch:", "about: {winch:").replace(OIL, "''"))
    assert (code, out) == (2, "")
    assert "add oils:" in told


@pytest.mark.parametrize("arrangement", ["counterflow", "crossflow", "shell and tube"])
def test_an_arrangement_is_better_than_parallel_flow(arrangement: str):
    more = "cools: winch, ua: 400 W/K, oil_flow: 10 L/min, arrangement: "
    worst = only(line(more + "parallel")).oil("winch").plateau
    assert (only(line(more + arrangement)).oil("winch").plateau or 0) < (worst or 0) - 0.5


MAKERS = "makers of engine, winch, coolers, hoses and oil"


def told(out: str) -> str:
    """What was printed, on one line."""
    return " ".join(out.split())


def test_the_command_cautions_once_of_hot_oil_and_of_oil_under_pressure(tmp_path: Path):
    _, out, _ = run(tmp_path, line("cools: winch, ua: 20 W/K") + CONDITIONS)
    assert max(map(len, out.splitlines())) <= 80
    assert told(out).count("passes its 71 °C alarm") == 1
    for caution in (CAUTIONS["hot"], CAUTIONS["oil"]):
        assert told(out).count(f"{caution.title}: {caution.short[:1].upper()}{caution.short[1:]}.") == 1
    assert CAUTIONS["exhaust"].title not in out
    assert MAKERS in told(out)


def test_the_command_cautions_of_nothing_where_oil_stays_cool_and_still_defers_to_the_maker(tmp_path: Path):
    _, out, _ = run(tmp_path, line("cools: winch, ua: 100 W/K"))
    assert "settles at" in out
    assert [each.title for each in CAUTIONS.values() if each.title in out] == []
    assert MAKERS in told(out)


@pytest.mark.parametrize("marks", ["alarm: 50 degC", "limit: 50 degC"])
def test_silenced_rules_do_not_silence_the_cautions(tmp_path: Path, marks: str):
    oil = f"{{volume: 60 L, heat: 2 kW, start: 25 degC, air: 35 degC, loss: 8 W/K, {marks}}}"
    _, out, _ = run(tmp_path, line("cools: winch, ua: 40 W/K", oil=oil) + "limits: {oil_temperature: off}")
    assert CAUTIONS["hot"].title in out


def test_the_command_cautions_of_an_exhaust_that_lacks_water(tmp_path: Path):
    enough, little = (run(tmp_path, EXHAUST.replace("40 us gpm", flow))[1] for flow in ("40 us gpm", "15 us gpm"))
    assert CAUTIONS["exhaust"].title not in enough
    assert CAUTIONS["exhaust"].title in little
    assert MAKERS in told(little)


def codes(body: str) -> set[str]:
    return {each.code for each in only(body).findings if not each.lacks}


def test_only_water_with_salts_in_it_leaves_scale():
    hot = LINE.format(oil=OIL, parts=COOLER.format(more="heat: 20 kW"))
    (salt,) = netsolve.solve(netsolve.loads(HEAD.replace("fresh", "sea") + hot))
    assert "cooler_outlet" in {each.code for each in salt.findings}
    assert "cooler_outlet" not in codes(hot)


def test_what_the_file_does_not_say_of_hot_hoses_and_oil_s_pressure_is_asked_for():
    hose = "hose: {type: hose, bore: 16 mm, length: 1 m}"
    hot = only(line("cools: winch, ua: 50 W/K, arrangement: counterflow, oil_flow: 10 L/min", after=hose))
    lacks = {(each.about, each.lacks) for each in hot.findings}
    assert ("cooler", "oil_pressure") in lacks
    assert ("hose", "temperature_rating") not in lacks
    boiled = only(line("heat: 20 kW", after=hose))
    assert ("hose", "temperature_rating") in {(each.about, each.lacks) for each in boiled.findings}


UPHILL = """
engines: {main: {speed: 900 rpm, rated_speed: 1800 rpm}}
joints:
  header: {type: tank, level: -1 m, losses: none}
  exhaust: {type: exhaust_injection, height: 0.5 m, losses: none, gas_flow: 0.1 kg/s, gas_temperature: 415 degC}
runs:
  line:
    from: header
    to: exhaust
    parts: [cooler: {type: heat_exchanger, drop: 6 kPa, at: 12 L/min, heat: 0 W}]
"""


@pytest.mark.parametrize(
    ("change", "severities"),
    [
        (("-1 m", "-1 m"), ["danger"]),
        (("-1 m", "3 m"), []),
        (("speed: 900", "speed: 0"), []),
        (("gas_flow: 0.1", "gas_flow: 0"), []),
        (("to: exhaust\n", "to: exhaust\n    blanked: yes\n"), ["danger"]),
    ],
)
def test_gas_that_no_water_meets_is_a_danger_unless_the_engine_stands(change: tuple[str, str], severities: list[str]):
    found = only(UPHILL.replace(*change)).findings
    dry = [each for each in found if each.code == "exhaust_water"]
    assert [each.severity for each in dry] == severities
    assert all(set(each.cautions) >= {"exhaust", "hot"} and "no water reaches exhaust" in each.message for each in dry)


def test_temperatures_and_times_can_be_shown_beside_the_flows(tmp_path: Path):
    file = tmp_path / "boat.yaml"
    file.write_text(HEAD + line("cools: winch, ua: 100 W/K"), encoding="utf-8")
    asked = ["winch.plateau", "winch.time_to_alarm", "cooler.outlet_temperature"]
    done = CliRunner().invoke(main, ["solve", str(file), *(word for each in asked for word in ("--show", each))])
    plateau = only(line("cools: winch, ua: 100 W/K")).oil("winch").plateau
    assert plateau is not None
    assert f"winch.plateau: {plateau - 273.15:.1f} °C" in done.output
    assert all(f"{each}: " in done.output for each in asked)


def test_the_pressure_of_an_oil_s_pump_is_not_doubted():
    """Hydraulics work at a hundred bar, which no cooling water has."""
    oil = "{volume: 60 L, flow: 30 L/min, pressure: 100 bar}"
    text = HEAD + line("heat: 0 W", oil=oil) + "\nconditions: {light: {winch.pressure: 30 bar}}\n"
    assert netsolve.loads(text).notes == ()
