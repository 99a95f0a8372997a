"""Circuits solved apart from netsolve's solver: by flows around loops, with scipy.

The unknowns are the flows around the loops of a spanning tree, so that the mass balances hold by themselves; sought are
those at which the drops around every loop add up to nothing: the least content (Cherry 1951, Phil. Mag. 42, 1161),
which is one point because every curve rises. Newton's method
finds the way, with the lowest content along it, and now and then every loop is set right by itself (Cross 1936,
Univ. of Illinois Bulletin 286).
"""

from __future__ import annotations

from collections.abc import Callable

import networkx as nx
import numpy as np
from scipy.optimize import brentq

from netsolve.circuit import Row, Run
from netsolve.component import LEAK, Opening
from netsolve.water import GRAVITY

GROUND = "ground"
MOST_TURNS = 200
STUB = 100.0  # Pa s/m3, along every run
SEAT = 1e3  # Pa s/m3, for water that leaves into air

Curve = Callable[[float], float]


def flows(row: Row) -> np.ndarray:
    """The flow of every run of a circuit of runs between manifolds, feeds, tanks and the sea, m3/s."""
    runs = [run for run in row.runs.values() if not run.blanked]
    found = dict(zip((run.name for run in runs), _open_flows(row, runs), strict=True))
    return np.array([found.get(name, 0.0) for name in row.runs])


def _open_flows(row: Row, runs: list[Run]) -> np.ndarray:
    levels = {name: _level(row, name) for name in row.places}
    ends = [tuple(GROUND if levels[end.joint] is not None else end.joint for end in (r.source, r.target)) for r in runs]
    driven = np.array([(levels[r.source.joint] or 0.0) - (levels[r.target.joint] or 0.0) for r in runs])
    base, loops = _loops(row, ends)
    if not loops.shape[1]:
        return base
    laws = [_law(row, run, drive) for run, drive in zip(runs, driven, strict=True)]
    return _least(laws, base, loops)


def _least(laws: list[Curve], base: np.ndarray, loops: np.ndarray) -> np.ndarray:
    """The flows of the least content. ArithmeticError where they are not found."""

    def drops(flow: np.ndarray) -> np.ndarray:
        return np.array([law(each) for law, each in zip(laws, flow, strict=True)])

    flow = base.copy()
    for turn in range(MOST_TURNS):
        left = loops.T @ drops(flow)
        nudge = 1e-7 * np.abs(flow) + 1e-15
        slope = np.maximum((drops(flow + nudge) - drops(flow - nudge)) / (2 * nudge), STUB)  # rounding may say 0
        hessian = loops.T @ (slope[:, None] * loops)
        scale = 1.0 / np.sqrt(np.diag(hessian))
        way = loops @ (scale * np.linalg.lstsq(hessian * np.outer(scale, scale), -scale * left, rcond=1e-15)[0])
        if np.abs(way).max() <= 1e-9 * np.abs(flow).max():
            return flow + way
        flow = flow + _lowest(_along(laws, flow, way)) * way
        for loop in loops.T if turn % 4 == 1 else ():
            flow = flow + _lowest(_along(laws, flow, loop), first=1e-6) * loop
    raise ArithmeticError("no answer by loops")


def _along(laws: list[Curve], flow: np.ndarray, way: np.ndarray) -> Curve:
    """The slope of the content as the flows change along a way."""
    on = np.flatnonzero(way)
    return lambda amount: float(sum(way[e] * laws[e](flow[e] + amount * way[e]) for e in on))


def _law(row: Row, run: Run, drive: float) -> Curve:
    """What a run loses less what drives it, Pa, by its flow: parts, ends, seats of ends in air, stub."""
    parts = [part for part in map(row.parts.__getitem__, run.parts) if part.fitted]
    ends = [(sign, row.places[end.joint].joint) for sign, end in ((1.0, run.source), (-1.0, run.target))]
    in_air = [sign for sign, joint in ends if isinstance(joint, Opening) and joint.one_way()]

    def left(flow: float) -> float:
        lost = STUB * flow - drive
        lost += sum(part.count * float(part.component.pressure_drop(flow, row.water)) for part in parts)
        lost += sum(sign * float(joint.end_loss(np.float64(sign * flow), row.water)) for sign, joint in ends)
        return lost + sum((SEAT if sign * flow < 0 else LEAK) * flow for sign in in_air)

    return left


def _lowest(slope: Curve, first: float = 1.0) -> float:
    """Where a rising slope passes zero, from 0 on either side."""
    start = slope(0.0)
    if start == 0.0:
        return 0.0
    far = first if start < 0 else -first
    while slope(far) * start > 0:
        far *= 4.0
        if abs(far) > 1e12:
            return 0.0
    return float(brentq(slope, 0.0, far, xtol=1e-18, rtol=1e-12))


def _level(row: Row, name: str) -> float | None:
    """Total pressure + rho g z that an opening holds while nothing flows, Pa; None at another joint."""
    joint = row.places[name].joint
    if not isinstance(joint, Opening):
        return None
    still = float(joint.pressure(np.float64(0.0), row.water))
    return still + float(row.water.density) * GRAVITY * float(getattr(joint, joint.datum))


def _loops(row: Row, ends: list[tuple[str, ...]]) -> tuple[np.ndarray, np.ndarray]:
    """Flows that carry what is fed in to the openings (runs,), and the loops (runs, loops), 1 along each run."""
    graph = nx.MultiGraph()
    graph.add_nodes_from([GROUND, *(name for pair in ends for name in pair)])
    graph.add_edges_from((*pair, place) for place, pair in enumerate(ends))
    tree = nx.Graph()
    tree.add_nodes_from(graph)
    chords = []
    for place, (start, stop) in enumerate(ends):
        if start == stop or nx.has_path(tree, start, stop):
            chords.append(place)
        else:
            tree.add_edge(start, stop, place=place)

    def along(start: str, stop: str) -> np.ndarray:
        vector = np.zeros(len(ends))
        for here, there in nx.utils.pairwise(nx.shortest_path(tree, start, stop)):
            place = tree.edges[here, there]["place"]
            vector[place] = 1.0 if ends[place] == (here, there) else -1.0
        return vector

    base = np.zeros(len(ends))
    for name, place in row.places.items():
        fed = float(place.joint.inflow())
        if fed:
            base += fed * along(name, GROUND)
    loops = [along(ends[chord][1], ends[chord][0]) for chord in chords]
    for chord, loop in zip(chords, loops, strict=True):
        loop[chord] = 1.0
    return base, np.array(loops).T.reshape(len(ends), len(chords))
