"""How well each fault explains the readings: its likelihood over all of its values, the uncertain numbers taken out.

Near a fault the readings hang on the uncertain numbers in proportion, and those and the errors of reading are normal;
then the likelihood of the readings, whatever these numbers are, is a normal one with their effects in its covariance.
"""

from __future__ import annotations

from collections.abc import Sequence
from dataclasses import dataclass

import numpy as np

from netsolve.stack import Floats
from netsolve.study.diagnosis.blown import likelihood
from netsolve.study.diagnosis.fault import Fault
from netsolve.study.diagnosis.predicted import Predicted, Under
from netsolve.study.diagnosis.probe import Reading

FINE = 241
"""Values of a fault's parameter at which its likelihood is found."""


@dataclass(frozen=True)
class Fit:
    """A fault against the readings.

    `values` (fine,) of its parameter, `weights` how likely each of them is, adding up to one; `evidence` the logarithm
    of the likelihood of the readings under it, whatever its value; `best` that at its likeliest value; `left` the sum
    of squares there, in standard deviations. `places` are where the values lie among the nodes.
    """

    under: Under
    values: Floats
    places: Floats
    weights: Floats
    evidence: float
    best: float
    left: float

    @property
    def fault(self) -> Fault:
        return self.under.fault

    def quantile(self, share: float) -> float:
        """The value below which this share of the likelihood lies."""
        order = np.argsort(self.values)
        grown = np.cumsum(self.weights[order])
        return float(np.interp(share, grown - 0.5 * self.weights[order], self.values[order]))

    @property
    def likeliest(self) -> int:
        """Where the likeliest value stands."""
        return int(np.argmax(self.weights))


def fits(predicted: Predicted, readings: Sequence[Reading], indices: Sequence[int]) -> tuple[Fit, ...]:
    """Every fault against the readings, whose probes have these places among the predicted ones."""
    return tuple(_fit(under, readings, indices) for under in predicted.under)


def finer(values: Floats, places: Floats) -> Floats:
    """What lies between nodes (nodes, …), smooth, without overshoot; one without an answer is passed over."""
    from scipy.interpolate import PchipInterpolator

    nodes = len(values)
    if nodes == 1:
        return np.repeat(values, len(places), axis=0)
    filled = _filled(values.reshape(nodes, -1))
    smooth = PchipInterpolator(np.arange(nodes), filled, axis=0)(places)
    return np.asarray(smooth.reshape(len(places), *values.shape[1:]))


def _filled(values: Floats) -> Floats:
    known = np.isfinite(values)
    if known.all():
        return values
    at = np.arange(len(values))
    columns = [
        np.interp(at, at[good], column[good]) if good.any() else np.full(len(values), 1e12)
        for column, good in zip(values.T, known.T, strict=True)
    ]
    return np.array(columns).T


def places_of(fault: Fault) -> Floats:
    """The fine places among a fault's nodes."""
    nodes = len(fault.values)
    return np.zeros(1) if nodes == 1 else np.linspace(0.0, nodes - 1.0, FINE)


def _fit(under: Under, readings: Sequence[Reading], indices: Sequence[int]) -> Fit:
    places = places_of(under.fault)
    values = finer(under.fault.values, places)
    measured = [(reading, index) for reading, index in zip(readings, indices, strict=True) if not reading.found]
    logs, left = np.zeros(len(places)), np.zeros(len(places))
    if measured:
        at = [index for _, index in measured]
        shown, slopes = finer(under.shown[:, at], places), finer(under.slopes[:, at], places)
        logs, left = normal(
            np.array([reading.value for reading, _ in measured]) - shown,
            slopes,
            np.array([reading.deviation for reading, _ in measured]),
        )
    for reading, index in zip(readings, indices, strict=True):
        if reading.found:
            logs = logs + np.log(likelihood(reading.found, finer(under.ratios[index], places)))
    most = float(logs.max())
    weights = np.exp(logs - most)
    evidence = most + float(np.log(weights.mean()))
    return Fit(under, values, places, weights / weights.sum(), evidence, most, float(left[int(logs.argmax())]))


def normal(off: Floats, slopes: Floats, deviations: Floats) -> tuple[Floats, Floats]:
    """Logarithm of the likelihood, and the sum of squares in standard deviations, of what is off (…, readings)."""
    scaled, effects = off / deviations, slopes / deviations[:, None]
    spread = np.eye(len(deviations)) + effects @ np.swapaxes(effects, -1, -2)
    root = np.linalg.cholesky(spread)
    white = np.linalg.solve(root, scaled[..., None])[..., 0]
    left = (white**2).sum(axis=-1)
    size = np.log(np.diagonal(root, axis1=-2, axis2=-1)).sum(axis=-1) + np.log(deviations * np.sqrt(2 * np.pi)).sum()
    return -0.5 * left - size, left
