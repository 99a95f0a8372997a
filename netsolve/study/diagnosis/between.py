"""Between the values at which a fault is solved: what is read there, interpolated."""

from __future__ import annotations

import numpy as np

from netsolve.arrays.stack import Floats

FINE = 241
"""Values of a fault's parameter at which its likelihood is found."""

_NO_ANSWER = 1e12
"""Stands for what a row shows that has no answer at all: nothing that is read comes near."""


def finer(values: Floats, places: Floats) -> Floats:
    """What lies between nodes (nodes, …), smooth, without overshoot; one without an answer is passed over."""
    from scipy.interpolate import PchipInterpolator

    nodes = len(values)
    if nodes == 1:
        return np.repeat(np.where(np.isfinite(values), values, _NO_ANSWER), len(places), axis=0)
    filled = _filled(values.reshape(nodes, -1))
    smooth = PchipInterpolator(np.arange(nodes), filled, axis=0)(places)
    return np.asarray(smooth.reshape(len(places), *values.shape[1:]))


def blur(values: Floats, places: Floats) -> Floats:
    """How far off `finer` may be, as a standard deviation: (fine, …); nothing where there is one node.

    As much as half of what leaving out every other node would change, and a step to the next place: what lies between
    two places counts as the nearer of them. Where a flow comes to rest both are large beside what a gauge is off.
    """
    between = finer(values, places)
    if len(values) == 1:
        return np.zeros_like(between)
    coarse = finer(values[::2], places / 2)
    step = np.gradient(between, axis=0)
    unclear: Floats = np.hypot(0.5 * (between - coarse), step / np.sqrt(12.0))
    return unclear


def _filled(values: Floats) -> Floats:
    known = np.isfinite(values)
    if known.all():
        return values
    at = np.arange(len(values))
    columns = [
        np.interp(at, at[good], column[good]) if good.any() else np.full(len(values), _NO_ANSWER)
        for column, good in zip(values.T, known.T, strict=True)
    ]
    return np.array(columns).T


def places_among(nodes: int) -> Floats:
    """The fine places among so many nodes."""
    return np.zeros(1) if nodes == 1 else np.linspace(0.0, nodes - 1.0, FINE)
