"""What a rule promises: it speaks where it should, is silent elsewhere, and stands every row that there may be."""

from __future__ import annotations

import math
import os
from collections.abc import Iterator, Sequence
from importlib import resources
from typing import Any

import numpy as np

from netsolve.circuit import Circuit
from netsolve.contract.declare import Quantity, declared
from netsolve.discovery.blame import blame
from netsolve.discovery.promises import broken
from netsolve.findings import judge, with_limits
from netsolve.problems import Finding
from netsolve.result import Result, RowResult
from netsolve.rule import SEVERITIES, Rule
from netsolve.testing.ranges import number
from netsolve.testing.solving import solved

ODD = resources.files("netsolve.testing").joinpath("odd.yaml")
"""A circuit of rows that are out of the ordinary."""

_DRAWINGS = 12


def check_rule(
    kind: type[Rule],
    *,
    speaks: Sequence[str | os.PathLike[str]],
    silent: Sequence[str | os.PathLike[str]],
    folder: str | os.PathLike[str] | None = None,
) -> None:
    """Raise AssertionError with a sentence for every promise that a rule breaks, and how to mend it.

    It must find something in each of the circuits `speaks`, files or YAML texts, and nothing in those of `silent`; it
    must stand rows that are out of the ordinary, and thresholds all over the ranges that it declares. `folder` holds
    the plugins that the circuits use.
    """
    told = [f"{kind.__name__} {fault}" for fault in broken(kind)]
    if not told and not (speaks and silent):
        told = ["give check_rule a circuit in which the rule speaks and one in which it is silent"]
    if not told:
        told = [f"{kind.__name__}: {sentence}" for sentence in _tried(kind, speaks, silent, folder)]
    if told:
        raise AssertionError("\n".join(dict.fromkeys(told)))


def _tried(kind: type[Rule], speaks: Sequence[Any], silent: Sequence[Any], folder: Any) -> Iterator[str]:
    for wanted, circuits in ((True, speaks), (False, silent)):
        for circuit in circuits:
            yield from _in_circuit(kind, solved(circuit, folder), wanted)
    yield from _stands(
        kind, [solved(ODD.read_text(encoding="utf-8")), *(solved(circuit, folder) for circuit in speaks)]
    )


def _in_circuit(kind: type[Rule], result: Result, wanted: bool) -> Iterator[str]:
    """What is wrong with what it says of a circuit in which it should speak, or not."""
    heard = 0
    try:
        rules = with_limits([kind], result.circuit.limits)
        rows = list(judge(result, rules).rows)
    except Exception as error:  # a rule may raise anything
        yield _raised(kind, result.circuit, error)
        return
    for row in rows:
        for finding in _own(kind, row):
            heard += 1
            yield from _said(finding, row)
            if not wanted:
                yield f"it speaks where it should be silent, in '{result.circuit.name}': {finding.message}"
    if wanted and not heard:
        yield f"it says nothing of '{result.circuit.name}': mend its condition, or give another circuit"


def _said(finding: Finding, row: RowResult) -> Iterator[str]:
    quoted = f"'{finding.message}'"
    if finding.severity not in SEVERITIES:
        yield f"a finding has the severity '{finding.severity}': take one of {', '.join(SEVERITIES)}"
    if finding.about not in {*row.parts, *row.runs, *row.joints, *row.oils}:
        yield f"a finding is about '{finding.about}', which the row does not have: give self.finding what it is about"
    if not finding.message.strip():
        yield "a finding has no message: say what was found, with its numbers"
    elif finding.message.rstrip().endswith("."):
        yield f"a message ends in a full stop: take it off {quoted}"
    if not finding.help.strip():
        yield f"a finding has no help: say what to do about {quoted}"
    for name, value in (("value", finding.value), ("limit", finding.limit)):
        if value is not None and not math.isfinite(value):
            yield f"the {name} of a finding is no number: mend what comes to {value} in {quoted}"


def _stands(kind: type[Rule], results: Sequence[Result]) -> Iterator[str]:
    """Whether it stands odd rows, with thresholds from all over their ranges."""
    rng = np.random.default_rng(0)
    drawn = [{}, *(_thresholds(kind, rng) for _ in range(_DRAWINGS))]
    for result in results:
        for settings in drawn:
            try:
                rows = list(judge(result, [kind.model_validate(settings)]).rows)
            except Exception as error:
                yield _raised(kind, result.circuit, error)
                return
            for row in rows:
                yield from (each for finding in _own(kind, row) for each in _said(finding, row))


def _own(kind: type[Rule], row: RowResult) -> Iterator[Finding]:
    return (finding for finding in row.findings if finding.code == kind.code)


def _thresholds(kind: type[Rule], rng: np.random.Generator) -> dict[str, float]:
    return {
        name: number(spec, kind.model_fields[name].default, rng)
        for name, spec in declared(kind).items()
        if isinstance(spec, Quantity)
    }


def _raised(kind: type[Rule], circuit: Circuit, error: Exception) -> str:
    told = blame("it raises", error, kind.__module__)
    return f"{told}, in '{circuit.name}': a part may have no velocity, a place no pressure"
