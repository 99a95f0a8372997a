"""Formulas of heat: against the `ht` library, against one another, and against the trade's own tables."""

from __future__ import annotations

import numpy as np
import pytest
from ht import effectiveness_from_NTU
from hypothesis import given, settings
from hypothesis import strategies as st

from netsolve.laws import thermal

THEIR_NAMES = {
    "stirred tank": "counterflow",
    "counterflow": "counterflow",
    "parallel": "parallel",
    "crossflow": "crossflow",
    "crossflow oil mixed": "crossflow, mixed Cmax",
    "crossflow water mixed": "crossflow, mixed Cmin",
    "shell and tube": "S&T",
}
"""Where the water has the lesser rate. A stirred tank is any of theirs at a ratio of 0."""


@pytest.mark.parametrize("arrangement", THEIR_NAMES)
@pytest.mark.parametrize("ratio", [0.05, 0.3, 0.7, 0.999, 1.0])
@pytest.mark.parametrize("units", [0.05, 0.5, 1.0, 3.0, 8.0])
def test_effectiveness_is_that_of_the_ht_library(arrangement: str, ratio: float, units: float):
    theirs_at = 0.0 if arrangement == "stirred tank" else ratio
    theirs = effectiveness_from_NTU(units, theirs_at, subtype=THEIR_NAMES[arrangement])
    ours = float(thermal.ARRANGEMENTS[arrangement][0](units, ratio))
    assert ours == pytest.approx(theirs, rel=2e-6)


@pytest.mark.parametrize("arrangement", thermal.ARRANGEMENTS)
@settings(max_examples=200, deadline=None)
@given(ua=st.floats(1e-3, 1e6), water=st.floats(1e-3, 1e5), other=st.floats(1e-3, 1e5))
def test_no_exchanger_passes_more_than_the_lesser_stream_carries(
    arrangement: str, ua: float, water: float, other: float
):
    passed = float(thermal.conductance(ua, water, other, arrangement))
    assert 0.0 < passed <= min(water, other) * (1 + 1e-12)
    assert passed <= ua * (1 + 1e-9)


@pytest.mark.parametrize("arrangement", thermal.ARRANGEMENTS)
def test_ua_of_a_rated_point_gives_that_point_back(arrangement: str):
    passed = float(thermal.conductance(350.0, 600.0, 900.0, arrangement))
    assert thermal.ua_of(passed, 600.0, 900.0, arrangement) == pytest.approx(350.0, rel=1e-6)


def test_more_than_any_exchanger_passes_is_refused():
    with pytest.raises(ValueError, match="no parallel exchanger passes"):
        thermal.ua_of(590.0, 600.0, 900.0, "parallel")


def test_no_flow_passes_nothing_and_arrays_go_through_together():
    passed = thermal.conductance(100.0, np.array([0.0, 500.0]), np.inf, "stirred tank")
    assert passed == pytest.approx([0.0, 500.0 * -np.expm1(-0.2)])


GPM = 3.785411784e-3 / 60
SEA_AT_25 = 1023.4 * 4001.6  # J/(m3 K), Sharqawy et al. (2010)
COIL_FLOWS = (0.25, 0.5, 1.0, 2.0, 3.0, 4.0, 5.0)
COILS = {
    40: (30, 34, 37, 38, 39, 39, 39),
    100: (51, 70, 83, 91, 94, 95, 96),
    200: (62, 102, 139, 166, 176, 182, 185),
    400: (64, 123, 203, 278, 312, 332, 344),
    800: (65, 129, 246, 407, 499, 557, 596),
}
"""W/K from a mixed oil tank to the sea by UA of its coil and US gpm of sea water: a table of common practice."""


@pytest.mark.parametrize("ua", COILS)
def test_coil_in_a_tank_is_that_of_the_trade(ua: int):
    rates = np.array(COIL_FLOWS) * GPM * SEA_AT_25
    assert thermal.conductance(float(ua), rates, np.inf, "stirred tank") == pytest.approx(COILS[ua], rel=0.03)


SETTLES = "settles at"
CONDUCTANCES = (0, 20, 40, 60, 100, 200)
ALARMS = {
    1.0: (105, (SETTLES, 64), 48, 41, 35, 30),
    1.5: (67, 122, (SETTLES, 58), 48, 40, 33),
    2.0: (49, 70, (SETTLES, 68), 56, 44, 35),
    3.0: (32, 39, 53, (SETTLES, 70), 54, 40),
    4.0: (24, 27, 33, 43, (SETTLES, 63), 45),
    6.0: (16, 17, 19, 21, 32, (SETTLES, 54)),
}
"""By kW: minutes from 25 to 71 degC of 60 L of oil and 40 kg of steel at each conductance to a sea of 25 degC, with 8 W/K
to air of 35 degC, or where it settles. Right of where it settles the table says where it settles, too. Own reckoning of
common practice."""

TANK = 60e-3 * 870 * 1950 + 40 * 480.0


@pytest.mark.parametrize("heat", ALARMS)
def test_time_to_alarm_is_that_of_the_trade(heat: float):
    seen = False
    for passed, wanted in zip(CONDUCTANCES, ALARMS[heat], strict=True):
        gain, loss = 1e3 * heat + 8.0 * 10.0, passed + 8.0
        time = float(thermal.time_to(46.0, gain, loss, TANK))
        if isinstance(wanted, tuple) or seen:
            seen = True
            settled = wanted[1] if isinstance(wanted, tuple) else wanted
            assert 25.0 + gain / loss == pytest.approx(settled, rel=0.03)
            assert time == np.inf
        else:
            assert time / 60 == pytest.approx(wanted, rel=0.03)


GAS, HOT, ENGINE_HEAT = 0.28, 450.0, 127e3
EXHAUSTS = {40: 49, 30: 57, 20: 72, 15: 86, 10: 114}
"""degC of gas and water together by US gpm, for 170 kW of diesel in a sea of 25 degC: own reckoning of common practice."""


@pytest.mark.parametrize("flow", EXHAUSTS)
def test_mixed_exhaust_is_that_of_the_trade(flow: int):
    rate = flow * GPM * SEA_AT_25
    mixed = float(thermal.mixed((GAS * 1100.0, rate), (HOT, 25.0 + ENGINE_HEAT / rate)))
    assert mixed == pytest.approx(EXHAUSTS[flow], rel=0.03)


@settings(max_examples=50, deadline=None)
@given(gain=st.floats(1.0, 1e4), loss=st.floats(0.0, 500.0), rise=st.floats(0.1, 80.0))
def test_the_time_to_a_temperature_is_when_it_is_there(gain: float, loss: float, rise: float):
    time = float(thermal.time_to(rise, gain, loss, TANK))
    if loss * rise >= gain:
        assert time == np.inf
    elif loss * rise < 0.999 * gain:
        assert float(thermal.after(time, 0.0, gain, loss, TANK)) == pytest.approx(rise, rel=1e-6)


def test_what_is_there_already_takes_no_time():
    assert float(thermal.time_to(-1.0, 100.0, 5.0, TANK)) == 0.0


def test_log_mean_between_the_ends_and_of_alike_ends():
    assert thermal.log_mean(np.array([40.0, 30.0]), np.array([10.0, 30.0])) == pytest.approx([30.0 / np.log(4), 30.0])


def test_a_film_of_water_falls_with_flow_to_the_power_of_0_8():
    quarter = float(thermal.on_both_sides(100.0, 1.0, 0.25, 1.0))
    assert quarter == pytest.approx(100.0 * 0.25**0.8)
    assert float(thermal.on_both_sides(100.0, 0.0, 0.25, 1.0)) == 100.0
