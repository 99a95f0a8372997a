"""The balances of a solution, measured apart from the solver: from each component's own law, run by run."""

from __future__ import annotations

import numpy as np

from netsolve.assemble import Network, assemble
from netsolve.circuit import Circuit, Row
from netsolve.component import LEAK, Crest, Opening
from netsolve.solver import Solution, solve
from netsolve.water import GRAVITY

SEAT = 1e3
STUB = 100.0


def solved(circuit: Circuit) -> tuple[Network, Solution]:
    """The arrays of a circuit and their solution."""
    network = assemble(circuit.rows)
    return network, solve(network)


def mass_left(network: Network, solution: Solution, row: int = 0) -> float:
    """The largest mass imbalance at a node that is no opening, over the largest flow."""
    inflow = {name: float(place.joint.inflow()) for name, place in network.rows[row].places.items()}
    left = []
    for node, name in enumerate(network.nodes):
        if not network.fixed[node]:
            out = solution.flow[row, network.source == node].sum() - solution.flow[row, network.target == node].sum()
            left.append(abs(out - inflow.get(name, 0.0)))
    return max(left, default=0.0) / max(np.abs(solution.flow[row]).max(), 1e-9)


def unfit(network: Network, solution: Solution, row: int = 0) -> list[str]:
    """The edges that are settled neither by pressure nor by flow."""
    state = network.rows[row]
    scale = max(np.abs(solution.flow[row]).max(), 1e-9)
    wrong = []
    for edge, name in enumerate(network.edges):
        flow = solution.flow[row, edge]
        ends = [solution.pressure[row, node[edge]] for node in (network.source, network.target)]
        law = _run(state, name) if name in state.runs else _crest(state, name, ends)
        if law is None or (name in state.runs and state.runs[name].blanked):
            continue
        energy, largest = law(flow, ends)
        nudge = 1e-7 * abs(flow) + 1e-15
        slope = (law(flow + nudge, ends)[0] - law(flow - nudge, ends)[0]) / (2 * nudge)
        by_pressure = abs(energy) <= 2e-3 + 2e-7 * max(largest, abs(ends[0] - ends[1]))
        if not by_pressure and abs(energy) > 3e-9 * scale * slope:
            wrong.append(f"{name}: {energy:.3g} Pa at {flow:.3g} m3/s")
    return wrong


def _run(state: Row, name: str):
    run = state.runs[name]
    parts = [state.parts[each] for each in run.parts]

    def law(flow: float, ends: list[float]) -> tuple[float, float]:
        terms = [STUB * flow]
        terms += [part.count * float(part.component.pressure_drop(flow, state.water)) for part in parts if part.fitted]
        for end, sign in ((run.source, 1.0), (run.target, -1.0)):
            joint = state.places[end.joint].joint
            if not joint.paths:
                terms.append(sign * float(joint.end_loss(np.float64(sign * flow), state.water)))
                if isinstance(joint, Opening) and joint.one_way():
                    terms.append(SEAT * flow if -sign * flow > 0 else LEAK * flow)
        return sum(terms) - (ends[0] - ends[1]), max(map(abs, terms))

    return law


def _crest(state: Row, name: str, ends: list[float]):
    joint = state.places[name.partition(":")[0]]
    if not isinstance(joint.joint, Crest):
        return None
    top = float(state.water.density) * GRAVITY * (joint.height or 0.0)

    def law(flow: float, ends: list[float]) -> tuple[float, float]:
        over = [max(end - top, 0.0) for end in ends] if joint.joint.breaks() else ends
        return 1e3 * flow - (over[0] - over[1]), abs(ends[0] - ends[1])

    return law
