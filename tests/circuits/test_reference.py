"""The reference diesel gives the numbers of its sums, at three speeds, as found and under five changes.

Source: sums made once by a separate script on the same circuit (Darcy with Haaland's friction factor, laminar below
Re 2300 and a straight blend to 4000); common practice for such a boat, no published source. netsolve uses Churchill's
friction factor, which differs by up to 2 %.
"""

from pathlib import Path

import pytest

import netsolve

FOLDER = Path(__file__).parents[2] / "circuits"
GPM = 3.785411784e-3 / 60
BRANCH = {
    "as found": (1.29, 3.10, 4.45),
    "3/4 in hose": (1.41, 3.37, 4.83),
    "clean small strainer": (1.26, 3.02, 4.32),
    "swing check": (1.23, 3.01, 4.32),
    "discharge into exhaust": (1.01, 2.78, 4.04),
}
CONDITIONS = ("idle", "cruise", "full")


@pytest.fixture(scope="module")
def result():
    return netsolve.solve(netsolve.load(FOLDER / "reference_diesel.yaml"))


@pytest.mark.parametrize("change", BRANCH)
def test_the_branch_gets_what_the_sums_say(result, change):
    tolerance = 0.02 if change == "as found" else 0.03
    for condition, expected in zip(CONDITIONS, BRANCH[change], strict=True):
        assert expected == pytest.approx(result[condition, change].run("branch").flow / GPM, rel=tolerance)


@pytest.mark.parametrize(
    ("change", "engine", "tee"),
    [("as found", (10.0, 25.2, 35.5), (7.3, 27.2, 50.5)), ("no branch", (11.3, 28.0, 39.4), (8.2, 31.9, 59.7))],
)
def test_the_engine_and_the_pressure_at_the_take_off_are_those_of_the_sums(result, change, engine, tee):
    for condition, flow, pressure in zip(CONDITIONS, engine, tee, strict=True):
        row = result[condition, change]
        assert flow == pytest.approx(row.run("engine").flow / GPM, rel=0.02)
        assert pressure == pytest.approx(row.joint("take-off").ports["engine"].total_pressure / 1e3, rel=0.03)


def test_the_vacuum_at_the_pump_is_that_of_the_sums(result):
    for condition, expected in zip(CONDITIONS, (1.2, 7.0, 13.9), strict=True):
        pump = result[condition].part("raw-water pump")
        dynamic = 1025 * (pump.flow / (3.141592653589793 / 4 * 0.0381**2)) ** 2 / 2
        assert expected == pytest.approx(-(pump.inlet_pressure + dynamic) / 1e3, rel=0.04)


def test_real_fittings_change_the_sums_by_less_than_a_tenth(result):
    fitted = netsolve.solve(netsolve.load(FOLDER / "reference_diesel_as_fitted.yaml"))
    for condition in CONDITIONS:
        sums = result[condition].run("branch").flow
        assert sums == pytest.approx(fitted[condition].run("branch").flow, rel=0.10)
