"""Random circuits have the answer that another method finds: flows around loops, the least content along each step."""

from __future__ import annotations

from collections.abc import Iterable

import numpy as np
import pytest

from netsolve.component import NO_FLOW
from tests.properties.balances import solved
from tests.properties.independent import flows
from tests.properties.random_circuits import random_circuit

COUNT = 25


def apart(seed: int) -> tuple[float, float] | None:
    """How far the two answers are apart, and the largest flow, m3/s; None where the other method finds no answer."""
    circuit = random_circuit(seed)
    network, solution = solved(circuit)
    (row,) = circuit.rows
    ours = np.array([solution.flow[0, network.edge_index[name]] for name in row.runs])
    try:
        theirs = flows(row)
    except ArithmeticError:
        return None
    far = np.abs(_counted(ours) - _counted(theirs)).max()
    return float(far), float(max(np.abs(ours).max(), NO_FLOW))


def _counted(flow: np.ndarray) -> np.ndarray:
    """The flows, none where they count as none."""
    return np.where(np.abs(flow) < NO_FLOW, 0.0, flow)


def compared(seeds: Iterable[int]) -> tuple[float, list[int], list[int]]:
    """The worst difference over the largest flow, the seeds that differ, and those that the other method cannot solve.

    Answers differ that are apart by more than 1e-6 of the largest flow.
    """
    found = {seed: apart(seed) for seed in seeds}
    known = {seed: pair for seed, pair in found.items() if pair is not None}
    differ = [seed for seed, (far, largest) in known.items() if far > 1e-6 * largest]
    return (
        max((far / largest for far, largest in known.values()), default=0.0),
        differ,
        [seed for seed in found if seed not in known],
    )


@pytest.mark.parametrize("first", range(0, COUNT, 5))
def test_the_answer_is_that_of_another_method(first: int):
    _, differ, unsolved = compared(range(first, first + 5))
    assert differ == []
    assert unsolved == []


def test_the_other_method_sees_another_curve(monkeypatch: pytest.MonkeyPatch):
    from netsolve.components.loss import Loss

    circuit = random_circuit(3)
    network, solution = solved(circuit)
    law = Loss.pressure_drop
    monkeypatch.setattr(Loss, "pressure_drop", lambda self, flow, water: 1.01 * law(self, flow, water))
    ours = np.array([solution.flow[0, network.edge_index[name]] for name in circuit.rows[0].runs])
    assert np.abs(ours - flows(circuit.rows[0])).max() > 1e-5 * np.abs(ours).max()


if __name__ == "__main__":
    print(compared(range(300)))
