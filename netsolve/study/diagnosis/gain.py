"""How much a test would separate what is still in doubt, and what it would read under each suspect."""

from __future__ import annotations

from collections.abc import Mapping, Sequence
from dataclasses import dataclass

import numpy as np

from netsolve.arrays.stack import Floats
from netsolve.study.diagnosis.between import finer
from netsolve.study.diagnosis.blown import BLOWN_WORDS, likelihood
from netsolve.study.diagnosis.evidence import Fit
from netsolve.study.diagnosis.predicted import Predicted
from netsolve.study.diagnosis.probe import Reading
from netsolve.study.diagnosis.ranking import Ranking

IN_DOUBT = 0.005
"""Suspects less likely than this are left out of account."""

_QUANTILES = (0.05, 0.25, 0.5, 0.75, 0.95)
_STEPS = 400


@dataclass(frozen=True)
class Expected:
    """What a test would read under each suspect, by its name: a value (SI) with its deviation, or the likeliest word.

    `gain` is what it tells about which of them it is, in bits, on average.
    """

    gain: float
    values: Mapping[str, tuple[float, float]]
    words: Mapping[str, str]


@dataclass(frozen=True)
class _Doubt:
    """A suspect with a few values of its parameter; at each, what the uncertain numbers are after the readings."""

    name: str
    probability: float
    fit: Fit
    places: Floats
    means: Floats
    covariances: Floats


def doubts(ranking: Ranking, predicted: Predicted, readings: Sequence[Reading], indices: Sequence[int]) -> list[_Doubt]:
    """What is still in doubt: the single suspects that are likely enough."""
    return [
        _doubt(each.name, each.probability, each.fit, readings, indices)
        for each in ranking.suspects
        if each.fit is not None and each.probability > IN_DOUBT
    ]


def _doubt(name: str, probability: float, fit: Fit, readings: Sequence[Reading], indices: Sequence[int]) -> _Doubt:
    grown = np.cumsum(fit.weights)
    picked = [min(int(np.searchsorted(grown, share)), len(grown) - 1) for share in _QUANTILES]
    places = fit.places[picked]
    count = fit.under.slopes.shape[2]
    measured = [
        (reading, index)
        for reading, index in zip(readings, indices, strict=True)
        if not (reading.found or reading.at_most)
    ]
    at = [index for _, index in measured]
    deviations = np.array([reading.deviation for reading, _ in measured])[:, None]
    off = np.array([reading.value for reading, _ in measured]) - finer(fit.under.shown[:, at], places)
    effects = finer(fit.under.slopes[:, at], places) / deviations
    covariances = np.linalg.inv(np.eye(count) + np.swapaxes(effects, 1, 2) @ effects)
    pulls = np.swapaxes(effects, 1, 2) @ (off / deviations.T)[..., None]
    return _Doubt(name, probability, fit, places, (covariances @ pulls)[..., 0], covariances)


def expected(predicted: Predicted, index: int, doubt: Sequence[_Doubt]) -> Expected:
    """What the probe with this place would tell."""
    chances = np.array([each.probability for each in doubt])
    chances /= chances.sum()
    if predicted.probes[index].is_word:
        return _words(index, doubt, chances)
    usual = predicted.probes[index].deviation
    means, widths = zip(*(_normal(each, index) for each in doubt), strict=True)
    mean, width = np.array(means), np.array(widths)
    noise = np.array([[usual(abs(float(value))) for value in row] for row in mean])
    width = np.hypot(width, noise)
    values = {
        each.name: (float(mean[at].mean()), float(np.hypot(mean[at].std(), width[at].mean())))
        for at, each in enumerate(doubt)
    }
    return Expected(_information(mean, width, chances), values, {})


def _normal(doubt: _Doubt, index: int) -> tuple[Floats, Floats]:
    """Mean and deviation of what is shown, for each value of the parameter, before the error of reading it."""
    shown = finer(doubt.fit.under.shown[:, [index]], doubt.places)[:, 0]
    slopes = finer(doubt.fit.under.slopes[:, index], doubt.places)
    mean = shown + (slopes * doubt.means).sum(axis=1)
    return mean, np.sqrt(np.einsum("nu,nuv,nv->n", slopes, doubt.covariances, slopes))


def _information(mean: Floats, width: Floats, chances: Floats) -> float:
    """Bits that a reading tells about the suspect: (suspects, values) normals, equally likely within a suspect."""
    low, high = float((mean - 4 * width).min()), float((mean + 4 * width).max())
    at = np.linspace(low, high, _STEPS)
    narrow = np.maximum(width, (high - low) / _STEPS)
    bells = np.exp(-0.5 * ((at - mean[..., None]) / narrow[..., None]) ** 2) / narrow[..., None]
    each = bells.mean(axis=1)
    each /= each.sum(axis=1, keepdims=True)
    return _mutual(each, chances)


def _mutual(each: Floats, chances: Floats) -> float:
    """Bits: what outcomes (suspects, outcomes), rows adding up to one, tell about the suspect."""
    together = chances @ each
    ratio = np.log2(np.maximum(each, 1e-300) / np.maximum(together, 1e-300))
    return float(max(0.0, (chances[:, None] * each * ratio).sum()))


def _words(index: int, doubt: Sequence[_Doubt], chances: Floats) -> Expected:
    rows = []
    for each in doubt:
        passing = finer(each.fit.under.ratios[index], each.places)
        rows.append([float(likelihood(word, passing).mean()) for word in BLOWN_WORDS])
    table = np.array(rows)
    table /= table.sum(axis=1, keepdims=True)
    words = {each.name: BLOWN_WORDS[int(row.argmax())] for each, row in zip(doubt, table, strict=True)}
    return Expected(_mutual(table, chances), {}, words)
