"""compare says what a change does to every oil: the rows' own temperatures and times, before and after."""

from __future__ import annotations

import pytest

import netsolve
from netsolve.study.oil_effects import oil_effects
from tests.commands import CIRCUITS, Shell

WINCH = CIRCUITS / "winch_tank.yaml"
RESULT = netsolve.solve(netsolve.load(WINCH))


@pytest.fixture
def shell(capsys: pytest.CaptureFixture[str]) -> Shell:
    return Shell(capsys)


def test_every_change_is_set_against_the_circuit_as_found():
    found = {(each.change, each.condition): each for each in oil_effects(RESULT)}
    assert len(found) == len(RESULT.circuit.conditions) * (len(RESULT.circuit.changes) - 1)
    each = found["scaled coil", "towing"]
    before, after = (RESULT["towing", change].oil("winch oil") for change in ("as found", "scaled coil"))
    assert (before, after) == (each.before, each.after)
    assert each.warmer == pytest.approx((after.plateau or 0) - (before.plateau or 0), abs=1e-12)
    assert each.warmer is not None
    assert each.warmer > 0


def test_the_command_says_it_in_both_systems_and_as_data(shell: Shell):
    asked = ("compare", WINCH, "--condition", "hauling", "--change")
    said = shell(*asked, "scaled coil").words
    assert "Winch oil at hauling settles at 76 → 80 °C (+4.1 K), alarm after 68 → 58 min." in said
    assert "settles at 169 → 177 °F (+7.4 °F)" in shell(*asked, "scaled coil", "--units", "us").words
    assert "no longer reaches its alarm" in shell(*asked, "larger coil").words
    shut = shell("compare", WINCH, "--condition", "towing", "--change", "branch shut").words
    assert "settles at 48 °C → > 150 °C, passes its alarm after 55 min, before never" in shut
    (oil,) = shell(*asked, "scaled coil", "--json").json["oils"]
    row = RESULT["hauling", "scaled coil"].oil("winch oil")
    assert (row.plateau, row.time_to_alarm) == (oil["plateau_after_k"], oil["time_to_alarm_after_s"])


def test_coolers_say_how_warm_the_water_leaves_them(shell: Shell):
    asked = ("compare", WINCH, "--condition", "towing", "--change", "scaled coil")
    rows = [RESULT["towing", change].part("tank coil").outlet_temperature for change in ("as found", "scaled coil")]
    (coil,) = [each for each in shell(*asked, "--json").json["coolers"] if each["cooler"] == "tank coil"]
    assert rows == [coil["outlet_before_k"], coil["outlet_after_k"]]
    before, after = (f"{(each or 0) - 273.15:.3g}" for each in rows)
    assert f"The water leaves tank coil at towing {before} → {after} °C." in shell(*asked).words


def test_a_circuit_without_oils_has_none_of_it(shell: Shell):
    done = shell("compare", CIRCUITS / "pot_hauler.yaml", "--change", "screen", "--json").json
    assert [] == done["oils"]
