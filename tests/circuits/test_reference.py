"""The reference diesel gives the numbers of its sums, at three speeds, as found and under every change that was summed.

Source: sums made once by a separate script on the same circuit (Darcy with Haaland's friction factor, laminar below
Re 2300 and a straight blend to 4000); common practice for such a boat, no published source. They were printed with two
decimals of a gpm and one of a kPa. `test_reference_differences.py` shows where the differences come from.
"""

import math
from pathlib import Path

import pytest

import netsolve

FOLDER = Path(__file__).parents[2] / "circuits"
GPM = 3.785411784e-3 / 60
CONDITIONS = ("idle", "cruise", "full")
WITHIN, WITHIN_IF_SMALL = 0.03, 0.05
"""Of the sums; the second for less than 1 gpm at idle."""

ON_THE_BRANCH = """
      - first barb:         {type: hose, bore: 9.5 mm, length: 30 mm, fitted: no}
      - first barb's ends:  {type: loss, bore: 9.5 mm, k: 1.5, fitted: no}
      - second barb:        {type: hose, bore: 9.5 mm, length: 30 mm, fitted: no}
      - second barb's ends: {type: loss, bore: 9.5 mm, k: 1.5, fitted: no}
      - small elbow:        {type: loss, bore: 9.5 mm, k: 0.9, fitted: no}
      - hole:               {type: loss, bore: 8 mm, k: 2.6015, fitted: no}        # 1/0.62², nothing recovered
"""
BEFORE_THE_TEE = """
      - engine coolers ahead: {type: rated_loss, drop: 25 kPa, at: 40 gpm, fitted: no}
"""
CHANGES = """
  three quarters blinded: {also: clean small strainer, set: {small strainer.drop: 21.32 psi}}    # Cv 2
  spring check of 0.5 psi:
    {fit: swing check, set: {swing check.style: spring, swing check.cracking: 0.5 psi, swing check.k: 6}}
  spring check of 1 psi:  {also: spring check of 0.5 psi, set: {swing check.cracking: 1 psi}}
  strainer and swing check: {also: clean small strainer, fit: swing check}
  the good job:           {also: [strainer and swing check, 3/4 in hose], set: {swing check.bore: 19.1 mm}}
  one barb:               {fit: [first barb, first barb's ends]}
  two barbs and an elbow: {also: one barb, fit: [second barb, second barb's ends, small elbow]}
  1/2 in hose:            {set: {branch hose.bore: 12.7 mm, tee and bends and exit.bore: 12.7 mm}}
  corrugated hose:        {set: {branch hose.length: 13.75 m}}                                   # friction x 2.5
  plug with a 6 mm hole:  {fit: hole, set: {hole.bore: 6 mm}}
  plug with a 5 mm hole:  {fit: hole, set: {hole.bore: 5 mm}}
  plug with a 4 mm hole:  {fit: hole, set: {hole.bore: 4 mm}}
  plug with a 2.5 mm hole: {fit: hole, set: {hole.bore: 2.5 mm}}
  8 mm orifice:           {fit: hole}
  loop of 0.6 m:          {set: {overboard.height: 0.6 m}}
  loop of 0.9 m:          {set: {overboard.height: 0.9 m}}
  tee after the coolers:
    remove: engine coolers
    fit: engine coolers ahead
    set: {delivery hose.length: 1.2 m, delivery fittings.k: 1.2, engine hose.length: 0.5 m, engine fittings.k: 0.4}
  tee after the coolers and 3/4 in hose: {also: [tee after the coolers, 3/4 in hose]}
  main strainer of Cv 15: {set: {weed strainer.drop: 11.389 psi}}                                # (50/15)² x 1.025
  worn impeller:          {set: {raw-water pump.rated_flow: 33 gpm, raw-water pump.slip: 12 gpm/bar}}
  coolers fouled threefold: {set: {engine coolers.drop: 75 kPa}}
  elbow clogged fourfold: {set: {injection elbow.drop: 48 kPa}}
"""

BRANCH = {
    "as found": (1.29, 3.10, 4.45),
    "clean small strainer": (1.26, 3.02, 4.32),
    "three quarters blinded": (0.98, 2.28, 3.23),
    "swing check": (1.23, 3.01, 4.32),
    "spring check of 0.5 psi": (0.75, 2.72, 4.04),
    "spring check of 1 psi": (0, 2.51, 3.89),
    "strainer and swing check": (1.20, 2.93, 4.21),
    "the good job": (1.31, 3.20, 4.60),
    "one barb": (1.17, 2.78, 3.97),
    "two barbs and an elbow": (1.05, 2.45, 3.47),
    "1/2 in hose": (1.05, 2.53, 3.63),
    "3/4 in hose": (1.41, 3.37, 4.83),
    "corrugated hose": (1.12, 2.72, 3.91),
    "plug with a 6 mm hole": (0.74, 1.68, 2.37),
    "plug with a 5 mm hole": (0.58, 1.28, 1.80),
    "plug with a 4 mm hole": (0.40, 0.88, 1.22),
    "plug with a 2.5 mm hole": (0.16, 0.36, 0.50),
    "discharge into exhaust": (1.01, 2.78, 4.04),
    "loop of 0.6 m": (0.69, 2.84, 4.26),
    "loop of 0.9 m": (0, 2.64, 4.12),
    "tee after the coolers": (0.95, 2.01, 2.86),
    "tee after the coolers and 3/4 in hose": (1.04, 2.20, 3.12),
    "8 mm orifice": (1.00, 2.32, 3.29),
    "main strainer of Cv 15": (1.28, 2.99, 4.24),
    "worn impeller": (1.05, 2.34, 3.32),
    "coolers fouled threefold": (1.62, 3.99, 5.68),
    "elbow clogged fourfold": (1.54, 3.78, 5.39),
}
ENGINE = {"as found": (10.0, 25.2, 35.5), "no branch": (11.3, 28.0, 39.4)}
TEE = {
    "as found": (7.3, 27.2, 50.5),
    "no branch": (8.2, 31.9, 59.7),
    "three quarters blinded": (7.5, 28.4, 52.9),
    "tee after the coolers": (5.1, 13.6, 23.8),
    "worn impeller": (5.7, 17.2, 30.5),
    "coolers fouled threefold": (9.9, 41.7, 77.9),
    "elbow clogged fourfold": (9.2, 38, 71),
}
TEE_AT_CRUISE = {
    "plug with a 6 mm hole": 29.3,
    "plug with a 5 mm hole": 29.9,
    "plug with a 4 mm hole": 30.5,
    "plug with a 2.5 mm hole": 31.3,
}
VACUUM = {
    "as found": (1.2, 7.0, 13.9),
    "main strainer of Cv 15": (4.7, 27.6, 53),
    "worn impeller": (0.6, 3.7, 7.0),
}


@pytest.fixture(scope="module")
def result():
    text = (FOLDER / "reference_diesel.yaml").read_text(encoding="utf-8")
    for before, parts in (("      - small strainer:", ON_THE_BRANCH), ("  engine:\n", BEFORE_THE_TEE)):
        assert text.count(before) == 1
        text = text.replace(before, f"{parts.strip(chr(10))}\n{before}")
    return netsolve.solve(netsolve.loads(text + CHANGES))


def tee(row):
    return row.joint("take-off").ports["engine"].total_pressure / 1e3


def vacuum(row):
    """The total pressure at the pump's inlet, below the air's, kPa."""
    pump = row.part("raw-water pump")
    return -(pump.inlet_pressure + 1025 * (pump.flow / (math.pi / 4 * 0.0381**2)) ** 2 / 2) / 1e3


@pytest.mark.parametrize("change", BRANCH)
def test_the_branch_gets_what_the_sums_say(result, change):
    for condition, expected in zip(CONDITIONS, BRANCH[change], strict=True):
        within = WITHIN_IF_SMALL if condition == "idle" and expected < 1 else WITHIN
        assert expected == pytest.approx(result[condition, change].run("branch").flow / GPM, rel=within, abs=1e-9)


@pytest.mark.parametrize("change", ENGINE)
def test_the_engine_gets_what_the_sums_say(result, change):
    for condition, expected in zip(CONDITIONS, ENGINE[change], strict=True):
        assert expected == pytest.approx(result[condition, change].run("engine").flow / GPM, rel=0.02)


@pytest.mark.parametrize("change", TEE)
def test_the_pressure_at_the_take_off_is_that_of_the_sums(result, change):
    for condition, expected in zip(CONDITIONS, TEE[change], strict=True):
        assert expected == pytest.approx(tee(result[condition, change]), rel=WITHIN)


@pytest.mark.parametrize("change", TEE_AT_CRUISE)
def test_a_plug_hardly_shows_on_a_gauge(result, change):
    pressure = tee(result["cruise", change])
    assert TEE_AT_CRUISE[change] == pytest.approx(pressure, rel=WITHIN)
    assert 1.07 < pressure / tee(result["cruise"]) < 1.16  # the sums: 8 to 15 % more


@pytest.mark.parametrize("change", VACUUM)
def test_the_vacuum_at_the_pump_is_that_of_the_sums(result, change):
    for condition, expected in zip(CONDITIONS, VACUUM[change], strict=True):
        assert expected == pytest.approx(vacuum(result[condition, change]), rel=WITHIN, abs=0.05)  # one decimal


def test_the_engine_keeps_its_flow_where_the_tee_stands_after_its_coolers(result):
    for condition in CONDITIONS:
        without = result[condition, "no branch"].run("suction").flow
        cooler = result[condition, "tee after the coolers"].part("engine coolers ahead").flow
        assert without == pytest.approx(cooler, rel=0.01)


def test_a_main_strainer_of_cv_15_is_told_to_starve_the_pump(result):
    rows = {c: result[c, "main strainer of Cv 15"] for c in CONDITIONS}
    codes = {c: {f.code for f in row.findings if f.severity == "fault"} for c, row in rows.items()}
    assert ["suction_vacuum" in codes[condition] for condition in CONDITIONS] == [False, False, True]


def test_real_fittings_change_the_sums_by_less_than_a_tenth(result):
    fitted = netsolve.solve(netsolve.load(FOLDER / "reference_diesel_as_fitted.yaml"))
    for condition in CONDITIONS:
        sums = result[condition].run("branch").flow
        assert sums == pytest.approx(fitted[condition].run("branch").flow, rel=0.10)
