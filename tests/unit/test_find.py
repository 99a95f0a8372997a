"""Roots of a sweep: closed forms, and what is found put back into the circuit gives what it was found for."""

import math

import pytest

import netsolve
from netsolve.study.one_row import row_at
from tests.commands import CIRCUITS, POT_HAULER, Shell, edited, written

HAULER = netsolve.load(POT_HAULER)
HEAD = """
format: 1
circuit: a tank that feeds an open end through plain losses
water: {kind: custom, density: 1025 kg/m3, viscosity: 0.01 mPa.s}
joints:
  tank: {type: tank, level: 0 m, pressure: 20 kPa, losses: none}
  outlet: {type: discharge, height: 0 m, losses: none}
runs:
"""
ONE = (
    HEAD
    + "  feed: {from: tank, to: outlet, parts: [{pipe: {type: loss, k: 4, bore: 16 mm, min_flow: 20 L/min, max_flow: 40 L/min}}]}\n"
)
LITRES = 1 / 60_000


@pytest.fixture
def shell(capsys: pytest.CaptureFixture[str]) -> Shell:
    return Shell(capsys)


def bore_for(flow: float, *, pressure: float = 20e3, k: float = 4.0) -> float:
    """The bore (m) that carries a flow (m3/s): q = A sqrt(2 dp / (K rho))."""
    return math.sqrt(4 / math.pi * flow / math.sqrt(2 * pressure / (k * 1025)))


def test_the_bore_for_a_flow_is_the_one_on_paper(shell, tmp_path):
    done = shell("sweep", written(tmp_path, ONE), "--find", "pipe.bore", "--for", "pipe = 30 L/min", "--json")
    (found,) = done.json["found"]
    assert [bore_for(30 * LITRES)] == pytest.approx(found["values"], rel=1e-4)
    assert found["searched"][0] < found["values"][0] < found["searched"][1]


def test_needs_are_crossed_where_paper_says_and_not_on_the_grid(shell, tmp_path):
    vary = ("--vary", "pipe.bore = 8 mm, 30 mm, 16 mm")
    told = shell("sweep", written(tmp_path, ONE), *vary, "--json").json["crossings"]
    assert [("min_flow", "more"), ("max_flow", "less")] == [(each["bound"], each["met_by"]) for each in told]
    assert [bore_for(20 * LITRES), bore_for(40 * LITRES)] == pytest.approx([each["value"] for each in told], rel=1e-4)
    assert [[0.008, 0.016], [0.016, 0.03]] == [each["between"] for each in told]


def test_flow_stops_where_the_lift_takes_all_the_pressure(shell, tmp_path):
    """20 kPa lifts water of 1025 kg/m3 by 1.9897 m."""
    done = shell(
        "sweep", written(tmp_path, ONE), "--find", "outlet.height = 0 .. 5 m", "--for", "pipe = 0 gpm", "--json"
    )
    (found,) = done.json["found"]
    assert [20e3 / (1025 * 9.80665)] == pytest.approx(found["values"], rel=1e-4)


def test_two_branches_alike(shell, tmp_path):
    """Two losses side by side carry alike where K/A² is alike: the bore grows with the fourth root of K."""
    text = (
        HEAD.replace("  outlet", "  split: {type: manifold, height: 0 m}\n  outlet").replace(
            "runs:", "  other: {type: discharge, height: 0 m, losses: none}\nruns:"
        )
        + """
  feed: {from: tank, to: split, parts: [{pipe: {type: loss, k: 2, bore: 16 mm}}]}
  port: {from: split, to: outlet, parts: [{port cooler: {type: loss, k: 16, bore: 16 mm}}]}
  starboard: {from: split, to: other, parts: [{starboard cooler: {type: loss, k: 1, bore: 12 mm}}]}
"""
    )
    done = shell(
        "sweep",
        written(tmp_path, text),
        "--find",
        "starboard cooler.bore",
        "--for",
        "Port  cooler = starboard",
        "--json",
    )
    (found,) = done.json["found"]
    assert [0.016 / 2] == pytest.approx(found["values"], rel=1e-5)


def test_every_value_is_told_where_several_give_the_flow(shell, tmp_path):
    """A wider pipe carries more, a longer hose less: moved together the flow rises and falls."""
    text = (
        HEAD
        + "  feed: {from: tank, to: outlet, parts: [{pipe: {type: loss, k: 4, bore: 16 mm}}, {hose: {type: hose, bore: 16 mm, length: 1 m}}]}\n"
    )
    file = written(tmp_path, text)
    done = shell("sweep", file, "--find", "pipe.bore, hose.length = 4 mm .. 20 m", "--for", "pipe = 25 L/min", "--json")
    (found,) = done.json["found"]
    assert len(found["values"]) == 2
    circuit = netsolve.load(file)
    for value in found["values"]:
        row = row_at(circuit, "as written", "as found", {"pipe.bore": f"{value} m", "hose.length": f"{value} m"})
        assert row.part("pipe").flow == pytest.approx(25 * LITRES, rel=1e-5)
    assert (
        " or "
        in shell("sweep", file, "--find", "pipe.bore, hose.length = 4 mm .. 20 m", "--for", "pipe = 25 L/min").out
    )


@pytest.mark.parametrize(
    ("path", "goal", "flow"),
    [
        ("main.speed", "oil cooler = 3 gpm", 3 * 6.30902e-5),
        ("feed hose.bore, return hose.bore", "oil cooler = 3 gpm", 3 * 6.30902e-5),
        ("weed strainer.blinded", "engine cooler = 35 L/min", 35 * LITRES),
        ("seacock.shut", "engine cooler = 35 L/min", 35 * LITRES),
        ("oil cooler.scale", "oil cooler branch = 4 L/min", 4 * LITRES),
        ("overboard.height", "oil cooler = 4 L/min", 4 * LITRES),
        ("raw-water pump.worn", "engine cooler = 35 L/min", 35 * LITRES),
    ],
)
def test_what_is_found_gives_what_it_was_found_for(shell, path, goal, flow):
    done = shell("sweep", POT_HAULER, "--find", path, "--for", goal, "--change", "screen", "--json")
    answered = [(each["condition"], value) for each in done.json["found"] for value in each["values"]]
    assert answered
    name = goal.partition(" = ")[0]
    for condition, value in answered:
        settings = (
            {"main.speed": f"{value} rev/s"}
            if path == "main.speed"
            else {
                each: f"{value} rad"
                if each == "seacock.shut"
                else f"{value}"
                if each.endswith(("blinded", "worn"))
                else f"{value} m"
                for each in path.split(", ")
            }
        )
        row = row_at(HAULER, condition, "screen", settings)
        got = row.parts[name].flow if name in row.parts else row.run(name).flow
        assert got == pytest.approx(flow, rel=1e-3)


def test_what_no_value_gives_is_said_with_what_it_gets(shell):
    done = shell(
        "sweep",
        POT_HAULER,
        "--find",
        "feed hose.bore",
        "--for",
        "oil cooler = 3 gpm",
        "--condition",
        "idle",
        "--change",
        "as found",
    )
    assert done.status == 0
    assert "idle, as found: none: it carries from 0 L/min" in done.words
    told = shell(
        "sweep", POT_HAULER, "--find", "feed hose.bore", "--for", "oil cooler = 3 gpm", "--condition", "idle", "--json"
    ).json
    assert [[]] * 5 == [each["values"] for each in told["found"]]


def test_what_is_missed_at_a_value_that_was_found_is_said(shell):
    done = shell(
        "sweep",
        POT_HAULER,
        "--find",
        "weed strainer.blinded",
        "--for",
        "oil cooler = 1 gpm",
        "--condition",
        "cruise",
        "--change",
        "as found",
    )
    assert "(then engine cooler DRY" in done.words
    done = shell(
        "sweep",
        POT_HAULER,
        "--find",
        "main.speed",
        "--for",
        "oil cooler = 3 gpm",
        "--condition",
        "full",
        "--change",
        "as found",
    )
    assert "then" not in done.words


def test_a_value_is_found_for_each_of_others(shell):
    done = shell(
        "sweep",
        POT_HAULER,
        "--find",
        "main.speed",
        "--for",
        "oil cooler = 3 gpm",
        "--vary",
        "feed hose.bore = 1/2 in, 3/4 in",
        "--condition",
        "idle",
        "--change",
        "as found",
        "--json",
    )
    narrow, wide = done.json["found"]
    assert (narrow["settings"], wide["settings"]) == (
        {"feed hose.bore": 0.0127},
        {"feed hose.bore": pytest.approx(0.01905)},
    )
    assert narrow["values"][0] > 1.05 * wide["values"][0]


def test_whole_numbers_are_crossed_between_two(shell, tmp_path):
    """One such pipe carries 37.7 L/min, two in line 26.6, three 21.8."""
    text = ONE.replace("min_flow: 20 L/min", "min_flow: 25 L/min")
    done = shell("sweep", written(tmp_path, text), "--vary", "pipe.count = 1, 2, 3", "--json")
    assert [(None, [2.0, 3.0])] == [(each["value"], each["between"]) for each in done.json["crossings"]]
    assert "between 2 and 3" in shell("sweep", written(tmp_path, text), "--vary", "pipe.count = 1, 2, 3").out


@pytest.mark.parametrize(
    ("find", "goal", "place", "message"),
    [
        ("main.sped", "oil cooler = 3 gpm", "--find:1:1", "did you mean 'speed'?"),
        ("feed hose.wall", "oil cooler = 3 gpm", "--find:1:1", "is no number"),
        ("main.speed = 700 rpm, 900 rpm", "oil cooler = 3 gpm", "--find:1:1", "looks within a range"),
        ("main.speed = 900 .. 700 rpm", "oil cooler = 3 gpm", "--find:1:1", "does not rise"),
        ("oil cooler.scale = 0 mm .. nine", "oil cooler = 3 gpm", "--find:1:28", "not a number that can be read"),
        ("main.speed", "oil coolr = 3 gpm", "--for:1:1", "did you mean 'oil cooler'?"),
        ("main.speed", "oil cooler = engin cooler", "--for:1:14", "did you mean 'engine cooler'?"),
        ("main.speed", "oil cooler = 3", "--for:1:14", "has no unit"),
        ("main.speed", "oil cooler = 3 psi", "--for:1:14", "a flow"),
        ("main.speed", "oil cooler = Oil Cooler", "--for:1:14", "name another part"),
        ("main.speed", "oil cooler", "--for:1:1", "is not PART = FLOW"),
    ],
)  # fmt: skip
def test_what_is_wrong_with_the_question_is_told_at_its_place(shell, find, goal, place, message):
    done = shell("sweep", POT_HAULER, "--find", find, "--for", goal)
    assert (done.status, done.out) == (2, "")
    assert done.err.startswith(f"{place}: error[")
    assert message in done.err


TOUCHY = '''"""A plugin."""
import numpy as np

from netsolve.plugin import Component, quantity


class Touchy(Component):
    """A part that cannot be worked out when it is narrow."""

    bore: float = quantity("length", "inside diameter", above=0, sizes="hose", worst=1e-4)
    sources = ("none: made up for the test",)

    def pressure_drop(self, flow, water):
        if np.ndim(flow) == 2 and np.min(self.bore) < 0.012:  # only while rows are solved
            raise RuntimeError("too narrow")
        return flow * 1e7
'''


@pytest.mark.parametrize(
    "words",
    [
        ("sweep", "--find", "mesh screen.bore", "--for", "oil cooler = 3 gpm"),
        ("sweep", "--vary", "mesh screen.bore = 10 mm, 20 mm"),
        ("size", "mesh screen.bore"),
        ("margin",),
    ],
)
def test_a_plugin_that_fails_on_the_way_is_told_at_its_line(shell, tmp_path, words):
    written(tmp_path, TOUCHY, "touchy.py")
    file = written(tmp_path, edited("{type: strainer, cv: 8, mesh: 60, fitted: no}", "{type: touchy, bore: 16 mm}"))
    done = shell(words[0], file, *words[1:], "--plugins", tmp_path)
    assert (done.status, done.out) == (2, "")
    assert "error[plugin-failed]: 'touchy' fails" in done.err
    assert "too narrow" in done.err


def test_where_nothing_bounds_the_search_it_is_asked_for(shell, tmp_path):
    file = written(
        tmp_path, edited("overboard: {type: discharge, height: 0.2 m", "overboard: {type: discharge, height: 0 m")
    )
    done = shell(
        "sweep",
        file,
        "--find",
        "raw-water pump.slip",
        "--for",
        "oil cooler = 3 gpm",
        "--condition",
        "full",
        "--change",
        "as found",
    )
    assert done.status == 0
    unset = shell("sweep", POT_HAULER, "--find", "feed hose.vacuum_rating", "--for", "oil cooler = 3 gpm")
    assert (unset.status, unset.out) == (2, "")
    assert "LOW .. HIGH" in unset.err


def test_half_a_question_is_refused(shell):
    assert "--find and --for go together" in shell("sweep", POT_HAULER, "--find", "main.speed").err
    assert "--find and --for go together" in shell("sweep", POT_HAULER, "--for", "oil cooler = 3 gpm").err


def test_a_circuit_of_many_branches_finds_its_orifice(shell):
    two = CIRCUITS / "two_coolers.yaml"
    done = shell(
        "sweep",
        two,
        "--find",
        "balancing orifice.bore",
        "--for",
        "winch cooler = gearbox cooler",
        "--change",
        "balancing orifice",
        "--json",
    )
    circuit = netsolve.load(two)
    for each in done.json["found"]:
        for value in each["values"]:
            row = row_at(circuit, each["condition"], each["change"], {"balancing orifice.bore": f"{value} m"})
            assert row.part("winch cooler").flow == pytest.approx(row.part("gearbox cooler").flow, rel=1e-4)
    assert any(each["values"] for each in done.json["found"])
