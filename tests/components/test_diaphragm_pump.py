"""Diaphragm pumps: near constant flow up to cut-out, and nothing back."""

from __future__ import annotations

import pytest

from netsolve.components.diaphragm_pump import DiaphragmPump
from netsolve.water import custom_water

WATER = custom_water(1025.0, 1.08e-3)
RATED, CUT_OUT = 2e-4, 3e5
PUMP = DiaphragmPump(rated_flow=RATED, cut_out=CUT_OUT)


def rise(pump: DiaphragmPump, flow: float) -> float:
    return -float(pump.pressure_drop(flow, WATER))


@pytest.mark.parametrize(("share", "left"), [(0.0, 1.0), (0.5, 0.9), (1.0, 0.8)])
def test_a_fifth_of_the_flow_is_lost_on_the_way_to_cut_out(share: float, left: float) -> None:
    # Common practice, no source: 80 % of the open flow at cut-out.
    assert rise(PUMP, left * RATED) == pytest.approx(share * CUT_OUT, abs=1e-6 * CUT_OUT)


def test_behind_a_shut_tap_the_pressure_stays_near_cut_out() -> None:
    assert CUT_OUT < rise(PUMP, 0.0) < 1.05 * CUT_OUT
    assert PUMP.status(0.0, -rise(PUMP, 0.0)) == "cutting out"
    assert PUMP.status(RATED, 0.0) is None


def test_a_partial_plug_takes_less_flow_from_it_than_from_a_pump_whose_head_falls_as_the_square() -> None:
    # At half of cut-out a centrifugal pump of the same two ends has sqrt(1/2) = 71 % of its open flow.
    assert rise(PUMP, 0.71 * RATED) > CUT_OUT


def test_its_valves_let_nothing_back() -> None:
    # 1 bar more than it gives against no flow pushes back 1e-9 m3/s: no flow.
    assert rise(PUMP, -1e-9) - rise(PUMP, 0.0) == pytest.approx(1e5, rel=1e-3)


def test_worn_it_loses_its_share_of_the_flow() -> None:
    worn = PUMP.model_copy(update={"worn": 0.25})

    assert rise(worn, 0.75 * RATED) == pytest.approx(0.0, abs=1e-3)
    assert rise(worn, 0.55 * RATED) == pytest.approx(CUT_OUT, rel=1e-9)


def test_stopped_it_blocks() -> None:
    stopped = PUMP.model_copy(update={"running": False})

    assert stopped.closed()
    assert not PUMP.closed()
    assert stopped.status(0.0, 0.0) == "stopped"
    assert rise(stopped, 1e-9) == pytest.approx(-1e5, rel=1e-12)
