"""Heat through coolers one behind the other, tees, loops and blanked runs; bursts against a general integrator."""

from __future__ import annotations

from dataclasses import replace
from itertools import pairwise

import numpy as np
import pytest
from scipy.integrate import solve_ivp

import netsolve
from netsolve.answer import answer
from netsolve.assemble import assemble
from netsolve.contract.cooling import Oil
from netsolve.heat.heat import Heat
from netsolve.heat.spells import Course, course
from netsolve.heat.stated import stated
from netsolve.laws.curve import Curve
from netsolve.result import RowResult
from netsolve.study.many import Many
from netsolve.warmed import solve_rows, solve_warmed

HEAD = """
format: 1
circuit: a winch's oil on a harbour tug
water: {kind: fresh, temperature: 20 degC}
oils: {winch: {volume: 60 L, heat: 2 kW, start: 25 degC, alarm: 71 degC, loss: 0 W/K}}
"""
RATE = 998.207 * 4184.1
"""J/(m3 K) of fresh water at 20 degC: IAPWS SR6-08, as tabled."""
FLOW = 12e-3 / 60

LINE = """
joints:
  feed: {type: fixed_flow, flow: 12 L/min, height: 0 m}
  sea: {type: tank, level: 0 m, losses: none}
runs:
  branch: {from: feed, to: sea, parts: [cooler: {type: heat_exchanger, drop: 6 kPa, at: 12 L/min, MORE}]}
"""
TEE = """
joints:
  feed: {type: fixed_flow, flow: 12 L/min, height: 0 m}
  tee-off: {type: tee, bore: 25 mm, height: 0 m}
  sea: {type: tank, level: 0 m, losses: none}
runs:
  main: {from: feed, to: tee-off.common, parts: [engine cooler: {type: heat_exchanger, drop: 6 kPa, at: 12 L/min, heat: 8 kW}]}
  on: {from: tee-off.straight, to: sea, parts: [on hose: {type: hose, bore: 19 mm, length: 1 m}]}
  branch: {from: tee-off.branch, to: sea, parts: [cooler: {type: heat_exchanger, drop: 6 kPa, at: 12 L/min, cools: winch, ua: 100 W/K}]}
changes:
  shut: {blank: branch}
"""
LOOP = """
joints:
  feed: {type: fixed_flow, flow: 12 L/min, height: 0 m}
  loop: {type: vented_loop, height: 0.5 m, vent: works}
  sea: {type: tank, level: 0 m, losses: none}
runs:
  up: {from: feed, to: loop.in, parts: [engine cooler: {type: heat_exchanger, drop: 6 kPa, at: 12 L/min, heat: 8 kW}]}
  down: {from: loop.out, to: sea, parts: [cooler: {type: heat_exchanger, drop: 6 kPa, at: 12 L/min, cools: winch, ua: 100 W/K}]}
"""


def only(body: str, change: str = "as found") -> RowResult:
    return netsolve.solve(netsolve.loads(HEAD + body))["as written", change]


def test_two_coolers_alike_pass_what_one_of_twice_the_ua_does():
    """In oil of one temperature throughout the transfer units of coolers in line add up: 1 - exp(-2 N)."""
    one = only(LINE.replace("MORE", "cools: winch, ua: 100 W/K"))
    both = only(LINE.replace("MORE", "cools: winch, ua: 100 W/K, count: 2"))
    whole = only(LINE.replace("MORE", "cools: winch, ua: 200 W/K"))
    assert both.oil("winch").plateau == pytest.approx(whole.oil("winch").plateau, rel=1e-9)
    assert (both.oil("winch").plateau or 0) < (one.oil("winch").plateau or 0) - 5


def test_two_coolers_that_give_heat_give_it_twice():
    row = only(LINE.replace("MORE", "heat: 4 kW, count: 2"))
    assert row.part("cooler").duty == pytest.approx(8000, rel=1e-9)
    assert row.part("cooler").outlet_temperature == pytest.approx(293.15 + 8000 / (FLOW * RATE), abs=2e-3)


@pytest.mark.parametrize("body", [TEE, LOOP], ids=["tee", "vented loop"])
def test_warm_water_stays_warm_past_a_joint_with_ports(body: str):
    row = only(body)
    warm = 293.15 + 8000 / (FLOW * RATE)
    assert row.part("cooler").inlet_temperature == pytest.approx(warm, abs=2e-3)
    passed = row.part("cooler").duty
    assert passed == pytest.approx(2000, rel=1e-6)  # what is put into the oil, which loses nothing to the air


def test_where_runs_meet_at_an_opening_the_water_is_mixed():
    """The sea receives all the heat that is put in, with all the water that was fed."""
    row = only(TEE)
    assert row.joint("sea").temperature == pytest.approx(293.15 + 10_000 / (FLOW * RATE), abs=2e-3)


def test_a_blanked_run_cools_nothing():
    row = only(TEE, "shut")
    assert row.part("cooler").inlet_temperature is None
    assert row.part("cooler").duty is None
    assert row.oil("winch").plateau is None
    alone = row.oil("winch").time_to_alarm
    assert alone == pytest.approx(60e-3 * 852.25 * 1981.5 * (71 - 25) / 2000, rel=0.001)
    assert row.part("on hose").inlet_temperature == pytest.approx(293.15 + 8000 / (FLOW * RATE), abs=2e-3)


def test_a_row_that_did_not_settle_has_no_heat_and_spoils_no_other():
    circuit = netsolve.loads(HEAD + TEE)
    rows = [circuit.row("as written", "as found", {"cooler.ua": ua}) for ua in ("50 W/K", "100 W/K")]
    network, solution, heat = solve_warmed(assemble(rows), stated(rows))
    flow = solution.flow.copy()
    flow[0], runs = np.nan, len(rows[0].runs)
    lost = replace(solution, flow=flow, settled=np.array([False, True]))
    first, second = answer(circuit, network, lost, Heat(heat.stated, flow[:, :runs])).rows
    whole = answer(circuit, network, solution, heat).rows[1]
    assert (first.oils, first.parts) == ({}, {})
    assert second.oils == whole.oils
    many = Many(
        network, {name: part.run for name, part in rows[0].parts.items()}, lost, Heat(heat.stated, flow[:, :runs])
    )
    assert np.isnan(many.plateau("winch")).tolist() == [True, False]
    assert np.isnan(many.temperature("sea")).tolist() == [True, False]


def integrated(each: Course, oils: list[Oil], times: np.ndarray) -> np.ndarray:
    """The same oils by a general integrator, begun anew at every change of a burst."""
    edges = sorted({begin for begin, _, _ in each.spells if begin < times[-1]} | {float(times[-1])})
    now, found = each.start, np.empty((len(times), len(each.start)))
    for begin, end in pairwise(edges):
        middle = (begin + end) / 2
        heat = [burst_at(oil, middle) for oil in oils]

        def rise(_: float, above: np.ndarray, heat: list[float] = heat) -> np.ndarray:
            return np.asarray((each.gain + np.array(heat) - each.loss @ above) / each.capacity)

        inside = (times >= begin) & (times <= end)
        asked = np.append(times[inside], end)
        whole = solve_ivp(rise, (begin, end), now, t_eval=np.unique(asked), rtol=1e-10, atol=1e-9)
        found[inside], now = whole.y.T[: inside.sum()], whole.y[:, -1]
    return found + each.water


def burst_at(oil: Oil, time: float) -> float:
    """The burst that a timetable has at a time, read from its table."""
    if oil.bursts is None:
        return 0.0
    since, heats = oil.bursts.columns
    within = time % oil.repeat if oil.repeat else time
    return float(heats[int(np.searchsorted(since, within, side="right")) - 1])


WINCH = Oil(volume=0.06, heat=500.0, bursts=Curve(((0.0, 120.0), (2e4, 0.0))), repeat=900.0)
THRUSTER = Oil(volume=0.02, heat=300.0, bursts=Curve(((0.0, 300.0, 420.0), (0.0, 9e3, 0.0))), repeat=2000.0)


@pytest.mark.parametrize("shared", [0.0, -60.0], ids=["apart", "one warms the other's water"])
def test_bursts_are_followed_as_an_integrator_follows_them(shared: float):
    oils = [WINCH, THRUSTER]
    capacity = np.array([float(oil.capacity()) for oil in oils])
    loss = np.array([[90.0, 0.0], [shared, 70.0]])
    each = Course(course(oils), capacity, np.array([500.0, 300.0]), loss, np.array([5.0, 0.0]), 293.15)
    times = np.linspace(0.0, 7000.0, 141)
    wanted = integrated(each, oils, times)
    assert each.at(times) == pytest.approx(wanted, abs=1e-5)
    peak = float(wanted[:60, 1].max() - 293.15)
    reached = each.first(1, 0.9 * peak)
    (there,) = integrated(each, oils, np.array([0.0, reached]))[1:, 1]
    assert there == pytest.approx(293.15 + 0.9 * peak, abs=1e-4)


def test_the_time_to_an_alarm_under_bursts_is_that_of_an_integrator():
    bursts = "bursts: [{time: 0 s, heat: 20 kW}, {time: 2 min, heat: 0 W}], repeat: 15 min"
    body = HEAD.replace("heat: 2 kW", f"heat: 2 kW, {bursts}") + LINE.replace("MORE", "cools: winch, ua: 60 W/K")
    circuit = netsolve.loads(body)
    *_, heat = solve_rows(assemble(circuit.rows))
    assert heat is not None
    (alarm,) = heat.time_to_alarm("winch")
    oils = [circuit.rows[0].oils["winch"].oil]
    times = np.array([0.0, alarm - 5.0, alarm])
    warmed = integrated(heat.warming.course(0), oils, times)[:, 0]
    assert warmed[-1] == pytest.approx(71 + 273.15, abs=1e-4)
    assert warmed[1] < 71 + 273.15


@pytest.mark.parametrize("repeat", ["", ", repeat: 15 min"])
def test_the_peak_under_bursts_is_that_of_an_integrator(repeat: str):
    """Once, it is the last of three; repeated, each comes on top of what is left of the one before."""
    bursts = "bursts: [{time: 0 s, heat: 8 kW}, {time: 3 min, heat: 0 W}, {time: 6 min, heat: 9 kW}, {time: 8 min, heat: 0 W}]"
    body = HEAD.replace("heat: 2 kW", f"heat: 300 W, {bursts}{repeat}") + LINE.replace(
        "MORE", "cools: winch, ua: 60 W/K"
    )
    circuit = netsolve.loads(body)
    network, solution, heat = solve_rows(assemble(circuit.rows))
    assert heat is not None
    course, oils = heat.warming.course(0), [circuit.rows[0].oils["winch"].oil]
    assert oils[0].repeat == (900.0 if repeat else None)
    times = np.arange(0.0, 12 * 3600.0, 10.0)
    wanted = float(integrated(course, oils, times)[:, 0].max())
    assert heat.peak("winch")[0] == pytest.approx(wanted, abs=2e-3)
    assert course.highest(0) + course.water == pytest.approx(wanted, abs=2e-3)
    row = answer(circuit, network, solution, heat).rows[0]
    assert row.oil("winch").peak == heat.peak("winch")[0]
    assert row.oil("winch").hottest == row.oil("winch").peak


@pytest.mark.parametrize("shared", [0.0, 25.0])
def test_the_peak_of_oils_that_warm_each_other_is_the_highest_of_their_course(shared: float):
    each = Course(
        tuple(course([WINCH, THRUSTER])),
        capacity=np.array([1e5, 4e4]),
        gain=np.array([500.0, 300.0]),
        loss=np.array([[60.0, -shared], [0.0, 40.0]]),
        start=np.zeros(2),
        water=293.15,
    )
    seen = each.at(np.arange(0.0, 30 * 3600.0, 5.0))
    for oil in range(2):
        assert each.highest(oil) + each.water == pytest.approx(float(seen[:, oil].max()), abs=0.02)


def test_without_bursts_or_water_there_is_no_peak():
    (steady,) = netsolve.solve(netsolve.loads(HEAD + LINE.replace("MORE", "cools: winch, ua: 60 W/K"))).rows
    assert steady.oil("winch").peak is None
    assert steady.oil("winch").hottest == steady.oil("winch").plateau
    bursts = "bursts: [{time: 0 s, heat: 8 kW}, {time: 3 min, heat: 0 W}], repeat: 15 min"
    alone = HEAD.replace("heat: 2 kW", f"heat: 300 W, {bursts}") + LINE.replace("MORE", "heat: 0 W")
    (hot,) = netsolve.solve(netsolve.loads(alone)).rows
    assert (hot.oil("winch").peak, hot.oil("winch").hottest) == (None, None)
