"""The Schur complement over the nodes: the linear system of a step, dense for many rows, sparse for many nodes."""

from __future__ import annotations

from dataclasses import dataclass, replace
from functools import cached_property
from typing import TYPE_CHECKING

import numpy as np

from netsolve.arrays.stack import Floats, Ints, some_columns, some_rows
from netsolve.assemble import Network
from netsolve.solving.law import Conductance, couplings, node_sums

if TYPE_CHECKING:
    from scipy.sparse.linalg import SuperLU

MOST_DENSE_NODES = 80
MOST_ELIMINATED = 12
"""Nodes up to which elimination over all rows at once is faster than a call for each row."""


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

    @property
    def sparse(self) -> bool:
        """Whether the systems are solved one after the other, each dear, rather than all rows at once."""
        return len(self.free) > MOST_DENSE_NODES

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
        chosen = replace(self, row=self.column, column=self.row) if transposed else self
        solve = chosen._sparse if self.sparse else chosen._dense
        result = np.zeros(right.shape, order="F")
        asked, free = some_columns(right, self.free), some_columns(pins, self.free)
        if np.count_nonzero(free):
            asked = np.where(free, 0.0, asked)
        result[:, self.free] = solve(weights, free, asked)
        return result

    def _matrices(self, weights: Floats) -> Floats:
        """S of every row, (nodes, nodes, rows)."""
        size, rows = len(self.free), len(weights)
        if rows == 1:
            values = self.sign * weights[0, self.weight]
            only = np.bincount(self.row * size + self.column, values, size * size)
            return only.astype(float).reshape(size, size, 1)
        matrix = np.zeros((size, size, rows))
        for i, j, weight, sign in zip(self.row, self.column, self.weight, self.sign, strict=True):
            (np.add if sign > 0 else np.subtract)(matrix[i, j], weights[:, weight], out=matrix[i, j])
        return matrix

    def _dense(self, weights: Floats, pins: np.ndarray, right: Floats) -> Floats:
        rows, size = right.shape
        matrix = self._matrices(weights)
        for node in np.flatnonzero(pins.any(axis=0)) if np.count_nonzero(pins) else ():
            matrix[node][:, pins[:, node]] = 0.0
            matrix[:, node][:, pins[:, node]] = 0.0
            matrix[node, node, pins[:, node]] = 1.0
        if size <= MOST_ELIMINATED and rows > 1:
            solved = np.asarray(eliminated(matrix.copy(), right.T.copy()).T, dtype=float)
            if np.isfinite(solved).all():
                return solved
        return _solved(matrix.transpose(2, 0, 1), right)

    @cached_property
    def _pattern(self) -> _Pattern:
        return _Pattern.of(self.row, self.column, len(self.free))

    def _sparse(self, weights: Floats, pins: np.ndarray, right: Floats) -> Floats:
        """Row by row. The order of least degree is found by the first factorisation and kept for all others."""
        values, solved = self.sign * weights[:, self.weight], np.full_like(right, np.nan)
        for row in range(len(right)):
            if pins[row].any():
                values[row] *= ~(pins[row][self.row] | pins[row][self.column])
            pattern = self._pattern
            try:
                factors = pattern.factors(values[row], pins[row])
            except RuntimeError:  # as _solved: exactly singular
                continue
            if pattern.order is None:
                solved[row] = factors.solve(right[row])
                order = np.argsort(factors.perm_c)
                self.__dict__["_pattern"] = _Pattern.of(self.row, self.column, len(order), order)
            else:
                solved[row, pattern.order] = factors.solve(right[row, pattern.order])
        return solved


@dataclass(frozen=True)
class _Pattern:
    """Where the entries of a sparse matrix stand, compressed by columns.

    `entry` is the entry that each term is added to, `diagonal` that of each node. The nodes are eliminated in this
    `order`, None where it is still to be found.
    """

    entry: Ints
    diagonal: Ints
    indices: Ints
    starts: Ints
    order: Ints | None

    @classmethod
    def of(cls, row: Ints, column: Ints, size: int, order: Ints | None = None) -> _Pattern:
        """The pattern of terms at these rows and columns, and of the diagonal."""
        place = np.arange(size)
        if order is not None:
            place[order] = np.arange(size)
        terms = np.concatenate([place[column] * size + place[row], place * (size + 1)])
        stored, entry = np.unique(terms, return_inverse=True)
        starts = np.searchsorted(stored, np.arange(size + 1) * size)
        return cls(entry[: len(row)], entry[len(row) :], stored % size, starts, order)

    def factors(self, values: Floats, pins: np.ndarray) -> SuperLU:
        """The factors with these values of the terms; RuntimeError where the matrix is singular."""
        from scipy.sparse import csc_array
        from scipy.sparse.linalg import splu

        size, data = len(pins), np.bincount(self.entry, values, len(self.indices))
        data[self.diagonal[pins]] = 1.0
        return splu(
            csc_array((data, self.indices, self.starts), shape=(size, size)),
            permc_spec="MMD_AT_PLUS_A" if self.order is None else "NATURAL",
            options={"SymmetricMode": True},
        )


def pinned(network: Network) -> np.ndarray:
    """(rows, nodes) True at one node of every piece that no opening reaches: its pressure is kept as it is."""
    patterns, which = network.carries[:1], np.zeros(network.count, dtype=np.intp)
    if not (network.carries == patterns).all():
        patterns, which = np.unique(network.carries, axis=0, return_inverse=True)
    pins = np.zeros((len(patterns), len(network.nodes)), dtype=bool)
    for number, carries in enumerate(patterns):
        piece = _pieces(network.source[carries], network.target[carries], len(network.nodes))
        open_ = np.isin(piece, piece[network.fixed])
        closed, first = np.unique(np.where(open_, -1, piece), return_index=True)
        pins[number, first[closed >= 0]] = True
    return some_rows(pins, which.ravel())


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


def _solved(matrices: Floats, right: Floats) -> Floats:
    """The solution of each row's system, nan where it is singular: a row that has gone astray stops no other."""
    try:
        if len(matrices) == 1:  # by far quicker so than as a stack of one
            return np.linalg.solve(matrices[0], right[0])[None]
        return np.asarray(np.linalg.solve(matrices, right[..., None])[..., 0], dtype=float)
    except np.linalg.LinAlgError:
        if len(matrices) == 1:
            return np.full_like(right, np.nan)
    return np.concatenate([_solved(matrices[row : row + 1], right[row : row + 1]) for row in range(len(matrices))])


def eliminated(matrix: Floats, right: Floats) -> Floats:
    """The solution (size, rows) of systems (size, size, rows) and (size, rows), all rows at once; both are used up.

    Gaussian elimination without pivoting, which a Schur complement of rising curves does not need: its diagonal is the
    sum of what stands beside it (Golub & Van Loan 2013, Matrix Computations, 3.4.10). Not finite where it fails.
    """
    size = len(right)
    with np.errstate(divide="ignore", invalid="ignore", over="ignore"):
        for pivot in range(size):
            for below in range(pivot + 1, size):
                factor = matrix[below, pivot] / matrix[pivot, pivot]
                matrix[below, pivot + 1 :] -= factor * matrix[pivot, pivot + 1 :]
                right[below] -= factor * right[pivot]
        for pivot in range(size - 1, -1, -1):
            for above in range(pivot + 1, size):
                right[pivot] -= matrix[pivot, above] * right[above]
            right[pivot] /= matrix[pivot, pivot]
    return right
