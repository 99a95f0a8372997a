"""A diagnosis: what is likely to be wrong after the readings, what they cannot tell apart, and what to look at next."""

from __future__ import annotations

from collections.abc import Sequence
from dataclasses import dataclass
from typing import Any

from netsolve.circuit import Circuit
from netsolve.study.diagnosis.candidates import candidates, effort
from netsolve.study.diagnosis.fault import NOTHING_WRONG
from netsolve.study.diagnosis.gain import IN_DOUBT, Expected, doubts, expected
from netsolve.study.diagnosis.nearer import nearer
from netsolve.study.diagnosis.pairs import predict_pairs
from netsolve.study.diagnosis.predicted import Predicted, predict
from netsolve.study.diagnosis.probe import Probe, Reading
from netsolve.study.diagnosis.ranking import Estimate, Ranking, Suspect, partners, ranked

MOST_TESTS = 6
LEAST_GAIN = 0.02
"""Bits: a test that tells less is not worth the trouble."""

_SUSPECTED = 0.02


@dataclass(frozen=True)
class NextTest:
    """A test that could be made: what it is expected to tell (bits), and what it takes (minutes)."""

    probe: Probe
    minutes: float
    expected: Expected

    @property
    def worth(self) -> float:
        """Bits for each minute."""
        return self.expected.gain / self.minutes


@dataclass(frozen=True)
class Shown:
    """A reading beside what a sound circuit would show there (SI; None of a word)."""

    reading: Reading
    sound: float | None


@dataclass(frozen=True)
class Diagnosis:
    """Suspects ranked; groups that the readings cannot tell apart; tests to make next, the most telling first."""

    circuit: str
    readings: tuple[Shown, ...]
    ranking: Ranking
    tests: tuple[NextTest, ...]


def diagnose(circuit: Circuit, readings: Sequence[Reading]) -> Diagnosis:
    """What is wrong with a circuit of which these readings were taken."""
    probes = tuple(dict.fromkeys(reading.probe for reading in readings))
    predicted = predict(circuit, probes)
    indices = [probes.index(reading.probe) for reading in readings]
    pairs = predict_pairs(predicted, partners(predicted, readings, indices))
    predicted = nearer(predicted, readings, indices)
    ranking = ranked(predicted, readings, indices, pairs)
    sound = predicted.under[0].shown[0]
    shown = [
        Shown(reading, None if reading.found else float(sound[at]))
        for reading, at in zip(readings, indices, strict=True)
    ]
    return Diagnosis(circuit.name, tuple(shown), ranking, _next_tests(circuit, readings, ranking, predicted))


def _next_tests(
    circuit: Circuit, readings: Sequence[Reading], ranking: Ranking, predicted: Predicted
) -> tuple[NextTest, ...]:
    """The tests that tell most about what is still in doubt, for the time that they take."""
    in_doubt = [each for each in ranking.suspects if each.fit is not None and each.probability > _SUSPECTED]
    names = list(dict.fromkeys(each.estimates[0].part for each in in_doubt if each.estimates[0].part))
    offered = [
        probe
        for probe in candidates(circuit, names, readings[0].probe.situation.change)
        if probe not in predicted.probes
    ]
    kept = [
        each.fit.fault
        for each in ranking.suspects
        if each.fit is not None and (each.probability > IN_DOUBT or each.fit.fault.fault == NOTHING_WRONG)
    ]
    wider = predict(circuit, (*predicted.probes, *offered), kept)
    indices = [wider.probes.index(reading.probe) for reading in readings]
    again = ranked(wider, readings, indices)
    return best_tests(wider, again, readings, range(len(predicted.probes), len(wider.probes)))


def best_tests(
    predicted: Predicted, ranking: Ranking, readings: Sequence[Reading], offered: Sequence[int]
) -> tuple[NextTest, ...]:
    """Of the probes with these places, those that tell most for the time that they take."""
    indices = [predicted.probes.index(reading.probe) for reading in readings]
    doubt = doubts(ranking, predicted, readings, indices)
    if len(doubt) < 2:
        return ()
    found = [
        NextTest(predicted.probes[at], effort(predicted.probes[at], readings), expected(predicted, at, doubt))
        for at in offered
    ]
    telling = [each for each in found if each.expected.gain >= LEAST_GAIN]
    return tuple(sorted(telling, key=lambda each: -each.worth)[:MOST_TESTS])


def diagnosis_to_dict(found: Diagnosis) -> dict[str, Any]:
    """A diagnosis as plain data in SI; never NaN."""
    return {
        "format": 1,
        "circuit": found.circuit,
        "ranked": [_suspect(each) for each in found.ranking.suspects],
        "cannot_tell_apart": [_parts(group) for group in found.ranking.alike],
        "alike": [[each.name for each in group] for group in found.ranking.alike],
        "next_tests": [_test(each) for each in found.tests],
    }


def _parts(group: Sequence[Suspect]) -> list[str]:
    return list(dict.fromkeys(each.estimates[0].part or each.estimates[0].fault for each in group))


def _suspect(suspect: Suspect) -> dict[str, Any]:
    first, *others = (_estimate(each) for each in suspect.estimates)
    return first | {"probability": suspect.probability} | ({"and": others[0]} if others else {})


def _estimate(estimate: Estimate) -> dict[str, Any]:
    return {
        "part": estimate.part or None,
        "fault": estimate.fault,
        "parameter": estimate.parameter or None,
        "estimate": estimate.value,
        "low": estimate.low,
        "high": estimate.high,
    }


def _test(test: NextTest) -> dict[str, Any]:
    values = {name: value for name, (value, _) in test.expected.values.items()}
    return {
        "test": str(test.probe),
        "gain": test.expected.gain,
        "minutes": test.minutes,
        "kind": test.probe.unit_kind,
        "expected": {**values, **test.expected.words},
    }
