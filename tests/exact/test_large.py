"""Circuits of very many runs are solved row by row with sparse matrices: the answers are those of the dense ones."""

from __future__ import annotations

import numpy as np
import pytest

import netsolve
from netsolve.assemble import assemble
from netsolve.circuit import Row
from netsolve.sensitivity import sensitivities
from netsolve.solver import solve
from netsolve.solving import schur

SIDE = 10

HEAD = """format: 1
circuit: a grid of pipes on a harbour launch
water: {kind: sea, temperature: 14 degC, salinity: 34 g/kg}
"""


def grid() -> tuple[Row, ...]:
    """Rows of a grid of runs between two tanks: as found, and with one corner cut off from all the rest."""
    draw = np.random.default_rng(5)
    lines = [HEAD, "joints:", "  high: {type: tank, level: 3 m}", "  low: {type: tank, level: 0 m}"]
    lines += [f"  j{x} {y}: {{type: manifold, height: 0 m}}" for x in range(SIDE) for y in range(SIDE)]
    pairs = [(f"j{x} {y}", f"j{x + 1} {y}") for x in range(SIDE - 1) for y in range(SIDE)]
    pairs += [(f"j{x} {y}", f"j{x} {y + 1}") for x in range(SIDE) for y in range(SIDE - 1)]
    pairs += [("high", "j0 0"), (f"j{SIDE - 1} {SIDE - 1}", "low")]
    lines.append("runs:")
    for number, (start, stop) in enumerate(pairs):
        lines += [f"  r{number}:", f"    from: {start}", f"    to: {stop}", "    direction: either", "    parts:"]
        lines.append(
            f"      - p{number}: {{type: loss, bore: {draw.uniform(8, 30):.2f} mm, k: {draw.uniform(1, 40):.2f}}}"
        )
    corner = f"j0 {SIDE - 1}"
    apart = ", ".join(f"r{number}" for number, pair in enumerate(pairs) if corner in pair)
    lines += ["changes:", f"  corner cut off: {{blank: [{apart}]}}"]
    return netsolve.loads("\n".join(lines) + "\n").rows


def test_sparse_and_dense_agree(monkeypatch: pytest.MonkeyPatch) -> None:
    rows = grid()
    sparse = solve(assemble(rows))
    monkeypatch.setattr(schur, "MOST_DENSE_NODES", SIDE**2)
    dense = solve(assemble(rows))
    assert sparse.settled.all()
    assert dense.settled.all()
    scale = np.abs(dense.flow).max()
    assert 1e-5 < scale < 1e-2
    np.testing.assert_allclose(sparse.flow, dense.flow, rtol=0, atol=1e-8 * scale)
    assert np.abs(sparse.flow[0] - sparse.flow[1]).max() > 1e-4 * scale  # the rows differ


def test_each_row_is_solved_as_alone() -> None:
    rows = grid()
    together = solve(assemble(rows))
    for number, row in enumerate(rows):
        alone = solve(assemble([row]))
        np.testing.assert_allclose(together.flow[number], alone.flow[0], rtol=0, atol=1e-8 * np.abs(alone.flow).max())


def test_sensitivities_agree(monkeypatch: pytest.MonkeyPatch) -> None:
    network = assemble(grid()[:1])
    solution = solve(network)
    sparse = {(each.name, each.parameter): each.slope for each in sensitivities(network, solution, 0, "r7.flow")}
    monkeypatch.setattr(schur, "MOST_DENSE_NODES", SIDE**2)
    dense = {(each.name, each.parameter): each.slope for each in sensitivities(network, solution, 0, "r7.flow")}
    largest = max(map(abs, dense.values()))
    assert largest > 0
    assert sparse.keys() == dense.keys()
    assert all(abs(sparse[key] - slope) < 1e-9 * largest + 1e-6 * abs(slope) for key, slope in dense.items())
