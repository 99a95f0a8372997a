"""The Schur complement over the nodes: the linear system of a step, dense for many rows, sparse for many nodes."""

from __future__ import annotations

from dataclasses import dataclass, replace

import numpy as np

from netsolve.assemble import Network
from netsolve.law import Conductance, couplings, node_sums
from netsolve.stack import Floats, Ints

MOST_DENSE_NODES = 80


@dataclass(frozen=True)
class Schur:
    """The pattern of S = Aᵀ W A over the free nodes, W the conductances.

    Term k adds sign[k] W[weight[k]] at row[k], column[k], where W is laid out as: to the sources, to the targets,
    coupled. `position` is each node's place among the free ones.
    """

    free: Ints
    position: Ints
    row: Ints
    column: Ints
    weight: Ints
    sign: Floats

    @classmethod
    def of(cls, network: Network) -> Schur:
        """The pattern, the same for every row."""
        free = np.flatnonzero(~network.fixed)
        position = np.full(len(network.nodes), -1, dtype=np.intp)
        position[free] = np.arange(len(free))
        edges = np.arange(len(network.edges))
        pairs = [(edges, edges), *couplings(network)]
        first = np.concatenate([pair[0] for pair in pairs])
        second = np.concatenate([pair[1] for pair in pairs])
        count = len(edges)
        to_source = np.concatenate([edges, np.arange(2 * count, count + len(first))])
        to_target = np.concatenate([edges + count, np.arange(2 * count, count + len(first))])
        corners = [
            (ends[0][first], ends[1][second], sign)
            for ends, sign in (
                ((network.source, network.source), 1.0),
                ((network.source, network.target), -1.0),
                ((network.target, network.source), -1.0),
                ((network.target, network.target), 1.0),
            )
        ]
        weight = np.concatenate([to_source, to_target, to_source, to_target])
        row = position[np.concatenate([corner[0] for corner in corners])]
        column = position[np.concatenate([corner[1] for corner in corners])]
        sign = np.concatenate([np.full(len(first), corner[2]) for corner in corners])
        inside = (row >= 0) & (column >= 0)
        return cls(free, position, row[inside], column[inside], weight[inside], sign[inside])

    def rise(self, network: Network, conductance: Conductance, pins: np.ndarray, asked: Floats, mass: Floats) -> Floats:
        """Pressure increments (rows, nodes) from the flow that the energy asks for and the mass left over."""
        return self.solve(conductance, pins, node_sums(network, asked) - mass)

    def solve(self, conductance: Conductance, pins: np.ndarray, right: Floats, *, transposed: bool = False) -> Floats:
        """S⁻¹ times the right side, (rows, nodes), or its transpose's; 0 at openings and pins."""
        weights = np.concatenate([conductance.source, conductance.target, conductance.coupled], axis=1)
        values = self.sign * weights[:, self.weight]
        chosen = replace(self, row=self.column, column=self.row) if transposed else self
        solve = chosen._dense if len(self.free) <= MOST_DENSE_NODES else chosen._sparse
        result = np.zeros(right.shape)
        free = pins[:, self.free]
        result[:, self.free] = solve(values, free, np.where(free, 0.0, right[:, self.free]))
        return result

    def _dense(self, values: Floats, pins: np.ndarray, right: Floats) -> Floats:
        rows, size = right.shape
        if not size:
            return right
        flat = np.arange(rows)[:, None] * size**2 + self.row * size + self.column
        summed = np.bincount(flat.ravel(), values.ravel(), rows * size**2).astype(float)
        matrix = summed.reshape(rows, size, size)
        matrix[pins] = 0.0
        matrix.transpose(0, 2, 1)[pins] = 0.0
        matrix[:, np.arange(size), np.arange(size)] += pins
        solved: Floats = np.linalg.solve(matrix, right[..., None])[..., 0]
        return solved

    def _sparse(self, values: Floats, pins: np.ndarray, right: Floats) -> Floats:
        from scipy.sparse import coo_array
        from scipy.sparse.linalg import splu

        size = right.shape[1]
        solved = np.empty_like(right)
        for row in range(len(right)):
            pinned = np.flatnonzero(pins[row])
            kept = ~(pins[row][self.row] | pins[row][self.column])
            entries = np.concatenate([values[row][kept], np.ones(len(pinned))])
            at = [np.concatenate([index[kept], pinned]) for index in (self.row, self.column)]
            matrix = coo_array((entries, (at[0], at[1])), shape=(size, size)).tocsc()
            factors = splu(matrix, permc_spec="MMD_AT_PLUS_A", options={"SymmetricMode": True})
            solved[row] = factors.solve(right[row])
        return solved


def pinned(network: Network) -> np.ndarray:
    """(rows, nodes) True at one node of every piece that no opening reaches: its pressure is kept as it is."""
    patterns, which = np.unique(network.carries, axis=0, return_inverse=True)
    pins = np.zeros((len(patterns), len(network.nodes)), dtype=bool)
    for number, carries in enumerate(patterns):
        piece = _pieces(network.source[carries], network.target[carries], len(network.nodes))
        open_ = np.isin(piece, piece[network.fixed])
        closed, first = np.unique(np.where(open_, -1, piece), return_index=True)
        pins[number, first[closed >= 0]] = True
    return pins[which.ravel()]


def _pieces(source: Ints, target: Ints, nodes: int) -> Ints:
    """The piece that each node belongs to, by number."""
    if nodes > MOST_DENSE_NODES:
        from scipy.sparse import coo_array
        from scipy.sparse.csgraph import connected_components

        graph = coo_array((np.ones(len(source)), (source, target)), shape=(nodes, nodes))
        return np.asarray(connected_components(graph, directed=False)[1], dtype=np.intp)
    lowest = np.arange(nodes, dtype=np.intp)
    for _ in range(nodes):
        lower = np.minimum(lowest[source], lowest[target])
        before = lowest.copy()
        np.minimum.at(lowest, source, lower)
        np.minimum.at(lowest, target, lower)
        if (lowest == before).all():
            break
    return lowest
