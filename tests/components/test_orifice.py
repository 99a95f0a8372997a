"""Orifices, held against ISO 5167."""

from __future__ import annotations

import fluids
import pytest

from netsolve.components.orifice import Orifice
from netsolve.hydraulics import velocity_pressure
from netsolve.water import custom_water

WATER = custom_water(1025.0, 1.08e-3)


@pytest.mark.parametrize("bore", [0.004, 0.008, 0.012, 0.0155])
def test_lasting_loss_is_that_of_iso_5167(bore: float) -> None:
    loss = Orifice(bore=bore, hose_bore=0.016).pressure_drop(5e-4, WATER)

    # Source: ISO 5167-2, 5.4, as in the fluids library.
    expected = fluids.flow_meter.discharge_coefficient_to_K(0.016, bore, 0.62)
    assert loss / velocity_pressure(5e-4, 0.016, WATER) == pytest.approx(expected, rel=1e-3)


def test_hole_larger_than_the_hose_is_refused() -> None:
    assert list(Orifice(bore=0.018, hose_bore=0.016).check()) == [
        "the orifice (18 mm) is larger than the hose it is in (16 mm)"
    ]
