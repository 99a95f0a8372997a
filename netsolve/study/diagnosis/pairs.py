"""Two faults at once: what the probes show over a grid of both, and how well that explains the readings."""

from __future__ import annotations

from collections.abc import Mapping, Sequence
from dataclasses import dataclass, replace

import numpy as np

from netsolve.arrays.stack import Floats
from netsolve.study.diagnosis.between import blur, finer
from netsolve.study.diagnosis.blown import likelihood
from netsolve.study.diagnosis.evidence import measured, needle
from netsolve.study.diagnosis.fault import Fault
from netsolve.study.diagnosis.predicted import NODES, Predicted, Under, predict
from netsolve.study.diagnosis.probe import Reading

COARSE = 5
"""Values of each of the two at which they are solved together; a part that is fitted backwards has but one."""
FINE = 41

_AT = np.linspace(0, NODES - 1, COARSE).round().astype(int)
_ONE = np.zeros(1, dtype=int)


@dataclass(frozen=True)
class Pair:
    """Two faults: what the probes show, (values of one, of the other, probes), slopes alike, what passes either way."""

    faults: tuple[Fault, Fault]
    shown: Floats
    slopes: Floats
    ratios: Mapping[int, Floats]


@dataclass(frozen=True)
class PairFit:
    """Two faults against the readings; `weights` (fine, fine), whose sum is one, are of each pair of values."""

    faults: tuple[Fault, Fault]
    values: tuple[Floats, Floats]
    weights: Floats
    evidence: float
    best: float
    left: float

    def quantile(self, share: float, number: int) -> float:
        """The value of one of the two below which this share of the likelihood lies."""
        weights = self.weights.sum(axis=1 - number)
        order = np.argsort(self.values[number])
        grown = np.cumsum(weights[order])
        return float(np.interp(share, grown - 0.5 * weights[order], self.values[number][order]))


def predict_pairs(predicted: Predicted, pairs: Sequence[tuple[Fault, Fault]]) -> list[Pair]:
    """What the probes show under two faults at once; on the uncertain numbers they hang as under either, added up."""
    if not pairs:
        return []
    under = {id(each.fault): each for each in predicted.under}
    together = predict(predicted.circuit, predicted.probes, [_both(one, other) for one, other in pairs], unsure=())
    sound = predicted.under[0].slopes
    return [
        Pair(
            pair,
            both.shown.reshape(*_grid(pair), -1),
            _added(under[id(pair[0])], under[id(pair[1])], sound),
            {index: each.reshape(*_grid(pair), 2) for index, each in both.ratios.items()},
        )
        for pair, both in zip(pairs, together.under, strict=True)
    ]


def can_be_paired(one: Fault, other: Fault) -> bool:
    """Whether two faults can be there at once: at different parts, and at most one that makes another record of its."""
    return one.part != other.part and (one.record is None or other.record is None)


def _at(fault: Fault) -> np.ndarray[tuple[int], np.dtype[np.int_]]:
    """Which of a fault's values are tried together with those of another."""
    return _AT if len(fault.values) > 1 else _ONE


def _grid(pair: tuple[Fault, Fault]) -> tuple[int, int]:
    return len(_at(pair[0])), len(_at(pair[1]))


def _both(one: Fault, other: Fault) -> Fault:
    """The two as one fault whose values are all pairs of theirs; it has the record of whichever has one."""
    rows, columns = _grid((one, other))
    first = {field: np.repeat(values[_at(one)], columns) for field, values in one.fields.items()}
    second = {field: np.tile(values[_at(other)], rows) for field, values in other.fields.items()}
    bearer = one if other.record is None else other
    return replace(bearer, values=np.zeros(rows * columns), fields=first | second)


def _added(one: Under, other: Under, sound: Floats) -> Floats:
    both: Floats = one.slopes[_at(one.fault)][:, None] + other.slopes[_at(other.fault)][None] - sound[0]
    return both


def pair_fit(pair: Pair, readings: Sequence[Reading], indices: Sequence[int]) -> PairFit:
    """Two faults against the readings, whose probes have these places among the predicted ones."""
    places = np.linspace(0.0, COARSE - 1.0, FINE)
    slopes = _finer(pair.slopes, places)
    logs, left = measured(readings, indices, _finer(pair.shown, places), slopes, _blur(pair.shown, places))
    logs = logs + needle(readings, *pair.faults)
    for reading, index in zip(readings, indices, strict=True):
        if reading.found:
            logs = logs + np.log(likelihood(reading.found, _finer(pair.ratios[index], places)))
    most = float(logs.max())
    weights = np.exp(logs - most)
    values = tuple(finer(fault.values[_at(fault)], places) for fault in pair.faults)
    place = np.unravel_index(int(logs.argmax()), logs.shape)
    return PairFit(
        pair.faults,
        (values[0], values[1]),
        weights / weights.sum(),
        most + float(np.log(weights.mean())),
        most,
        float(left[place]),
    )


def _finer(values: Floats, places: Floats) -> Floats:
    """What lies between the nodes of a grid (coarse, coarse, …): (fine, fine, …)."""
    along = finer(values, places)
    return np.swapaxes(finer(np.swapaxes(along, 0, 1), places), 0, 1)


def _blur(values: Floats, places: Floats) -> Floats:
    """How far off `_finer` may be for lying between nodes, one way or the other, as a standard deviation."""
    one = finer(np.swapaxes(blur(values, places), 0, 1), places)
    other = finer(np.swapaxes(blur(np.swapaxes(values, 0, 1), places), 0, 1), places)
    return np.hypot(np.swapaxes(one, 0, 1), other)
