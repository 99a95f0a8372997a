"""The picture of a circuit with heat: temperatures where water meets, what coolers do, a box for each oil."""

from __future__ import annotations

import re

import netsolve
from netsolve.views.alternative import described
from netsolve.views.diagram import diagram
from netsolve.views.scene import scene
from tests.commands import CIRCUITS

RESULT = netsolve.solve(netsolve.load(CIRCUITS / "winch_tank.yaml"))


def words(dot: str) -> str:
    """What is written in a drawing, on one line."""
    return " ".join(re.sub(r"<[^>]*>", " ", dot).split())


def test_a_box_says_what_becomes_of_an_oil_and_is_tied_to_its_cooler():
    drawn = diagram(RESULT, condition="hauling", change="as found")
    oil = RESULT["hauling", "as found"].oil("winch oil")
    assert oil.plateau is not None
    said = words(drawn)
    assert f"settles at {oil.plateau - 273.15:.3g} °C" in said
    assert "passes its 71 °C alarm after 68 min" in said
    assert "above its limit of 66 °C" in said
    assert "6 kW put in" in said
    ties = [line for line in drawn.splitlines() if '-> "oil 1: winch oil"' in line]
    assert [True] == [line.startswith('"run 3: winch branch"') and 'dir="none"' in line for line in ties]
    (box,) = [line for line in drawn.splitlines() if line.startswith('"oil 1: winch oil" [')]
    assert 'style="filled,dashed"' in box


def test_coolers_and_joints_say_how_warm_the_water_is():
    drawn = words(diagram(RESULT, condition="towing", change="as found"))
    row = RESULT["towing", "as found"]
    coil, exhaust = row.part("tank coil"), row.joints["exhaust"]
    assert coil.outlet_temperature is not None
    assert exhaust.mixed_temperature is not None
    assert f"water 18 → {coil.outlet_temperature - 273.15:.3g} °C" in drawn
    assert f"gas and water {exhaust.mixed_temperature - 273.15:.3g} °C" in drawn
    assert "water 18 °C" in drawn


def test_a_change_shows_temperatures_before_and_after():
    drawn = words(diagram(RESULT, condition="towing", change="scaled coil"))
    before, after = (RESULT["towing", change].oil("winch oil").plateau for change in ("as found", "scaled coil"))
    assert f"settles at {before - 273.15:.3g} → {after - 273.15:.3g} °C" in drawn  # type: ignore[operator]


def test_the_text_alternative_says_it_too():
    told = described(scene(RESULT, condition="hauling", change="as found"))
    assert "Winch oil settles at 76.2 °C (169 °F), passes its 71 °C alarm after 68 min" in told
    assert "Tank coil: water 18 → " in told


def test_a_circuit_without_heat_has_none_of_it():
    result = netsolve.solve(netsolve.load(CIRCUITS / "pot_hauler.yaml"))
    assert "°C" not in words(diagram(result, condition="idle")).partition("Assumed")[0]
