"""The keel cooler keeps its promises, takes what Blasius' formula says, and works in a closed loop."""

from pathlib import Path

import pytest

from netsolve.plugin import Water
from netsolve.testing import check_component, plugin, solved

HERE = Path(__file__).parent
KeelCooler = plugin("keel_cooler", HERE)

SEA = Water(density=1025.0, viscosity=1.2e-3, heat_capacity=4000.0, conductivity=0.6, vapour_pressure=1700.0)


def test_it_keeps_every_promise_of_a_component():
    check_component(KeelCooler)


def test_four_tubes_take_what_blasius_says():
    # By hand: 40 L/min in four tubes of 19 mm run at 0.588 m/s, Re 9540; Blasius' f = 0.316 / Re^0.25 = 0.0320, so
    # f L/d = 5.05 over 3 m, with 1.5 for the ends 6.55 velocity heads of 177 Pa: 1160 Pa. Churchill is 2 % off there.
    cooler = KeelCooler(tubes=4.0, bore=0.019, length=3.0)
    assert cooler.pressure_drop(40 / 60e3, SEA) == pytest.approx(1160, rel=0.03)


def test_half_a_tube_is_refused():
    assert ["tubes is a whole number"] == list(KeelCooler(tubes=2.5, bore=0.019, length=3.0).check())


def test_the_loop_runs_round_and_a_longer_cooler_takes_more():
    result = solved(HERE / "keel_cooler.yaml", HERE)
    found, longer = (result["as written", change] for change in ("as found", "a longer one"))
    assert found.runs["loop"].flow == pytest.approx(found.runs["pump"].flow)
    assert found.runs["loop"].flow > 40 / 60e3
    assert longer.runs["loop"].flow < found.runs["loop"].flow
    assert longer.parts["keel cooler"].pressure_drop > found.parts["keel cooler"].pressure_drop
