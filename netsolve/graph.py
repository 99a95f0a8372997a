"""The circuit as a graph: pieces without an opening, runs that lead nowhere, open ports. The only door to networkx."""

from __future__ import annotations

from collections.abc import Collection, Iterator, Mapping
from itertools import pairwise

import networkx as nx

from netsolve.circuit import Circuit, Place, Row
from netsolve.component import NO_FLOW, Opening
from netsolve.problems import Problem
from netsolve.units import show


def check(circuit: Circuit) -> tuple[Problem, ...]:
    """Every problem of the circuit's shape, at its place."""
    row = circuit.as_found
    problems = [*_open_ports(row), *_dead_ends(row), *_self_loops(row)]
    problems += _islands(row, circuit.units)
    return tuple(problems)


def graph_of(row: Row) -> nx.MultiGraph[str]:
    """Joints as nodes, runs as edges keyed by their names; a blanked run is an edge too, since a change may open it."""
    graph: nx.MultiGraph[str] = nx.MultiGraph()
    graph.add_nodes_from(row.places)
    for name, run in row.runs.items():
        graph.add_edge(run.source.joint, run.target.joint, key=name)
    return graph


def way(links: Mapping[str, tuple[str, str]], start: str, goal: str) -> list[tuple[str, bool]] | None:
    """The fewest links, by name, that lead from one node to another, and whether each is gone along as it is written.

    None where none lead there.
    """
    graph: nx.MultiGraph[str] = nx.MultiGraph()
    graph.add_nodes_from((start, goal))
    graph.add_edges_from((one, other, name) for name, (one, other) in links.items())
    if not nx.has_path(graph, start, goal):
        return None
    steps = pairwise(nx.shortest_path(graph, start, goal))
    return [(name := min(graph[one][other]), links[name][0] == one) for one, other in steps]


def _used(row: Row) -> dict[str, list[str]]:
    """For each joint the ports at which runs end."""
    used: dict[str, list[str]] = {name: [] for name in row.places}
    for run in row.runs.values():
        for end in (run.source, run.target):
            used[end.joint].append(end.port)
    return used


def _open_ports(row: Row) -> Iterator[Problem]:
    for name, ports in _used(row).items():
        place = row.places[name]
        if not ports:
            help = f"lead a run from or to '{name}', or delete it"
            yield Problem("unused-joint", f"no run begins or ends at '{name}'", help, place.at)
            continue
        for port in place.joint.ports:
            if port not in ports:
                help = f"lead a run to '{name}.{port}', or plug it by leaving the {place.type} out"
                yield Problem("open-port", f"nothing is connected to port '{port}' of '{name}'", help, place.at)


def _dead_ends(row: Row) -> Iterator[Problem]:
    for name, ports in _used(row).items():
        place = row.places[name]
        if len(ports) == 1 and not place.joint.ports and not _ends_there(place):
            run = next(run for run in row.runs.values() if name in (run.source.joint, run.target.joint))
            message = f"run '{run.name}' leads nowhere: it is the only one at '{name}'"
            help = f"lead another run from '{name}', or end '{run.name}' at an opening such as a discharge"
            yield Problem("leads-nowhere", message, help, run.at, place.at)


def _ends_there(place: Place) -> bool:
    """Whether a single run makes sense at this joint: an opening, or one that feeds or draws."""
    return isinstance(place.joint, Opening) or place.joint.inflow() != 0


def _self_loops(row: Row) -> Iterator[Problem]:
    for run in row.runs.values():
        if run.source.joint == run.target.joint and row.places[run.source.joint].joint.ports:
            message = f"run '{run.name}' begins and ends at '{run.source.joint}'"
            yield Problem("self-loop", message, "lead one of its ends to another joint", run.at)


def _islands(row: Row, system: str) -> Iterator[Problem]:
    for piece in nx.connected_components(graph_of(row)):
        if any(isinstance(row.places[name].joint, Opening) for name in piece):
            continue
        runs = [run for run in row.runs.values() if run.source.joint in piece]
        if not runs:
            continue
        first = min(piece, key=list(row.places).index)
        left_over = _left_over(row, piece)
        if left_over is not None:
            yield Problem(
                "no-opening", no_way(*left_over, system), NO_WAY_HELP, row.places[left_over[0]].at, runs[0].at
            )
            continue
        message = f"nothing fixes the pressure of the piece with {_some(run.name for run in runs)}: it has no opening"
        help = "connect it to a sea_inlet, a discharge, an exhaust_injection or a tank"
        yield Problem("no-opening", message, help, runs[0].at, row.places[first].at)


def shut_in(row: Row) -> tuple[str, float] | None:
    """A joint whose fixed flow has nowhere to go or to come from, and what is left over there, m3/s; else None.

    Two metered flows in series that differ, or one before a blanked run: no pressures can answer to that.
    """
    graph = graph_of(row)
    for name, run in row.runs.items():
        if run.blanked:
            graph.remove_edge(run.source.joint, run.target.joint, key=name)
    for piece in nx.connected_components(graph):
        if not any(isinstance(row.places[name].joint, Opening) for name in piece):
            left_over = _left_over(row, piece)
            if left_over is not None:
                return left_over
    return None


NO_WAY_HELP = "connect it to an opening, or let what is fed in and what is drawn add up"


def no_way(joint: str, flow: float, system: str) -> str:
    """`20 L/min (5.28 gpm) is fed in at feed and has no way out`, for what `shut_in` finds."""
    amount = show(abs(flow), "flow", system=system, both=True)
    said, way = ("drawn", "in") if flow < 0 else ("fed in", "out")
    return f"{amount} is {said} at '{joint}' and has no way {way}"


def _left_over(row: Row, piece: Collection[str]) -> tuple[str, float] | None:
    """The joint of a piece without an opening that feeds or draws most, and what its piece has too much of, m3/s."""
    fixed = {name: float(row.places[name].joint.inflow()) for name in row.places if name in piece}
    total = sum(fixed.values())
    if abs(total) <= NO_FLOW:
        return None
    return max(fixed, key=lambda name: fixed[name] * total), total


def _some(names: Iterator[str]) -> str:
    listed = [f"'{name}'" for name in names]
    return ", ".join(listed[:3]) + (f" and {len(listed) - 3} more" if len(listed) > 3 else "")
