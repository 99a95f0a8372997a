"""Check valves: cracking, loss when open, seat and status."""

from __future__ import annotations

import fluids
import pytest

from netsolve.components.check_valve import CheckValve
from netsolve.hydraulics import velocity_pressure
from netsolve.water import custom_water

WATER = custom_water(1025.0, 1.08e-3)
FLOW = 2.524e-4
PSI = 6894.757293168


def test_swing_valve_has_cranes_coefficient() -> None:
    head = velocity_pressure(FLOW, 0.02096, WATER)
    open_loss = CheckValve(style="swing", bore=0.02096).pressure_drop(FLOW, WATER) - 300.0

    # Source: Crane TP-410, A-27: 100 fT, as in the fluids library; cracking 0.3 kPa is an estimate.
    expected = fluids.fittings.K_swing_check_valve_Crane(D=0.02096, angled=True)
    assert open_loss / head == pytest.approx(expected, rel=2e-3)


def test_spring_valve_costs_its_cracking_pressure_and_its_k() -> None:
    valve = CheckValve(style="spring", bore=0.019, cracking=0.5 * PSI, k=6.0)

    # Source: definition of the two numbers.
    expected = 0.5 * PSI + 6.0 * velocity_pressure(FLOW, 0.019, WATER)
    assert valve.pressure_drop(FLOW, WATER) == pytest.approx(expected, rel=1e-3)


def test_spring_cracks_at_half_a_psi_unless_told() -> None:
    valve = CheckValve(style="spring", bore=0.019)

    # Source: makers' data have 0.5 to 5 psi; 0.5 psi is the usual default.
    assert valve.pressure_drop(1e-9, WATER) == pytest.approx(0.5 * PSI, rel=1e-4)


def test_nothing_comes_back_but_a_leak_that_counts_as_no_flow() -> None:
    assert CheckValve(style="swing", bore=0.019).pressure_drop(-1e-9, WATER) == pytest.approx(-1e5, rel=1e-12)


def test_fitted_backwards_it_is_the_mirror() -> None:
    right, wrong = CheckValve(style="ball", bore=0.019), CheckValve(style="ball", bore=0.019, backwards=True)

    for flow in (-FLOW, -1e-12, 1e-12, FLOW):
        assert wrong.pressure_drop(flow, WATER) == -right.pressure_drop(-flow, WATER)
        assert wrong.slope(flow, WATER) == right.slope(-flow, WATER)
    assert wrong.closed()
    assert not right.closed()


def test_status_says_in_which_state_it_is() -> None:
    valve = CheckValve(style="spring", bore=0.019)
    flows = (-1e-10, 0.0, 1e-6, FLOW)
    states = [valve.status(flow, float(valve.pressure_drop(flow, WATER))) for flow in flows]

    assert states == ["shut", "shut", "cracking", "open"]
    assert CheckValve(style="spring", bore=0.019, backwards=True).status(1e-12, 100.0) == "backwards"


def test_a_swing_disc_wants_cranes_speed_to_stay_open_and_others_have_none() -> None:
    # Source: Crane TP-410, A-27: 35 sqrt(specific volume in ft3/lb) ft/s, in the metric edition 45 sqrt(m3/kg) m/s;
    # rounded as they are, the two are 5 % apart.
    expected = 35 / (1025.0 * 0.3048**3 / 0.45359237) ** 0.5 * 0.3048
    assert CheckValve(style="swing", bore=0.019).least_speed(WATER) == pytest.approx(expected, rel=0.06)
    assert CheckValve(style="swing", bore=0.019).least_speed(WATER) == pytest.approx(45 / 1025.0**0.5, rel=1e-12)
    assert CheckValve(style="spring", bore=0.019).least_speed(WATER) is None
