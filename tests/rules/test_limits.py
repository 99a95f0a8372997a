"""`limits:` sets one threshold of a rule or several, or silences it; misused, it says what to write."""

from __future__ import annotations

import pytest

import netsolve
from netsolve.problems import CircuitError
from tests.rules.test_twins import FILES, filled, found

VACUUM = filled(FILES["suction_vacuum"]["circuit"], {"HEIGHT": 3.05})
"""A vacuum of 29.9 kPa: a note between 17 and 30 kPa."""
SPEED = filled(FILES["pressure_hose_speed"]["circuit"], {"FLOW": 73.8})
"""2.506 m/s: a note between 2.5 and 3 m/s."""


def severities(code: str, text: str, limit: str) -> list[str]:
    return [each.severity for each in found(code, f"{text}\nlimits: {{{code}: {limit}}}\n")]


@pytest.mark.parametrize(
    ("code", "text", "limit", "expected"),
    [
        ("suction_vacuum", VACUUM, "29 kPa", ["fault"]),
        ("suction_vacuum", VACUUM, "31 kPa", ["note"]),
        ("suction_vacuum", VACUUM, "{good: 30 kPa}", []),
        ("suction_vacuum", VACUUM, "{good: 1 kPa, limit: 29 kPa}", ["fault"]),
        ("suction_vacuum", VACUUM, "off", []),
        ("pressure_hose_speed", SPEED, "{good: 2.6 m/s}", []),
        ("pressure_hose_speed", SPEED, "{warn: 2.4 m/s}", ["wear"]),
        ("pressure_hose_speed", SPEED, "{good: 2.6 m/s, warn: 2.4 m/s}", ["wear"]),
        ("pressure_hose_speed", SPEED, "{}", ["note"]),
        ("pressure_hose_speed", SPEED, "OFF", []),
    ],
)
def test_limits_are_obeyed(code: str, text: str, limit: str, expected: list[str]) -> None:
    assert severities(code, text, limit) == expected


def test_the_only_threshold_of_a_rule_needs_no_name() -> None:
    text = FILES["siphon_path"]["circuit"]
    low = filled(text, {"HEIGHT": 0.14, "VENT": "none", "SHUT": "open", "FITTED": "no"})
    assert severities("siphon_path", low, "13 cm") == severities("siphon_path", low, "{margin: 13 cm}") == []
    assert severities("siphon_path", low, "15 cm") == ["danger"]


@pytest.mark.parametrize(
    ("limit", "message", "help"),
    [
        ("suction_vacuum: 20", "limit of suction_vacuum: a pressure is wanted, '20' has no unit", "write 20 kPa"),
        ("suction_vacuum: 3 gpm", "limit of suction_vacuum: a pressure is wanted, '3 gpm' is a flow", "for example"),
        ("suction_vacuum: -1 kPa", "limit of suction_vacuum: must be above 0", "for example"),
        ("pressure_hose_speed: 3 m/s", "'pressure_hose_speed' has no single limit", "{good: …, warn: …}"),
        ("pressure_hose_speed: {warm: 2 m/s}", "a pressure_hose_speed has no 'warm'", "did you mean 'warn'?"),
        ("check_valve_direction: 3 m/s", "'check_valve_direction' has nothing to set", "check_valve_direction: off"),
        ("check_valve_direction: {limit: 1}", "'check_valve_direction' has nothing to set", "direction: off"),
        ("starved: 3 gpm", "'starved' is a verdict", "write starved: off"),
    ],
)
def test_misuse_is_told_with_what_to_write(limit: str, message: str, help: str) -> None:
    with pytest.raises(CircuitError) as caught:
        found("suction_vacuum", f"{VACUUM}\nlimits: {{{limit}}}\n")
    (problem,) = caught.value.problems
    assert message in problem.message
    assert help in problem.help
    assert problem.at is not None


def test_a_rule_that_there_is_not_is_noted_with_the_nearest() -> None:
    text = f"format: 1\ncircuit: of a test\n{VACUUM}\nlimits: {{suction_vacum: off}}\n"
    (note,) = [each for each in netsolve.loads(text).notes if each.code == "unknown-limit"]
    assert (note.message, note.help) == ("there is no rule 'suction_vacum' to limit", "did you mean 'suction_vacuum'?")
