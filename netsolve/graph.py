"""The circuit as a graph: pieces without an opening, runs that lead nowhere, open ports. The only door to networkx."""

from __future__ import annotations

from collections.abc import Iterator

import networkx as nx

from netsolve.circuit import Circuit, Place, Row
from netsolve.component import Opening
from netsolve.problems import Problem


def check(circuit: Circuit) -> tuple[Problem, ...]:
    """Every problem of the circuit's shape, at its place."""
    row = circuit.as_found
    problems = [*_open_ports(row), *_dead_ends(row), *_self_loops(row)]
    problems += _islands(row)
    return tuple(problems)


def graph_of(row: Row) -> nx.MultiGraph[str]:
    """Joints as nodes, runs as edges keyed by their names; a blanked run is an edge too, since a change may open it."""
    graph: nx.MultiGraph[str] = nx.MultiGraph()
    graph.add_nodes_from(row.places)
    for name, run in row.runs.items():
        graph.add_edge(run.source.joint, run.target.joint, key=name)
    return graph


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


def _islands(row: Row) -> Iterator[Problem]:
    for piece in nx.connected_components(graph_of(row)):
        if any(isinstance(row.places[name].joint, Opening) for name in piece):
            continue
        runs = [run for run in row.runs.values() if run.source.joint in piece]
        if not runs:
            continue
        first = min(piece, key=list(row.places).index)
        message = f"nothing fixes the pressure of the piece with {_some(run.name for run in runs)}: it has no opening"
        help = "connect it to a sea_inlet, a discharge, an exhaust_injection or a tank"
        yield Problem("no-opening", message, help, runs[0].at, row.places[first].at)


def _some(names: Iterator[str]) -> str:
    listed = [f"'{name}'" for name in names]
    return ", ".join(listed[:3]) + (f" and {len(listed) - 3} more" if len(listed) > 3 else "")
