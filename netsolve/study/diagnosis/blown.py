"""Blowing through some parts: what passes either way, and how likely that is called open, partly or blocked."""

from __future__ import annotations

from collections.abc import Mapping, Sequence

import numpy as np

from netsolve.arrays.stack import Floats
from netsolve.circuit import Row
from netsolve.contract.declare import values_of
from netsolve.study.diagnosis.breath import breath
from netsolve.study.diagnosis.fault import Fault

_GENTLE = 1e-4
"""m3/s of water, whose drop stands for that of a breath of air at the same Reynolds number."""

_OPEN, _BLOCKED, _SOFT = 0.6, 0.12, 0.25
"""Of what should pass: above it is called open, below blocked; and how softly one word goes over into the other, as the
logarithm. Common practice, no source: a breath tells open, partly or blocked, and no more."""

_MISHEARD = 0.03
"""How often any word is said by mistake."""


def ratios(row: Row, names: Sequence[str], fault: Fault) -> Floats:
    """What passes from the first part to the last and back under a fault, as shares of what should: (nodes, 2)."""
    path = breath(row, names)
    changed = fault.row(row)
    both = []
    for way in (1.0, -1.0):
        clean = sum(abs(_drop(row, name, way * sense, {})) for name, sense in path if not _is_one_way(row, name)) + 1.0
        drops = (np.abs(_drop(changed, name, way * sense, fault.fields)) for name, sense in path)
        now = sum(drops, np.zeros(len(fault.values))) + 1.0
        both.append(np.sqrt(np.minimum(clean / now, 1.0)))
    return np.stack(both, axis=1)


def _is_one_way(row: Row, name: str) -> bool:
    return "one_way" in row.parts[name].component.roles


def _drop(row: Row, name: str, way: float, fields: Mapping[tuple[str, str], Floats]) -> Floats:
    component = row.parts[name].component
    changed = {field: values for (part, field), values in fields.items() if part == name}
    record = type(component).model_construct(**values_of(component) | changed)
    return np.asarray(record.pressure_drop(np.float64(way * _GENTLE), row.water), dtype=float)


def likelihood(found: str, passing: Floats) -> Floats:
    """How likely a word is, (…,), where so much passes either way, (…, 2)."""
    there, back = passing[..., 0], passing[..., 1]
    chances = {
        "open": _open(there),
        "partly": 1 - _open(there) - _blocked(there),
        "blocked": _blocked(there),
        "one way": (1 - _blocked(there)) * _blocked(back),
        "other way": _blocked(there) * (1 - _blocked(back)),
    }
    return _MISHEARD + (1 - 2 * _MISHEARD) * np.clip(chances[found], 0.0, 1.0)


def _open(share: Floats) -> Floats:
    return 1 / (1 + np.exp(-np.log(np.maximum(share, 1e-9) / _OPEN) / _SOFT))


def _blocked(share: Floats) -> Floats:
    return 1 / (1 + np.exp(np.log(np.maximum(share, 1e-9) / _BLOCKED) / _SOFT))


BLOWN_WORDS = ("open", "partly", "blocked")
"""What is found where nobody blows back: one of these."""
