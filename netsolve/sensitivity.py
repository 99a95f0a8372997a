"""How a flow or a pressure answers to every number of every part and joint, from one solve with the transposed matrix.

With the balances F(x, θ) = 0 the implicit function theorem gives dJ/dθ = -λᵀ ∂F/∂θ, where Fₓᵀ λ = ∂J/∂x: the adjoint
method (Giles & Pierce 2000, Flow, Turbulence and Combustion 65, 393). ∂F/∂θ comes from central differences of the
curves, two evaluations for each stack and field.
"""

from __future__ import annotations

from collections.abc import Callable, Iterator
from dataclasses import dataclass
from typing import Any

import numpy as np

from netsolve.arrays.openings import borrowed_bores, joints_of_ends, opening_level
from netsolve.arrays.stack import Floats, Stack
from netsolve.assemble import Network
from netsolve.circuit import Row
from netsolve.component import Opening
from netsolve.contract.declare import Quantity, declared, values_of
from netsolve.solver import Solution
from netsolve.solving.curves import end_terms, joint_terms, part_terms
from netsolve.solving.law import Law
from netsolve.solving.schur import Schur, pinned
from netsolve.water import GRAVITY

STEP = 6e-6
"""Relative step of the differences; absolute, in SI, for a value of zero."""

Slopes = dict[tuple[str, str], float]
"""Derivative of the target by a field, by (part or joint, field)."""


@dataclass(frozen=True, slots=True)
class Sensitivity:
    """What one number does to the target: `slope` in SI per SI, `gain` for a tenth more of it.

    For a number that is zero, such as the share of a screen that is blinded, the gain is for a tenth of its worst.
    """

    name: str
    parameter: str
    value: float
    kind: str
    slope: float
    gain: float


def sensitivities(network: Network, solution: Solution, row: int, target: str) -> tuple[Sensitivity, ...]:
    """Every number that moves the target in a row, the strongest first.

    `target` is `NAME.flow` of a run or part, or `NAME.total_pressure` of a joint (`NAME.PORT.total_pressure` where its
    ports differ). KeyError where there is no such thing, ValueError where the row did not settle.
    """
    if not solution.settled[row]:
        raise ValueError("a row that did not settle has no sensitivities")
    one = network.take(np.array([row]))
    law = Law.of(one)
    flow, pressure = solution.flow[[row]], solution.pressure[[row]]
    conductance = law.conductance(flow, law.curves(flow)[1], law.covered(pressure))
    by_flow, by_pressure = _target(one, target)
    right = law.answer_transposed(conductance, by_flow) + by_pressure
    answer = Schur.of(one).solve(conductance, pinned(one), right, transposed=True)
    weights = law.asked_transposed(conductance, law.difference(answer) - by_flow)[0]
    slopes: Slopes = {}
    for found in (_of_parts(law, flow, weights), _of_joints(law, flow, weights), _of_levels(one, weights)):
        for key, slope in found:
            slopes[key] = slopes.get(key, 0.0) + slope
    for key, slope in _of_crests(law, pressure, weights):
        slopes[key] = slopes.get(key, 0.0) + slope
    return _ranked(one.rows[0], slopes)


def _target(network: Network, target: str) -> tuple[Floats, Floats]:
    """∂J/∂flow (1, edges) and ∂J/∂pressure (1, nodes)."""
    name, _, what = target.rpartition(".")
    row = network.rows[0]
    by_flow, by_pressure = np.zeros((1, len(network.edges))), np.zeros((1, len(network.nodes)))
    run = row.parts[name].run if name in row.parts else name
    if what == "flow" and run in row.runs:
        by_flow[0, network.edge_index[run]] = 1.0
    elif what == "total_pressure" and name in network.node_index:
        by_pressure[0, network.node_index[name]] = 1.0
    else:
        raise KeyError(f"'{target}' is neither the flow of a run or part nor the total_pressure at a joint")
    return by_flow, by_pressure


def _of_parts(law: Law, flow: Floats, weights: Floats) -> Iterator[tuple[tuple[str, str], float]]:
    for stack in law.inline:
        for field, slopes in _fields(stack, lambda each: part_terms(each, flow, law.water)[0]):
            yield from (
                ((name, field), float(s)) for name, s in zip(stack.names, slopes * weights[stack.edges[0]], strict=True)
            )


def _of_joints(law: Law, flow: Floats, weights: Floats) -> Iterator[tuple[tuple[str, str], float]]:
    row = law.network.rows[0]
    joints, borrowed = joints_of_ends(row), borrowed_bores(row)
    for stack in law.ends:
        for field, slopes in _fields(stack, lambda each: end_terms(each, flow, law.water)[0]):
            for name, slope in zip(stack.names, slopes * weights[stack.edges[0]], strict=True):
                yield (
                    borrowed.get(name, (joints[name], field)) if field == "bore" else (joints[name], field),
                    float(slope),
                )
    for stack in law.joints:
        for field, slopes in _fields(stack, lambda each: joint_terms(each, flow, law.water)[:, 0]):
            for name, slope in zip(stack.names, (slopes * weights[stack.edges]).sum(axis=0), strict=True):
                yield (name, field), float(slope)


def _fields(stack: Stack, terms: Callable[[Stack], Floats]) -> Iterator[tuple[str, Floats]]:
    """Each numeric field of a stack with the derivative of its terms by it, (slots,) or (paths, slots)."""
    for field, values in values_of(stack.record).items():
        if not isinstance(values, np.ndarray):
            continue
        step = np.where(values == 0, STEP, STEP * np.abs(values))
        ends = [terms(stack.with_field(field, values + sign * step)) for sign in (1.0, -1.0)]
        yield field, (ends[0] - ends[1]) / (2 * np.ravel(step))


def _of_levels(network: Network, weights: Floats) -> Iterator[tuple[tuple[str, str], float]]:
    """Openings act through the level that they hold."""
    row = network.rows[0]
    for name, place in row.places.items():
        if not isinstance(place.joint, Opening):
            continue
        node = network.node_index[name]
        weight = float(weights[network.target == node].sum() - weights[network.source == node].sum())
        for field, value in values_of(place.joint).items():
            if isinstance(value, float):
                step = STEP * abs(value) or STEP
                moved = [place.joint.model_copy(update={field: value + sign * step}) for sign in (1.0, -1.0)]
                ends = [float(opening_level(each, row.water)) for each in moved]
                yield (name, field), weight * (ends[0] - ends[1]) / (2 * step)


def _of_crests(law: Law, pressure: Floats, weights: Floats) -> Iterator[tuple[tuple[str, str], float]]:
    """A crest acts through its height, where only one side of it is covered."""
    source, target = law.covered(pressure)
    edges = law.network.crests
    for place, edge in enumerate(edges):
        if np.isfinite(law.crest[0, place]):
            name = law.network.edges[edge].partition(":")[0]
            side = float(source[0, place] - target[0, place])
            yield (name, "height"), float(weights[edge]) * side * float(law.water.density) * GRAVITY


def _ranked(row: Row, slopes: Slopes) -> tuple[Sensitivity, ...]:
    found = []
    for (name, field), slope in slopes.items():
        record: Any = (
            row.parts[name].component if name in row.parts else row.places[name].joint if name in row.places else None
        )
        spec = declared(type(record)).get(field) if record is not None else None
        if not isinstance(spec, Quantity) or spec.hidden or not slope or getattr(record, field) is None:
            continue
        value = float(getattr(record, field))
        gain = 0.1 * slope * (value or spec.worst or 0.0)
        found.append(Sensitivity(name, spec.alias or field, value, spec.kind, slope, gain))
    return tuple(sorted(found, key=lambda each: -abs(each.gain)))
