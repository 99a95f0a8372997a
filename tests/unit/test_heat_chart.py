"""Temperature over time: the curves of an oil by a formula of our own, and the charts that show them."""

from __future__ import annotations

import math
from pathlib import Path
from xml.etree import ElementTree

import numpy as np
import pytest

import netsolve
from netsolve.study.warm_up import warm_ups
from netsolve.views.chart import chart_lines
from netsolve.views.heat_chart import heat_charts
from tests.commands import CIRCUITS, Shell

WINCH = CIRCUITS / "winch_tank.yaml"

LINE = """
format: 1
water: {{kind: custom, density: 1000 kg/m3, viscosity: 1 mPa.s, heat_capacity: 4000 J/kg/K, temperature: 15 degC}}
oils:
  winch: {{volume: 50 L, density: 900 kg/m3, heat_capacity: 2000 J/kg/K, heat: 2 kW, start: 25 degC, air: 35 degC,
          loss: 10 W/K, alarm: 50 degC{more}}}
joints:
  meter: {{type: fixed_flow, flow: {flow} L/min, height: 0 m}}
  bucket: {{type: tank, level: 0 m, losses: none}}
runs:
  line: {{from: meter, to: bucket, parts: [{{cooler: {{type: heat_exchanger, drop: 1 kPa, at: 10 L/min, cools: winch, ua: 40 W/K}}}}]}}
"""


def solved(flow: float = 6.0, more: str = "") -> netsolve.result.Result:  # type: ignore[name-defined]
    return netsolve.solve(netsolve.loads(LINE.format(flow=flow, more=more)))


CAPACITY = 0.05 * 900 * 2000
RATE = 1e-4 * 1000 * 4000
COOLER = RATE * (1 - math.exp(-40 / RATE))
"""W/K that the coil takes at 6 L/min: Kays & London, stirred tank, from memory."""


def test_the_curve_is_that_of_a_mixed_tank_with_water_and_without():
    (curve,) = warm_ups(solved())
    loss = COOLER + 10
    settled = (2000 + COOLER * 15 + 10 * 35) / loss
    by_hand = settled + (25 - settled) * np.exp(-curve.times * loss / CAPACITY)
    assert curve.temperatures - 273.15 == pytest.approx(by_hand, abs=1e-6)
    beyond = 35 + 2000 / 10
    stopped = beyond + (settled - beyond) * np.exp(-curve.times_stopped * 10 / CAPACITY)
    assert curve.stopped is not None
    assert curve.stopped - 273.15 == pytest.approx(stopped, abs=1e-6)


def test_the_alarm_is_seen_to_be_passed_and_the_settling_where_it_is_not():
    (stays,) = warm_ups(netsolve.solve(netsolve.loads(LINE.format(flow=6, more="").replace("ua: 40", "ua: 200"))))
    assert stays.temperatures[-1] - stays.temperatures[-2] < 0.01
    (passes,) = warm_ups(netsolve.solve(netsolve.loads(LINE.format(flow=6, more="").replace("ua: 40", "ua: 10"))))
    assert passes.alarm is not None
    assert passes.temperatures[-1] > passes.alarm > passes.temperatures[0]
    assert stays.stopped is not None
    assert stays.stopped[-1] > passes.alarm


def test_without_water_there_is_nothing_that_could_stop():
    text = LINE.format(flow=6, more="").replace("ua: 40 W/K", "ua: 40 W/K, fitted: no")
    (curve,) = warm_ups(netsolve.solve(netsolve.loads(text)))
    assert curve.stopped is None
    assert ["time after a cold start"] == [chart.path for chart in heat_charts([curve])]


def test_bursts_show_as_they_come_and_go():
    (curve,) = warm_ups(solved(60.0, ", bursts: [{time: 0 s, heat: 8 kW}, {time: 5 min, heat: 0 W}], repeat: 40 min"))
    rising = np.diff(curve.temperatures) > 0
    peaks = curve.times[1:-1][rising[:-1] & ~rising[1:]]
    later = [5 * 60 + 40 * 60 * burst for burst in (1, 2)]  # the first falls into the warming up
    assert later == pytest.approx(peaks[-2:].tolist(), abs=curve.times[1])


def test_what_no_oil_stands_is_not_drawn():
    (_, stopped) = heat_charts(warm_ups(hot()))
    assert np.nanmax(stopped.lines[0].amounts) <= 423.15
    assert np.isnan(stopped.lines[0].amounts[-1])


def hot() -> netsolve.result.Result:  # type: ignore[name-defined]
    text = LINE.format(flow=6, more="").replace("volume: 50 L", "volume: 2 L").replace("loss: 10 W/K", "loss: 0 W/K")
    return netsolve.solve(netsolve.loads(text))


def test_the_terminal_has_the_alarm_and_the_ends_in_80_columns():
    chart = heat_charts(warm_ups(solved()))[0]
    for system, alarm, unit in (("metric", "50 °C (122 °F)", "°C"), ("us", "122 °F (50 °C)", "°F")):
        lines = list(chart_lines(chart, system))
        assert f"winch, {unit}" == lines[0]
        assert any(f"its alarm, {alarm}" in line for line in lines)
        assert max(map(len, lines)) <= 80
        assert any("=====" in line for line in lines)


def test_the_command_draws_them_and_says_the_same_in_words(capsys: pytest.CaptureFixture[str], tmp_path: Path) -> None:
    shell, file = Shell(capsys), tmp_path / "heat.svg"
    done = shell("heat", WINCH, "--change", "as found", "-o", file)
    assert (0, True) == (done.status, "written: " in done.err)
    assert "time after a cold start" not in done.out
    drawn = file.read_bytes()
    words = " ".join(ElementTree.fromstring(drawn).itertext())
    assert "its alarm 71 °C" in words
    assert "time after the water has stopped" in words
    shell("heat", WINCH, "--change", "as found", "-o", file)
    assert drawn == file.read_bytes()
    assert "time after a cold start" in shell("heat", WINCH, "--change", "as found").out
    refused = shell("heat", WINCH, "-o", tmp_path / "heat.png")
    assert (2, True) == (refused.status, "write for example -o heat.svg" in refused.err)
