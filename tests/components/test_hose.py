"""Hose, held against Colebrook, Crane and ISO 5167."""

from __future__ import annotations

import fluids
import numpy as np
import pytest

from netsolve.components.hose import Hose
from netsolve.hydraulics import reynolds, velocity_pressure
from netsolve.water import custom_water

WATER = custom_water(1025.0, 1.08e-3)
FLOW = 2.524e-4  # m3/s, 4 US gpm


def test_hose_has_colebrook_friction_in_turbulent_flow() -> None:
    expected = (
        fluids.friction.Colebrook(float(reynolds(FLOW, 0.0159, WATER)), 1e-5 / 0.0159)
        * 2.0
        / 0.0159
        * velocity_pressure(FLOW, 0.0159, WATER)
    )

    # Source: Colebrook as in the fluids library; Churchill's fit lies within 1.8 % of it at this roughness.
    assert Hose(bore=0.0159, length=2.0).pressure_drop(FLOW, WATER) == pytest.approx(expected, rel=0.018)


def test_corrugated_wall_multiplies_friction_by_two_and_a_half() -> None:
    smooth = Hose(bore=0.0159, length=2.0).pressure_drop(FLOW, WATER)
    corrugated = Hose(bore=0.0159, length=2.0, wall="corrugated").pressure_drop(FLOW, WATER)

    # Source: common practice, no source (1.5 to 4 is met).
    assert corrugated == pytest.approx(2.5 * smooth, rel=1e-12)


def test_easy_bend_has_cranes_coefficient() -> None:
    straight, bent = Hose(bore=0.02664, length=1.0), Hose(bore=0.02664, length=1.0, bends=1.0)
    added = bent.pressure_drop(FLOW, WATER) - straight.pressure_drop(FLOW, WATER)

    # Source: Crane TP-410, A-27 and A-30: r/d 3, 12 fT with fT 0.0223 in 1 in pipe (26.64 mm).
    assert added / velocity_pressure(FLOW, 0.02664, WATER) == pytest.approx(12 * 0.0223, rel=0.01)


def test_kink_is_an_orifice_with_recovery() -> None:
    added = Hose(bore=0.016, length=1.0, kink_bore=0.008).pressure_drop(FLOW, WATER) - Hose(
        bore=0.016, length=1.0
    ).pressure_drop(FLOW, WATER)

    # Source: ISO 5167-2, permanent loss at beta 0.5 and C 0.62, as in the fluids library.
    expected = fluids.flow_meter.discharge_coefficient_to_K(0.016, 0.008, 0.62)
    assert added / velocity_pressure(FLOW, 0.016, WATER) == pytest.approx(expected, rel=1e-3)


def test_kink_wider_than_the_hose_is_refused() -> None:
    assert list(Hose(bore=0.016, length=1.0, kink_bore=0.02).check()) == [
        "the kink's hole (20 mm) is larger than the hose's bore (16 mm)"
    ]


def test_a_kink_that_leaves_the_whole_bore_loses_nothing() -> None:
    flows = np.array([-1e-4, 1e-4])
    whole = Hose(bore=0.016, length=1.0, kink_bore=0.016).pressure_drop(flows, WATER)

    assert whole == pytest.approx(Hose(bore=0.016, length=1.0).pressure_drop(flows, WATER), rel=1e-12)
