"""Faults, alone and two at a time, ranked by how likely they are after the readings."""

from __future__ import annotations

from collections.abc import Callable, Sequence
from dataclasses import dataclass
from itertools import combinations

import numpy as np

from netsolve.arrays.stack import Floats
from netsolve.study.diagnosis.evidence import Fit, fits
from netsolve.study.diagnosis.fault import NOTHING_WRONG, Fault
from netsolve.study.diagnosis.pairs import Pair, can_be_paired, pair_fit
from netsolve.study.diagnosis.predicted import Predicted, Under
from netsolve.study.diagnosis.probe import Reading

INSIDE = 0.90
"""The share of its likelihood that lies in an estimate's range."""

ELSEWHERE = "the model or a reading is wrong"
_PRIOR_ELSEWHERE, _PRIOR_PAIR = 0.02, 0.5
_BROAD, _FAR = 0.4, 5.0

ALIKE = 1.0
"""The readings do not tell two faults apart whose best fits differ by less, in the logarithm of the likelihood."""

WORTH_NAMING = 0.01
_MOST_PARTNERS = 8
_SAME = 0.999


@dataclass(frozen=True)
class Estimate:
    """One part's fault: its parameter (SI; `kind` is what it is of), as estimated, and its range."""

    part: str
    fault: str
    parameter: str
    kind: str
    value: float | None
    low: float | None
    high: float | None

    @property
    def name(self) -> str:
        """As it is said."""
        return f"{self.part}: {self.fault}" if self.part else self.fault


@dataclass(frozen=True)
class Suspect:
    """A fault, or two, and how likely; `best` is the logarithm of the likelihood of the best fit, `left` its misfit."""

    estimates: tuple[Estimate, ...]
    probability: float
    best: float
    left: float
    fit: Fit | None = None

    @property
    def name(self) -> str:
        """As it is said, both where there are two."""
        return " and ".join(each.name for each in self.estimates)


@dataclass(frozen=True)
class Ranking:
    """Suspects, the likeliest first; groups of single ones that the readings do not tell apart."""

    suspects: tuple[Suspect, ...]
    alike: tuple[tuple[Suspect, ...], ...]


def ranked(
    predicted: Predicted, readings: Sequence[Reading], indices: Sequence[int], pairs: Sequence[Pair] = ()
) -> Ranking:
    """The faults, and pairs of them, against the readings, whose probes have these places among the predicted ones."""
    single = fits(predicted, readings, indices)
    scored = [(fit.evidence + np.log(fit.fault.prior), _of_fit(fit)) for fit in single]
    scored.append((_elsewhere(predicted, readings, indices) + np.log(_PRIOR_ELSEWHERE), _nowhere()))
    for pair in pairs:
        found = pair_fit(pair, readings, indices)
        prior = _PRIOR_PAIR * pair.faults[0].prior * pair.faults[1].prior
        suspect = Suspect(_estimates(found.faults, found.quantile), 0.0, found.best, found.left)
        scored.append((found.evidence + np.log(prior), suspect))
    logs = np.array([log for log, _ in scored])
    chances = np.exp(logs - logs.max())
    chances /= chances.sum()
    suspects = [
        Suspect(each.estimates, float(chance), each.best, each.left, each.fit)
        for (_, each), chance in zip(scored, chances, strict=True)
    ]
    suspects.sort(key=lambda each: -each.probability)
    return Ranking(tuple(suspects), _groups(suspects))


def _of_fit(fit: Fit) -> Suspect:
    return Suspect(_estimates((fit.fault,), lambda share, _: fit.quantile(share)), 0.0, fit.best, fit.left, fit)


def _estimates(faults: Sequence[Fault], quantile: Callable[[float, int], float]) -> tuple[Estimate, ...]:
    low, high = (1 - INSIDE) / 2, (1 + INSIDE) / 2
    found = []
    for number, fault in enumerate(faults):
        one = len(fault.values) == 1
        values = (None,) * 3 if one else tuple(quantile(share, number) for share in (0.5, low, high))
        found.append(Estimate(fault.part, fault.fault, fault.parameter, fault.kind, *values))
    return tuple(found)


def _nowhere() -> Suspect:
    return Suspect((Estimate("", ELSEWHERE, "", "", None, None, None),), 0.0, -np.inf, 0.0)


def _elsewhere(predicted: Predicted, readings: Sequence[Reading], indices: Sequence[int]) -> float:
    """The likelihood of readings that no fault explains: what a sound circuit shows, give or take 40 %."""
    from scipy.special import log_ndtr

    sound = next(each for each in predicted.under if each.fault.fault == NOTHING_WRONG)
    total = 0.0
    for reading, index in zip(readings, indices, strict=True):
        if reading.found:
            total += np.log(1 / 3)
            continue
        shown = float(np.nan_to_num(sound.shown[0, index]))
        width = np.hypot(_BROAD * shown, _FAR * reading.deviation)
        standard = (reading.value - shown) / width
        density = -0.5 * standard**2 - np.log(width * np.sqrt(2 * np.pi))
        total += log_ndtr(standard) if reading.at_most else density
    return float(total)


def partners(predicted: Predicted, readings: Sequence[Reading], indices: Sequence[int]) -> list[tuple[Fault, Fault]]:
    """Faults to be tried two at a time: the likeliest of each sort of sign that they leave, at different parts."""
    single = fits(predicted, readings, indices)
    order = sorted(single, key=lambda fit: -(fit.evidence + np.log(fit.fault.prior)))
    sound = next(fit.under for fit in single if fit.fault.fault == NOTHING_WRONG)
    chosen: list[Fault] = []
    signs: list[Floats] = []
    for fit in order:
        sign = _sign(fit.under, sound)
        if sign is not None and not any(float(sign @ other) > _SAME for other in signs):
            chosen.append(fit.fault)
            signs.append(sign)
        if len(chosen) == _MOST_PARTNERS:
            break
    return [(one, other) for one, other in combinations(chosen, 2) if can_be_paired(one, other)]


def _sign(under: Under, sound: Under) -> Floats | None:
    """Which way a fault that is half there moves every probe, as a unit vector; None where it moves none."""
    start, half = (under, len(under.shown) // 2) if len(under.shown) > 1 else (sound, 0)
    before = np.nan_to_num(start.shown[0])
    moved = (np.nan_to_num(under.shown[half]) - before) / (np.abs(before) + 1e-12)
    blown = [under.ratios[at][half] - start.ratios[at][0] for at in sorted(under.ratios)]
    whole = np.concatenate([moved, *blown])
    size = float(np.linalg.norm(whole))
    return whole / size if size > 1e-3 else None


def _groups(suspects: Sequence[Suspect]) -> tuple[tuple[Suspect, ...], ...]:
    """Single faults worth naming whose best fits are as good as each other's, the likeliest group first."""
    rest = [each for each in suspects if each.fit is not None and each.probability >= WORTH_NAMING]
    groups = []
    while rest:
        alike = tuple(each for each in rest if abs(each.best - rest[0].best) < ALIKE)
        rest = [each for each in rest if each not in alike]
        if len(alike) > 1:
            groups.append(alike)
    return tuple(groups)
