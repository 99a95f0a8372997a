"""Bands: uncertain numbers carried through to flows, and the chance that each need is met."""

from __future__ import annotations

import math
from pathlib import Path
from statistics import NormalDist

import numpy as np
import pytest

import netsolve
from netsolve.problems import CircuitError
from netsolve.study.bands import bands
from netsolve.study.uncertain import drawn, solve_columns, uncertain
from tests.commands import POT_HAULER, Shell, edited, written

HEAD, AREA, GRAVITY = 3.0, math.pi / 4 * 0.020**2, 9.80665
HALF_WAY = AREA * math.sqrt(2 * GRAVITY * HEAD / 10.5)

ONE_LOSS = f"""
format: 1
circuit: a header tank over a loss
water: {{kind: custom, density: 1000 kg/m3, viscosity: 1 mPa.s}}
joints:
  header: {{type: tank, level: 3 m, losses: none}}
  below: {{type: discharge, height: 0 m, losses: none}}
runs:
  pipe:
    from: header
    to: below
    parts: [{{throat: {{type: loss, bore: 20 mm, k: 10 ± 20 %, min_flow: {HALF_WAY * 6e4} L/min}}}}]
"""


def flow(k: float) -> float:
    """Torricelli with a loss: v = sqrt(2 g h / K)."""
    return AREA * math.sqrt(2 * GRAVITY * HEAD / k)


def test_a_band_is_the_flow_at_the_ends_of_the_uncertain_number():
    """The flow falls with K, and ± 20 % is two standard deviations of K: the quantiles follow in closed form."""
    (row,) = bands(netsolve.loads(ONE_LOSS), samples=4000)
    normal = NormalDist(10, 1)
    band = row.runs["pipe"]
    expected = [flow(normal.inv_cdf(share)) for share in (0.95, 0.5, 0.05)]
    assert [band.low, band.middle, band.high] == pytest.approx(expected, rel=5e-3)


def test_the_chance_of_a_need_is_the_share_of_the_number_that_meets_it():
    """Met where K is below 10.5, half a standard deviation above its middle."""
    (row,) = bands(netsolve.loads(ONE_LOSS), samples=4000)
    assert row.parts["throat"].chance == pytest.approx(NormalDist().cdf(0.5), abs=0.02)


def test_a_joint_carries_what_stands_behind_its_values():
    """Torricelli under a level of 3 m ± 20 %: the flow goes with its root, and the quantiles follow in closed form."""
    text = ONE_LOSS.replace("k: 10 ± 20 %", "k: 10").replace("level: 3 m", "level: 3 m ± 20 %")
    (row,) = bands(netsolve.loads(text), samples=4000)
    normal, band = NormalDist(3.0, 0.3), row.runs["pipe"]
    expected = [AREA * math.sqrt(2 * GRAVITY * normal.inv_cdf(share) / 10) for share in (0.05, 0.5, 0.95)]
    assert [band.low, band.middle, band.high] == pytest.approx(expected, rel=5e-3)


def test_the_height_of_an_outlet_is_as_uncertain_as_it_is_written():
    """An outlet 1 m ± 0.5 m above the datum, under 3 m of water."""
    text = ONE_LOSS.replace("k: 10 ± 20 %", "k: 10").replace("height: 0 m", "height: 1 m ± 0.5 m")
    (row,) = bands(netsolve.loads(text), samples=4000)
    normal, band = NormalDist(2.0, 0.25), row.runs["pipe"]
    expected = [AREA * math.sqrt(2 * GRAVITY * normal.inv_cdf(share) / 10) for share in (0.05, 0.95)]
    assert [band.low, band.high] == pytest.approx(expected, rel=5e-3)


def test_the_same_seed_gives_the_same_bands_and_another_seed_others():
    circuit = netsolve.loads(ONE_LOSS)
    assert bands(circuit, seed=3) == bands(circuit, seed=3)
    assert bands(circuit, seed=3) != bands(circuit, seed=4)


def test_what_is_written_behind_a_value_goes_before_the_usual():
    row = netsolve.loads(edited("{type: hose, bore: 38 mm,", "{type: hose, bore: 38 ± 1 mm,")).as_found
    (hose,) = [each for each in uncertain(row) if each.name == "suction hose" and each.field == "bore"]
    assert 1e-3 / 2 == pytest.approx(hose.deviation)
    (usual,) = [each for each in uncertain(row) if each.name == "feed hose" and each.field == "bore"]
    assert 0.04 / 2 * usual.value == pytest.approx(usual.deviation)


def test_parts_that_are_not_fitted_are_not_uncertain():
    row = netsolve.load(POT_HAULER).as_found
    assert "mesh screen" not in {each.name for each in uncertain(row)}


def test_no_drawn_value_passes_what_it_may_be():
    circuit = netsolve.loads(ONE_LOSS.replace("k: 10 ± 20 %", "k: 10 ± 400 %"))
    values = drawn(uncertain(circuit.as_found), 500, 1)["throat", "k"]
    assert 0 < values.min() < 0.1
    assert 90 >= values.max()


def test_columns_of_fields_are_the_rows_with_these_settings():
    circuit = netsolve.load(POT_HAULER)
    bores = np.array([0.0145, 0.0159, 0.0172])
    many = solve_columns(circuit.as_found, {("feed hose", "bore"): bores})
    one_by_one = [
        netsolve.solve(
            netsolve.loads(edited("5/8 in, length: 2.5 m", f"{bore} m, length: 2.5 m")), changes=["as found"]
        )
        for bore in bores
    ]
    expected = [result["idle"].part("oil cooler").flow for result in one_by_one]
    assert expected == pytest.approx(many.flow("oil cooler"), rel=1e-6)


def test_a_circuit_without_uncertain_numbers_is_told_how_to_write_one():
    with pytest.raises(CircuitError) as raised:
        bands(netsolve.loads(ONE_LOSS.replace(" ± 20 %", "")))
    (problem,) = raised.value.problems
    assert ("nothing-uncertain", True) == (problem.code, "± 0.5 mm" in problem.help)


@pytest.fixture
def shell(capsys: pytest.CaptureFixture[str]) -> Shell:
    return Shell(capsys)


def test_the_command_prints_from_how_much_to_how_much_and_the_chance(shell: Shell, tmp_path: Path) -> None:
    done = shell("solve", written(tmp_path, ONE_LOSS), "--bands")
    assert 0 == done.status
    assert max(map(len, done.out.splitlines())) <= 80
    low, high = (60e3 * flow(k) for k in (11.645, 8.355))
    assert f"{low:.0f}" in done.out
    assert f" to {high:.0f}" in done.out or f" to {high + 0.5:.0f}" in done.out


def test_json_has_the_bands_of_every_row_in_si(shell: Shell) -> None:
    data = shell("solve", POT_HAULER, "--bands", "--condition", "idle", "--change", "screen", "--json").json
    (row,) = data["bands"]
    assert ("idle", "screen") == (row["condition"], row["change"])
    cooler = row["parts"]["oil cooler"]
    assert cooler["low_m3_s"] < cooler["middle_m3_s"] < cooler["high_m3_s"]
    assert 0 <= cooler["chance"] <= 1
    assert {"intake", "engine", "oil cooler branch"} == set(row["runs"])


WARM = """
format: 1
oils: {winch oil: {volume: 60 L, heat: 600 W ± 30 %, air: 35 degC, loss: LOSS, limit: 68 degC}}
joints:
  meter: {type: fixed_flow, flow: 10 L/min, height: 0 m}
  bucket: {type: tank, level: 0 m, losses: none}
runs:
  line: {from: meter, to: bucket, parts: [{hose: {type: hose, bore: 25 mm, length: 1 m}}]}
"""


def test_the_band_of_an_oil_is_that_of_its_heat_balance():
    """35 degC + heat / 20 W/K, heat normal with a deviation of 15 %: 90 % within 1.645 of them (tables of the normal)."""
    (row,) = bands(netsolve.loads(WARM.replace("LOSS", "20 W/K ± 0.001 %")), samples=4000)
    oil = row.oils["winch oil"]
    off = 1.645 * 0.15 * 600 / 20
    assert [each - 273.15 for each in (oil.low, oil.middle, oil.high)] == pytest.approx(
        [65 - off, 65, 65 + off], abs=0.3
    )
    assert oil.most == 68 + 273.15
    assert oil.chance == pytest.approx(0.7475, abs=0.02)  # within 2/3 of a deviation above the middle


def test_an_oil_that_nothing_cools_has_no_upper_end(shell: Shell, tmp_path: Path):
    text = WARM.replace("LOSS", "0 W/K")
    (row,) = bands(netsolve.loads(text))
    assert row.oils["winch oil"].high == float("inf")
    assert row.oils["winch oil"].chance == 0.0
    assert (
        shell("solve", written(tmp_path, text), "--bands", "--json").json["bands"][0]["oils"]["winch oil"]["high_k"]
        is None
    )
    assert "winch oil > 150 °C 68 °C under 1 %" in shell("solve", written(tmp_path, text), "--bands").words
