"""The values among which an answer is looked for: what the declaration of a parameter and the circuit allow."""

from __future__ import annotations

from collections.abc import Sequence

import numpy as np

from netsolve.arrays.stack import Floats
from netsolve.circuit import Circuit
from netsolve.contract.declare import Quantity
from netsolve.problems import CircuitError
from netsolve.study.settable import Settable, number_now, text_of

POINTS = 121
"""Values that are tried before the answer is closed in upon."""

UP, DOWN = 5.0, 50.0
"""A positive number without bounds is looked for up to so many times what it is, and down to a share of it."""

_SPANS = {"length": 10.0, "temperature": 30.0}
"""How far to either side a number that may be negative is looked for; others up to ten times what they are."""

_INSIDE = 1e-6
"""How far inside a bound that is itself no value the search ends, of the range."""


def search_values(
    circuit: Circuit, settings: Sequence[Settable], situations: Sequence[tuple[str, str]]
) -> Floats | None:
    """Rising values of settings that move together, all of which the circuit takes; None where nothing bounds them."""
    now = [value for each in situations for value in _present(circuit, settings, each)]
    spec = settings[0].spec
    if not isinstance(spec, Quantity) or not now:
        return None
    found = _range(spec, min(now), max(now))
    if found is None:
        return None
    low, high, by_factor = found
    for situation in situations:
        inside = next(iter(_present(circuit, settings, situation)), max(now))
        low = max(low, edge(circuit, settings, situation, inside, low))
        high = min(high, edge(circuit, settings, situation, inside, high))
    if low >= high:
        return None
    if by_factor and low > 0:
        return np.geomspace(low, high, POINTS)
    values = np.linspace(low, high, POINTS)
    return np.concatenate([[low], np.geomspace(high / UP / DOWN, high, POINTS - 1)]) if by_factor else values


def _present(circuit: Circuit, settings: Sequence[Settable], situation: tuple[str, str]) -> list[float]:
    row = circuit.row(*situation, {})
    return [value for each in settings if (value := number_now(row, each)) is not None]


def _range(spec: Quantity, least: float, most: float) -> tuple[float, float, bool] | None:
    """From where to where, and whether the steps are by a factor; None where it is 0 and has no bound to go to."""
    bottom = spec.at_least if spec.at_least is not None else spec.above
    top = spec.at_most if spec.at_most is not None else spec.below
    if top is None and spec.worst is not None and spec.worst > most:
        top = spec.worst
    if bottom is not None and top is not None and np.isfinite(top - bottom):
        inside = _INSIDE * (top - bottom)
        return bottom + inside * (spec.at_least is None), top - inside * (spec.at_most is None), False
    if bottom is not None and bottom >= 0:
        if most <= bottom:
            return None
        return (bottom if spec.at_least is not None else max(bottom, least / DOWN)), most * UP, True
    span = _SPANS.get(spec.kind, 10 * max(abs(least), abs(most)))
    return (least - span, most + span, False) if span else None


def takes(circuit: Circuit, settings: Sequence[Settable], situation: tuple[str, str], value: float) -> bool:
    """Whether the circuit takes a value for these settings."""
    try:
        circuit.row(*situation, {each.path: text_of(float(value), each.kind) for each in settings})
    except CircuitError:
        return False
    return True


def edge(
    circuit: Circuit, settings: Sequence[Settable], situation: tuple[str, str], inside: float, outside: float
) -> float:
    """The value nearest to `outside` that the circuit takes, by halving from one that it takes."""
    if takes(circuit, settings, situation, outside):
        return outside
    for _ in range(40):
        middle = (inside + outside) / 2
        taken = takes(circuit, settings, situation, middle)
        inside, outside = (middle, outside) if taken else (inside, middle)
    return inside
