"""`netsolve rules`: the rules from their declarations."""

from __future__ import annotations

from pathlib import Path

import pytest

from netsolve.registry import Registry
from tests.commands import Shell

PLUGIN = '''from netsolve.plugin import Rule, quantity
class Rust(Rule):
    """Nothing rusts."""
    limit: float = quantity("length", "depth of the rust", default=1e-3)
    basis = "our own yard"
    def findings(self, row):
        return ()
'''


@pytest.fixture
def shell(capsys: pytest.CaptureFixture[str]) -> Shell:
    return Shell(capsys)


def test_every_rule_is_listed_with_its_limits_in_80_columns(shell: Shell) -> None:
    done = shell("rules")
    assert done.status == 0
    lines = done.out.splitlines()
    assert max(map(len, lines)) <= 80
    assert [line for line in lines if line in ("danger", "fault", "wear", "note")] == [
        "danger",
        "fault",
        "wear",
        "note",
    ]
    assert set(Registry.built_in().rule_entries) <= {line.strip() for line in lines}
    assert "limits: limit 30 kPa, good 17 kPa" in done.out


def test_one_rule_says_what_it_rests_on_and_how_to_set_it(shell: Shell) -> None:
    words = shell("rules", "suction_vacuum").words
    assert words.startswith("suction_vacuum: fault The vacuum at a pump's inlet")
    assert "maker's practice: 0.3 bar" in words
    assert "limits: {suction_vacuum: 30 kPa}" in words
    assert "limits: {suction_vacuum: off}" in words


def test_a_rule_that_there_is_not_is_refused_with_the_nearest(shell: Shell) -> None:
    done = shell("rules", "suction_vacum")
    assert (done.status, done.out) == (2, "")
    assert done.err == "error: no rule is called 'suction_vacum'\n  help: did you mean 'suction_vacuum'?\n"


def test_rules_are_data_too(shell: Shell) -> None:
    (rule,) = shell("rules", "suction_lift", "--json").json["rules"]
    assert (rule["code"], rule["severity"], rule["thresholds"][0]["value"]) == ("suction_lift", "fault", 2.0)
    assert len(shell("rules", "--json").json["rules"]) == len(Registry.built_in().rule_entries)


def test_rules_from_elsewhere_are_listed_too(shell: Shell, tmp_path: Path) -> None:
    (tmp_path / "rust.py").write_text(PLUGIN, encoding="utf-8")
    assert (
        "Nothing rusts. limit 1 mm: depth of the rust basis: our own yard"
        in shell("rules", "rust", "--plugins", tmp_path).words
    )
