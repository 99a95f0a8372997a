"""Margins: closed forms, and the same limit from margin, sweep, sweep --find and solve."""

import pytest

import netsolve
from netsolve.study.one_row import row_at
from netsolve.study.settable import text_of
from tests.commands import CIRCUITS, POT_HAULER, Shell, written

COOLER = """
format: 1
circuit: a tank that feeds a cooler
joints:
  tank: {type: tank, level: 0 m, pressure: 20 kPa, losses: none}
  outlet: {type: discharge, height: 0 m, losses: none}
runs:
  feed:
    from: tank
    to: outlet
    parts:
      - valve: {type: ball_valve, bore: 50 mm}
      - cooler: {type: heat_exchanger, drop: 5 kPa, at: 20 L/min, exponent: 2, min_flow: 20 L/min}
conditions:
  calm: {cooler.min_flow: 18 L/min}
  busy: {}
"""


@pytest.fixture
def shell(capsys: pytest.CaptureFixture[str]) -> Shell:
    return Shell(capsys)


def test_a_cooler_may_foul_until_its_drop_takes_all_the_pressure():
    """20 kPa drives 20 L/min through 4 times a clean drop of 5 kPa: three quarters of the way from 1 to 5."""
    text = COOLER.replace("      - valve: {type: ball_valve, bore: 50 mm}\n", "")
    (found,) = netsolve.margin(netsolve.loads(text))
    assert (found.part, found.parameter, found.condition, found.need) == ("cooler", "fouled", "busy", "cooler")
    assert (found.limit, found.left) == pytest.approx((4.0, 0.75), rel=1e-3)
    assert found.reading is not None
    assert (found.reading.flow, found.reading.bucket) == pytest.approx((20 / 60_000, 30.0), rel=1e-4)


def test_the_least_margin_comes_first_and_what_never_costs_a_need_last():
    found = netsolve.margin(netsolve.load(CIRCUITS / "two_coolers.yaml"), conditions=["survey"])
    left = [each.left for each in found if each.left is not None]
    assert left == sorted(left)
    assert len(left) > 1
    assert all(each.limit is None and each.need is None for each in found[len(left) :])
    assert {"weed strainer", "engine cooler"} <= {each.part for each in found[len(left) :]}


@pytest.mark.parametrize("change", ["as found", "screen"])
def test_margin_sweep_find_and_solve_agree(shell, change):
    circuit = netsolve.load(POT_HAULER)
    found = [each for each in netsolve.margin(circuit, changes=[change]) if each.limit is not None]
    assert {"raw-water pump", "oil cooler", "seacock", "weed strainer"} <= {each.part for each in found}
    for each in found:
        path, only = f"{each.part}.{each.parameter}", ("--condition", each.condition, "--change", change)
        kind = "rad" if each.kind == "angle" else "m" if each.kind == "length" else ""
        swept = shell(
            "sweep",
            POT_HAULER,
            "--vary",
            f"{path} = {min(each.now, each.worst)!r} .. {max(each.now, each.worst) * 0.99!r} {kind}, 9 points",
            *only,
            "--json",
        ).json
        crossed = [
            one["value"] for one in swept["crossings"] if one["about"] == each.need and one["bound"] == each.bound
        ]
        assert crossed == pytest.approx([each.limit], rel=1e-3)
        row = row_at(circuit, each.condition, change, {path: text_of(each.limit, each.kind)})
        wanted = getattr(row.part(each.need), each.bound)
        assert row.part(each.need).flow == pytest.approx(wanted, rel=1e-3)
        asked = shell(
            "sweep", POT_HAULER, "--find", path, "--for", f"{each.need} = {wanted!r} m3/s", *only, "--json"
        ).json
        assert asked["found"][0]["values"] == pytest.approx([each.limit], rel=1e-3)


@pytest.mark.parametrize(("step", "missed"), [(-1e-3, False), (1e-3, True)])
def test_a_need_is_met_just_before_the_limit_and_missed_just_beyond(step, missed):
    circuit = netsolve.load(POT_HAULER)
    for each in netsolve.margin(circuit):
        if each.limit is not None:
            value = each.limit + step * (each.worst - each.now)
            row = row_at(
                circuit, each.condition, each.change, {f"{each.part}.{each.parameter}": text_of(value, each.kind)}
            )
            assert (row.part(each.need).verdict == "starved") is missed


def test_no_other_need_is_missed_before_the_limit():
    circuit = netsolve.load(CIRCUITS / "two_coolers.yaml")
    found = [each for each in netsolve.margin(circuit, conditions=["full"]) if each.limit is not None]
    assert found
    now = row_at(circuit, "full", "as found", {})
    for each in found:
        value = each.now + 0.98 * (each.limit - each.now)
        before = row_at(circuit, "full", "as found", {f"{each.part}.{each.parameter}": text_of(value, each.kind)})
        met = [name for name, part in now.parts.items() if part.verdict in ("served", "marginal")]
        assert met
        assert all(before.parts[name].verdict in ("served", "marginal") for name in met)


def test_what_is_missed_already_is_said_and_not_counted(shell):
    done = shell("margin", POT_HAULER)
    assert done.status == 0
    assert "missed already, so not counted: oil cooler at idle, STARVED" in done.words
    assert max(map(len, done.out.splitlines())) <= 80
    told = shell("margin", POT_HAULER, "--json").json
    assert {("idle", "oil cooler"), ("cruise", "oil cooler")} == {
        (each["condition"], each["need"]) for each in told["missed"]
    }
    assert not [each for each in told["margins"] if each["need"] == "oil cooler" and each["condition"] != "full"]


def test_json_has_what_one_would_read(shell):
    told = shell("margin", POT_HAULER, "--condition", "full", "--json").json["margins"]
    scale = next(each for each in told if each["part"] == "oil cooler")
    assert {"part", "parameter", "limit", "condition", "need"} <= set(scale)
    read = scale["reading"]
    assert read["flow_m3_s"] * read["bucket_of_10_l_s"] == pytest.approx(0.01)
    assert (read["pump"], read["joint"]) == ("raw-water pump", "tee-off")
    row = row_at(netsolve.load(POT_HAULER), "full", "as found", {"oil cooler.scale": f"{scale['limit']} m"})
    assert read["joint_pressure_pa"] == pytest.approx(row.joint("tee-off").ports["branch"].pressure)
    assert read["pump_inlet_pressure_pa"] == pytest.approx(row.part("raw-water pump").inlet_pressure)


def test_tubes_are_plugged_only_as_far_as_one_is_open(tmp_path, shell):
    text = COOLER.replace(
        "{type: heat_exchanger, drop: 5 kPa, at: 20 L/min, exponent: 2,",
        "{type: tube_cooler, tubes: 24, bore: 6 mm, length: 0.3 m,",
    )
    (plugged,) = [
        each
        for each in shell("margin", written(tmp_path, text), "--json").json["margins"]
        if each["parameter"] == "plugged"
    ]
    assert 23 < plugged["worst"] < 24
    assert plugged["limit"] is None or plugged["limit"] < 24


def test_a_hose_may_kink(shell):
    """A kink that nobody wrote begins as wide as the hose."""
    circuit = netsolve.load(POT_HAULER)
    found = {each.part: each for each in netsolve.margin(circuit, conditions=["full"]) if each.parameter == "kink_bore"}
    assert {"suction hose", "feed hose", "return hose"} == set(found)
    feed = found["feed hose"]
    assert (feed.now, feed.need) == (pytest.approx(0.625 * 0.0254), "oil cooler")
    row = row_at(circuit, "full", "as found", {"feed hose.kink_bore": f"{feed.limit} m"})
    assert row.part("oil cooler").flow == pytest.approx(row.part("oil cooler").min_flow, rel=1e-5)


def test_a_change_has_margins_of_its_own(shell):
    told = shell("margin", POT_HAULER, "--change", "as found", "--change", "screen", "--json").json["margins"]
    assert {"mesh screen"} == {each["part"] for each in told if each["change"] == "screen"} - {
        each["part"] for each in told if each["change"] == "as found"
    }
