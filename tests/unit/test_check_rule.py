"""`check_rule` finds the faults that it promises to find."""

from __future__ import annotations

from collections.abc import Iterator

import pytest

from netsolve.plugin import Finding, Rule, SeenRow, quantity
from netsolve.testing import check_rule, solved

QUICK = """format: 1
circuit: A bucket and a hose
water: {kind: sea, temperature: 15 degC, salinity: 35 g/kg}
joints:
  bucket: {type: tank, level: 2 m}
  side: {type: discharge, height: 0 m, bore: 16 mm}
runs:
  line: {from: bucket, to: side, parts: [cooler: {type: heat_exchanger, drop: 5 kPa, at: 20 L/min, bore: 16 mm}]}
"""
SLOW = QUICK.replace("level: 2 m", "level: 0.1 m")


class _Quick(Rule):
    """No water runs faster than a limit through a cooler."""

    limit: float = quantity("velocity", "fastest", default=1.5, above=0)
    severity = "wear"
    basis = "made up for the test"

    def findings(self, row: SeenRow) -> Iterator[Finding]:
        for part in row.parts("cooler"):
            if part.velocity is not None and abs(part.velocity) > self.limit:
                yield self.found(part)

    def found(self, part) -> Finding:
        return self.finding(part, f"{part.name} is quick", help="ease it", value=part.velocity, limit=self.limit)


class _Trusting(_Quick):
    """It trusts that every part has a velocity."""

    def findings(self, row: SeenRow) -> Iterator[Finding]:
        return (self.found(part) for part in row.parts("cooler") if abs(part.velocity) > self.limit)


class _Mute(_Quick):
    """It never speaks."""

    def findings(self, row: SeenRow) -> Iterator[Finding]:
        return iter(())


class _Loud(_Quick):
    """It always speaks."""

    def findings(self, row: SeenRow) -> Iterator[Finding]:
        return (self.found(part) for part in row.parts())


class _Stopped(_Quick):
    """Its message has a full stop."""

    def found(self, part) -> Finding:
        return self.finding(part, f"{part.name} is quick.", help="ease it")


class _Helpless(_Quick):
    """It gives no help."""

    def found(self, part) -> Finding:
        return self.finding(part, f"{part.name} is quick")


class _Endless(_Quick):
    """Its value is no number."""

    def found(self, part) -> Finding:
        return self.finding(part, f"{part.name} is quick", help="ease it", value=float("nan"))


class _Elsewhere(_Quick):
    """It speaks of what is not there."""

    def found(self, part) -> Finding:
        return Finding(self.code, "wear", "the moon", "the moon is quick", "ease it")


class _Baseless(_Quick):
    """It has no basis."""

    basis = ""


class _Unlimited(_Quick):
    """It fails where its threshold is far from what is usual."""

    def findings(self, row: SeenRow) -> Iterator[Finding]:
        if self.limit > 3:
            raise ValueError("nothing runs as fast as that")
        return super().findings(row)


def test_a_rule_that_keeps_its_promises_passes() -> None:
    check_rule(_Quick, speaks=[QUICK], silent=[SLOW])


@pytest.mark.parametrize(
    ("kind", "said"),
    [
        (
            _Trusting,
            r"it raises: .*test_check_rule.py, line \d+: TypeError: .*in 'rows that are out of the ordinary': a part",
        ),
        (_Mute, "it says nothing of 'A bucket and a hose': mend its condition, or give another circuit"),
        (_Loud, "it speaks where it should be silent, in 'A bucket and a hose': cooler is quick"),
        (_Stopped, "a message ends in a full stop: take it off 'cooler is quick.'"),
        (_Helpless, "a finding has no help: say what to do about 'cooler is quick'"),
        (_Endless, "the value of a finding is no number: mend what comes to nan in 'cooler is quick'"),
        (_Elsewhere, "a finding is about 'the moon', which the row does not have"),
        (_Baseless, "_Baseless names no basis: say where its threshold is from, or 'common practice, no source'"),
        (_Unlimited, r"it raises: .*ValueError: nothing runs as fast as that"),
    ],
)
def test_a_broken_promise_of_a_rule_is_named(kind: type[Rule], said: str) -> None:
    with pytest.raises(AssertionError, match=said):
        check_rule(kind, speaks=[QUICK], silent=[SLOW])


def test_circuits_of_both_kinds_are_wanted() -> None:
    with pytest.raises(AssertionError, match="a circuit in which the rule speaks and one in which it is silent"):
        check_rule(_Quick, speaks=[QUICK], silent=[])


def test_a_row_that_does_not_settle_fails_the_test_that_asked_for_it(monkeypatch: pytest.MonkeyPatch) -> None:
    monkeypatch.setattr("netsolve.solver.MOST_ITERATIONS", 0)
    with pytest.raises(AssertionError, match=r"'as written', 'as found' does not settle: .* is left over in line"):
        solved(QUICK)
