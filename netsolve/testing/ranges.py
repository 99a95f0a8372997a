"""Parts all over the ranges that a class declares: every word, every option left out and given, from end to end."""

from __future__ import annotations

from collections.abc import Mapping
from typing import Any

import numpy as np
from pydantic import ValidationError

from netsolve import units
from netsolve.component import Component, Joint
from netsolve.contract.declare import Flag, Quantity, Reading, Spec, Table, Word, declared
from netsolve.reading.written import plain
from netsolve.source import parse

_READING = Reading(density=1025.0)
_ATTEMPTS = 40
"""Drawings for each part that is wanted: many a drawing is not right by the part's own `check()`."""

_FEW = 0.5  # decades to both sides of a usual value, where the declaration sets no bounds


def drawn(kind: type[Component] | type[Joint], count: int = 32) -> list[Any]:
    """Parts or joints of a class, the same ones each time; AssertionError where the declaration allows none."""
    rng = np.random.default_rng(0)
    found: list[Any] = []
    said = ""
    for _ in range(_ATTEMPTS * count):
        if len(found) == count:
            break
        try:
            record = kind.model_validate(_values(kind, rng), context=_READING)
        except ValidationError as error:
            said = str(error.errors(include_url=False)[0]["msg"])
            continue
        objections = list(record.check())
        if not objections:
            found.append(record)
        said = objections[0] if objections else said
    if not found:
        raise AssertionError(
            f"{kind.__name__}: no values within what it declares are right together ({said}): "
            "give its quantities example=… or bounds, or give check_component parts of your own"
        )
    return found


def _values(kind: type[Any], rng: np.random.Generator) -> Mapping[str, Any]:
    values = {}
    for name, spec in declared(kind).items():
        info = kind.model_fields[name]
        driven = isinstance(spec, Quantity) and bool(spec.engine)
        if not info.is_required() and not driven and rng.random() < 0.5:
            continue
        if isinstance(spec, Table) and not spec.example:
            continue
        key = info.alias or name
        values[key] = _value(spec, info.default, rng)
    return values


def _value(spec: Spec, default: Any, rng: np.random.Generator) -> Any:
    if isinstance(spec, Word):
        return str(rng.choice(spec.choices))
    if isinstance(spec, Flag):
        return bool(rng.integers(2))
    if isinstance(spec, Table):
        return plain(parse(f"points: {spec.example}").entries[0][1])
    return number(spec, default, rng)


def number(spec: Quantity, default: Any, rng: np.random.Generator) -> float:
    """A value within the bounds; where one is missing, near what is usual. Whole half of the time for a count."""
    low, high = _first(spec.at_least, spec.above), _first(spec.at_most, spec.below)
    if low is not None and high is not None:
        share = float(rng.choice([0.0, 1.0, rng.random()]))
        nearly = min(max(share, 1e-3 * (spec.at_least is None)), 1 - 1e-3 * (spec.at_most is None))
        return low + (high - low) * nearly
    text = spec.example or units.examples(spec.kind)[0]
    usual = default if isinstance(default, float) and default else spec.read(text, _READING)
    value = float(usual) * 10 ** rng.uniform(-_FEW, _FEW)
    if spec.kind == "number" and rng.random() < 0.5:
        value = float(round(value))
    if spec.at_least is not None and rng.random() < 0.1:
        return spec.at_least
    return value


def _first(*values: float | None) -> float | None:
    return next((value for value in values if value is not None), None)
