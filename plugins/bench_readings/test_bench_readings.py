"""Types that are tables: they keep every promise, pass through their points, and work in a circuit."""

from pathlib import Path

import numpy as np
import pytest

from netsolve.plugin import Water
from netsolve.testing import check_component, plugin, solved

HERE = Path(__file__).parent
SEA = Water(density=1025.0, viscosity=1.2e-3, heat_capacity=4000.0, conductivity=0.6, vapour_pressure=1700.0)


@pytest.mark.parametrize("name", ["deck_cooler", "wash_pump"])
def test_it_keeps_every_promise_of_a_component(name):
    check_component(plugin(name, HERE))


def test_the_cooler_takes_what_was_measured():
    cooler = plugin("deck_cooler", HERE)()
    drops = cooler.pressure_drop(np.array([5, 10, 20, 30]) / 60e3, SEA)
    assert drops == pytest.approx([0.9e3, 3.2e3, 11.6e3, 24.9e3])
    assert (cooler.bore, cooler.roles) == (0.019, ("cooler",))


def test_the_pump_gives_what_was_measured():
    # 20 L/min lie on its table: 4.1 m of the circuit's water
    text = (HERE / "bench_readings.yaml").read_text(encoding="utf-8")
    fixed = text.replace(
        "overboard: {type: discharge, height: 0.6 m, bore: 19 mm}",
        "overboard: {type: fixed_flow, flow: -20 L/min, height: 0.6 m}",
    )
    pump = solved(fixed, HERE)["as written", "as found"].parts["wash pump"]
    assert pump.pressure_drop == pytest.approx(-4.1 * 9.80665 * 1026, rel=2e-3)


def test_they_work_in_a_circuit_and_a_tired_battery_shows():
    result = solved(HERE / "bench_readings.yaml", HERE)
    fresh, tired = (result["as written", change].parts["deck cooler"].flow for change in ("as found", "tired battery"))
    assert fresh > tired > 0
