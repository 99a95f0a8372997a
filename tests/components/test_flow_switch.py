"""Flow switches: a K on their bore, and an alarm to the rules."""

from __future__ import annotations

import pytest

from netsolve.components.flow_switch import FlowSwitch
from netsolve.water import custom_water

WATER = custom_water(1000.0, 1e-3)


def test_k_counts_velocity_heads_in_its_bore() -> None:
    # 3.1416e-4 m3/s in 20 mm is 1 m/s: 500 Pa to a head of water of 1000 kg/m3; the term in Re adds 0.05 %.
    assert FlowSwitch(bore=0.02, k=1.2).pressure_drop(3.141593e-4, WATER) == pytest.approx(600.0, rel=1e-3)


def test_a_switch_without_a_k_is_taken_for_a_small_paddle() -> None:
    # An estimate, no source: half a velocity head.
    assert FlowSwitch.model_validate({"bore": "20 mm"}).pressure_drop(3.141593e-4, WATER) == pytest.approx(
        250.0, rel=1e-3
    )


def test_rules_find_it_as_an_alarm() -> None:
    assert FlowSwitch.roles == ("flow_alarm",)
