"""A closer look: the faults that may have been, solved anew where their values explain the readings."""

from __future__ import annotations

from collections.abc import Mapping, Sequence
from dataclasses import replace

import numpy as np

from netsolve.arrays.stack import Floats
from netsolve.study.diagnosis.between import finer
from netsolve.study.diagnosis.evidence import Fit, fits
from netsolve.study.diagnosis.fault import Fault
from netsolve.study.diagnosis.predicted import NODES, Predicted, predict
from netsolve.study.diagnosis.probe import Reading

IN_QUESTION = 12.0
"""A fault whose logarithm of probability is less than that of the likeliest by more than this is left as it is."""

_NOT_LIKELY, _WIDEST = 1e-4, 0.5
"""Of its likeliest value's likelihood, and of all of its values: where it is not looked closer."""


def nearer(predicted: Predicted, readings: Sequence[Reading], indices: Sequence[int]) -> Predicted:
    """The same with the faults in question solved at as many values as before within those that may be.

    A fault that shows next to nothing and then suddenly very much, as where a flow comes to rest, is between two of its
    values not what these show.
    """
    single = fits(predicted, readings, indices)
    scores = [fit.evidence + float(np.log(fit.fault.prior)) for fit in single]
    close = {
        at: fault
        for at, (fit, score) in enumerate(zip(single, scores, strict=True))
        if score > max(scores) - IN_QUESTION and (fault := _narrowed(fit)) is not None
    }
    if not close:
        return predicted
    again = predict(predicted.circuit, predicted.probes, list(close.values()), predicted.unsure)
    anew = dict(zip(close, again.under, strict=True))
    return replace(predicted, under=tuple(anew.get(at, each) for at, each in enumerate(predicted.under)))


def _narrowed(fit: Fit) -> Fault | None:
    """The fault with values only where they may be, as likely beforehand as these are of it; None where that is all."""
    may_be = fit.places[fit.weights > _NOT_LIKELY * fit.weights.max()]
    low, high = max(float(may_be[0]) - 1.0, 0.0), min(float(may_be[-1]) + 1.0, NODES - 1.0)
    share = (high - low) / (NODES - 1.0)
    fault = fit.fault
    if len(fault.values) == 1 or share > _WIDEST:
        return None
    at = np.linspace(low, high, NODES)
    fields: Mapping[tuple[str, str], Floats] = {field: finer(values, at) for field, values in fault.fields.items()}
    return replace(fault, values=finer(fault.values, at), fields=fields, prior=share * fault.prior)
