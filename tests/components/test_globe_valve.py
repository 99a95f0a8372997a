"""Globe valves, held against Crane and Perry."""

from __future__ import annotations

import fluids
import numpy as np
import pytest

from netsolve.components.globe_valve import GlobeValve
from netsolve.hydraulics import velocity_pressure
from netsolve.water import custom_water

WATER = custom_water(1025.0, 1.08e-3)
FLOW = 3e-3


def coefficient(valve: GlobeValve) -> float:
    return float(valve.pressure_drop(FLOW, WATER) / velocity_pressure(FLOW, valve.bore, WATER))


def test_open_is_cranes_globe_valve() -> None:
    expected = fluids.fittings.K_globe_valve_Crane(D1=0.0266, D2=0.0266)

    # Source: Crane TP-410, A-27, 340 fT, as in the fluids library; Hooper (1981) adds 1500/Re, here 0.011.
    assert coefficient(GlobeValve(bore=0.0266)) == pytest.approx(expected, abs=0.015)


@pytest.mark.parametrize(("opening", "k"), [(0.75, 13.0), (0.5, 36.0), (0.25, 112.0)])
def test_part_open_lies_near_perrys_plug_disc(opening: float, k: float) -> None:
    # Source: Perry's Chemical Engineers' Handbook, plug disc; its open valve is 9.0, and Crane's 7.6 at 1 in.
    assert coefficient(GlobeValve(bore=0.0266, opening=opening)) == pytest.approx(k, abs=1.5)


def test_loss_grows_with_every_per_cent_until_it_is_shut() -> None:
    losses = [coefficient(GlobeValve(bore=0.0266, opening=share / 100)) for share in range(100, 0, -1)]

    assert np.diff(losses).min() > 0


def test_shut_it_is_closed_and_only_leaks() -> None:
    shut = GlobeValve.model_validate({"bore": "25 mm", "opening": "0 %"})

    assert shut.closed()
    assert shut.pressure_drop(1e-9, WATER) == pytest.approx(1e5, rel=1e-12)
    assert shut.status(0.0, 0.0) == "closed"
