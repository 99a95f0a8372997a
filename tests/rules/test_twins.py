"""Every rule of the trade fires on a circuit, and is silent on its twin, which differs in one thing.

A YAML file beside this one holds, for each rule, a circuit with words in capitals, what to put for them in each case,
and what the rule then says; above it stands how the boundary is known. Water is of 1000 kg/m3.
"""

from __future__ import annotations

from pathlib import Path
from typing import Any

import pytest
import yaml

from netsolve.cautions import CAUTIONS
from netsolve.contract.declare import declared
from netsolve.problems import Finding
from netsolve.registry import Registry
from netsolve.rule import SEVERITIES
from netsolve.views.catalogue import summary
from tests.solved import solved

FOLDER = Path(__file__).parent
RULES = sorted(Registry.built_in().rule_entries)
FILES = {file.stem: yaml.safe_load(file.read_text(encoding="utf-8")) for file in sorted(FOLDER.glob("*.yaml"))}
CASES = [
    pytest.param(code, file["circuit"], case, id=f"{code}-{number}")
    for code, file in FILES.items()
    for number, case in enumerate(file["cases"])
]
WITHIN = 2e-3
"""Of a value: the sums beside the circuits leave small frictions out."""


def written(value: Any) -> str:
    """A value as it stands in a circuit: YAML reads yes and no as truth."""
    return {True: "yes", False: "no"}.get(value, str(value)) if isinstance(value, bool) else str(value)


def filled(circuit: str, put: dict[str, Any]) -> str:
    """The circuit with something in place of each word in capitals."""
    for word, value in put.items():
        assert word in circuit
        circuit = circuit.replace(word, written(value))
    return circuit


def found(code: str, text: str) -> list[Finding]:
    """What the rule says of the circuit, but for what it cannot judge."""
    return [each for each in solved(text).findings if each.code == code and not each.lacks]


def test_every_rule_has_its_twins() -> None:
    assert sorted(FILES) == RULES


@pytest.mark.parametrize("code", FILES)
def test_a_rule_fires_and_is_silent_on_a_twin_that_differs_in_one_thing(code: str) -> None:
    cases = FILES[code]["cases"]
    firing = [case["put"] for case in cases if "severity" in case]
    silent = [case["put"] for case in cases if "severity" not in case]
    differences = [sum(one[word] != other[word] for word in one) for one in firing for other in silent]
    assert 1 in differences


@pytest.mark.parametrize(("code", "circuit", "case"), CASES)
def test_it_says_what_it_should(code: str, circuit: str, case: dict[str, Any]) -> None:
    findings = found(code, filled(circuit, case["put"]))
    if "severity" not in case:
        assert findings == []
        return
    (finding,) = findings
    assert (finding.about, finding.severity) == (case["about"], case["severity"])
    if "value" in case:
        assert finding.value == pytest.approx(float(case["value"]), rel=WITHIN)
    assert finding.basis
    assert finding.about in finding.message
    assert finding.help
    assert finding.at is not None


@pytest.mark.parametrize("code", RULES)
def test_a_rule_is_declared_in_full(code: str) -> None:
    rule = Registry.built_in().rule(code)
    assert rule.severity in SEVERITIES
    assert rule.basis
    assert summary(rule).endswith(".")
    assert set(rule.hazards) <= set(CAUTIONS)
    assert all(spec.doc for spec in declared(rule).values())


@pytest.mark.parametrize("code", FILES)
def test_off_silences_it(code: str) -> None:
    case = next(case for case in FILES[code]["cases"] if "severity" in case)
    text = filled(FILES[code]["circuit"], case["put"])
    assert len(found(code, text)) == 1
    assert found(code, f"{text}\nlimits: {{{code}: off}}\n") == []
