"""How well each fault explains the readings: its likelihood over all of its values, the uncertain numbers taken out.

Near a fault the readings hang on the uncertain numbers in proportion, and those and the errors of reading are normal;
then the likelihood of the readings, whatever these numbers are, is a normal one with their effects in its covariance.
"""

from __future__ import annotations

from collections.abc import Sequence
from dataclasses import dataclass

import numpy as np

from netsolve.arrays.stack import Floats
from netsolve.study.diagnosis.blown import likelihood
from netsolve.study.diagnosis.fault import AIR, Fault
from netsolve.study.diagnosis.predicted import Predicted, Under
from netsolve.study.diagnosis.probe import Reading

JUMPS, JUMPS_WITH_AIR = 0.1, 0.8
"""How often a needle jumps where no air comes in, and where it does; common practice, no source."""


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


def _fit(under: Under, readings: Sequence[Reading], indices: Sequence[int]) -> Fit:
    fine = under.fine
    places, values = fine.places, fine.values
    logs, left = measured(readings, indices, fine.shown, fine.slopes, fine.blur)
    logs = logs + needle(readings, under.fault)
    for reading, index in zip(readings, indices, strict=True):
        if reading.found:
            logs = logs + np.log(likelihood(reading.found, fine.ratios[index]))
    most = float(logs.max())
    weights = np.exp(logs - most)
    evidence = most + float(np.log(weights.mean()))
    return Fit(under, values, places, weights / weights.sum(), evidence, most, float(left[int(logs.argmax())]))


def needle(readings: Sequence[Reading], *faults: Fault) -> float:
    """Logarithm of how likely it is that the needles jumped, or stood still, as they did."""
    jumps = JUMPS_WITH_AIR if any(fault.fault == AIR for fault in faults) else JUMPS
    chances = {True: 1 - jumps, False: jumps, None: 1.0}
    return float(sum(np.log(chances[reading.steady]) for reading in readings))


def measured(
    readings: Sequence[Reading], indices: Sequence[int], shown: Floats, slopes: Floats, unclear: Floats
) -> tuple[Floats, Floats]:
    """As `normal`, of all readings that are numbers: what is shown (…, probes), how it hangs on uncertain numbers.

    `unclear` (…, probes) is how far off that may be besides the reading, a standard deviation.
    """
    logs, left = np.zeros(shown.shape[:-1]), np.zeros(shown.shape[:-1])

    def some(at_most: bool) -> tuple[Floats, Floats, Floats]:
        both = [
            (each, at) for each, at in zip(readings, indices, strict=True) if not each.found and each.at_most is at_most
        ]
        at = [index for _, index in both]
        value, deviation = (np.array([getattr(each, name) for each, _ in both]) for name in ("value", "deviation"))
        return value - shown[..., at], slopes[..., at, :], np.hypot(deviation, unclear[..., at])

    exact, bounds = some(False), some(True)
    if exact[0].shape[-1]:
        logs, left = normal(*exact)
    if bounds[0].shape[-1]:
        more, also = _below(*bounds, exact)
        logs, left = logs + more, left + also
    return logs, left


def _below(
    room: Floats, slopes: Floats, deviations: Floats, exact: tuple[Floats, Floats, Floats]
) -> tuple[Floats, Floats]:
    """Logarithm of how likely it is that each reading is below its bound, given the exact ones, and the misfit."""
    from scipy.special import log_ndtr

    off, known, deviation = exact
    effects = known / deviation[..., None]
    turned = np.swapaxes(effects, -1, -2)
    covariance = np.linalg.inv(np.eye(slopes.shape[-1]) + turned @ effects)
    mean = covariance @ (turned @ (off / deviation)[..., None])
    spread = np.einsum("...pu,...uv,...pv->...p", slopes, covariance, slopes)
    standard = (room - (slopes @ mean)[..., 0]) / np.sqrt(deviations**2 + spread)
    return log_ndtr(standard).sum(axis=-1), (np.minimum(standard, 0.0) ** 2).sum(axis=-1)


def normal(off: Floats, slopes: Floats, deviations: Floats) -> tuple[Floats, Floats]:
    """Logarithm of the likelihood, and the sum of squares in standard deviations, of what is off (…, readings)."""
    scaled, effects = off / deviations, slopes / deviations[..., None]
    spread = np.eye(off.shape[-1]) + effects @ np.swapaxes(effects, -1, -2)
    root = np.linalg.cholesky(spread)
    white = np.linalg.solve(root, scaled[..., None])[..., 0]
    left = (white**2).sum(axis=-1)
    size = np.log(np.diagonal(root, axis1=-2, axis2=-1)).sum(axis=-1)
    size = size + np.log(deviations * np.sqrt(2 * np.pi)).sum(axis=-1)
    return -0.5 * left - size, left
