"""Random circuits, odder than anyone would build: what the solver must settle and agree upon."""

from __future__ import annotations

import networkx as nx
import numpy as np

from netsolve.circuit import AS_FOUND, AS_WRITTEN, Circuit, End, Part, Place, Row, Run
from netsolve.component import Component, Joint, Opening
from netsolve.components.centrifugal_pump import CentrifugalPump
from netsolve.components.check_valve import CheckValve
from netsolve.components.discharge import Discharge
from netsolve.components.exhaust_injection import ExhaustInjection
from netsolve.components.fixed_flow import FixedFlow
from netsolve.components.hose import Hose
from netsolve.components.impeller_pump import ImpellerPump
from netsolve.components.loss import Loss
from netsolve.components.manifold import Manifold
from netsolve.components.rated_loss import RatedLoss
from netsolve.components.sea_inlet import SeaInlet
from netsolve.components.seacock import Seacock
from netsolve.components.tank import Tank
from netsolve.components.tee import Tee
from netsolve.components.vented_loop import VentedLoop
from netsolve.water import Water, sea_water

WATER: Water = sea_water(288.15, 35.0)


def random_circuit(seed: int, *, tees: bool = False) -> Circuit:
    """A circuit of 3 to 60 runs; with `tees` also tees, vented loops, openings in air and blanked runs."""
    draw = np.random.default_rng(seed)
    count = int(draw.integers(3, 61))
    joints = max(2, int(count * draw.uniform(0.4, 0.95)))
    ends = _ends(draw, joints, count)
    places, ports = _places(draw, joints, ends, tees)
    parts: dict[str, Part] = {}
    runs: dict[str, Run] = {}
    for number, ((start, stop), (source, target)) in enumerate(zip(ends, ports, strict=True)):
        name = f"run {number}"
        made = _parts(draw, name)
        parts |= {part.name: part for part in made}
        blanked = bool(tees and draw.random() < 0.05)
        runs[name] = Run(name, End(f"j{start}", source), End(f"j{stop}", target), tuple(p.name for p in made), blanked)
    _stop_hopeless_feeds(places, runs)
    row = Row(AS_WRITTEN, AS_FOUND, parts, places, runs, {}, WATER)
    return Circuit(f"random {seed}", (row,), (AS_WRITTEN,), (AS_FOUND,))


def _stop_hopeless_feeds(places: dict[str, Place], runs: dict[str, Run]) -> None:
    """A feed into a piece without an opening has no answer; such a joint becomes a plain one."""
    graph = nx.Graph((run.source.joint, run.target.joint) for run in runs.values() if not run.blanked)
    graph.add_nodes_from(places)
    for piece in nx.connected_components(graph):
        if not any(isinstance(places[name].joint, Opening) for name in piece):
            for name in piece:
                if isinstance(places[name].joint, FixedFlow):
                    places[name] = Place(name, "Manifold", Manifold(height=0.0), 0.0)


def _ends(draw: np.random.Generator, joints: int, count: int) -> list[tuple[int, int]]:
    """A random tree of the joints, then loops; now and then a piece hangs apart."""
    ends = []
    for joint in range(1, joints):
        if draw.random() < 0.05:
            continue
        other = int(draw.integers(max(0, joint - 6), joint))
        ends.append((other, joint) if draw.random() < 0.5 else (joint, other))
    while len(ends) < count:
        pair = draw.choice(joints, 2, replace=False)
        ends.append((int(pair[0]), int(pair[1])))
    return ends[:count]


def _places(
    draw: np.random.Generator, joints: int, ends: list[tuple[int, int]], tees: bool
) -> tuple[dict[str, Place], list[tuple[str, str]]]:
    degree = np.bincount(np.array(ends).ravel(), minlength=joints)
    places = {f"j{joint}": _place(draw, f"j{joint}", int(degree[joint]), tees) for joint in range(joints)}
    free = {name: list(place.joint.ports) for name, place in places.items()}
    ports = []
    for number, pair in enumerate(ends):
        taken = []
        for joint in pair:
            left = free[f"j{joint}"]
            taken.append(left.pop(int(draw.integers(len(left)))) if left else f"run {number}")
        ports.append((taken[0], taken[1]))
    return places, ports


def _place(draw: np.random.Generator, name: str, degree: int, tees: bool) -> Place:
    height = float(draw.uniform(-2, 3))
    joint: Joint
    if (degree == 1 and draw.random() < 0.6) or draw.random() < 0.08:
        joint = _opening(draw, height, degree, tees)
    elif tees and degree == 3 and draw.random() < 0.7:
        bore = float(10 ** draw.uniform(-2, -1.2))
        joint = Tee(bore=bore, branch_bore=bore * float(draw.uniform(0.3, 1)), angle=float(draw.uniform(0.8, 2.3)))
    elif tees and degree == 2 and draw.random() < 0.4:
        vent = str(draw.choice(["works", "works", "stuck shut"]))
        joint = VentedLoop(height=float(draw.uniform(0, 2)), vent=vent)
    elif draw.random() < 0.03:
        joint = FixedFlow(flow=float(draw.normal() * 1e-4), height=height)
    else:
        joint = Manifold(height=height)
    return Place(name, type(joint).__name__, joint, height)


def _opening(draw: np.random.Generator, height: float, degree: int, tees: bool) -> Joint:
    if tees and degree == 1 and draw.random() < 0.5:
        if draw.random() < 0.5:
            return Discharge(height=abs(height) + 0.01, bore=0.016)
        return ExhaustInjection(height=abs(height), bore=0.03, back_pressure=float(draw.uniform(0, 1e4)))
    if degree == 1 and draw.random() < 0.4:
        return SeaInlet(height=-abs(height) - 0.01, bore=float(draw.uniform(0.01, 0.05)))
    return Tank.model_validate({"level": height, "pressure": float(draw.uniform(-1e4, 3e4)), "bore": 0.02})


def _parts(draw: np.random.Generator, run: str) -> list[Part]:
    made = [_component(draw) for _ in range(int(draw.integers(1, 4)))]
    return [Part(f"{run} part {place}", type(each).__name__, run, each) for place, each in enumerate(made)]


def _component(draw: np.random.Generator) -> Component:
    bore = float(10 ** draw.uniform(np.log10(0.004), -1))
    chance = draw.random()
    if chance < 0.25:
        return CheckValve(
            style=str(draw.choice(["swing", "spring", "ball", "duckbill"])),
            bore=bore,
            cracking=float(10 ** draw.uniform(2, 4.3)),
            backwards=bool(draw.random() < 0.3),
        )
    if chance < 0.35:
        return _pump(draw)
    if chance < 0.38:
        return Seacock(bore=bore, shut=float(draw.choice([0.0, 0.5, 1.2, np.pi / 2])))
    if chance < 0.6:
        return Hose(bore=bore, length=float(10 ** draw.uniform(-1, 1.3)), bends=float(draw.integers(0, 4)))
    if chance < 0.7:
        return RatedLoss(drop=float(10 ** draw.uniform(2, 5)), at=float(10 ** draw.uniform(-4.5, -2.5)))
    return Loss(bore=bore, k=float(10 ** draw.uniform(-1, 4)))


def _pump(draw: np.random.Generator) -> Component:
    running = bool(draw.random() < 0.75)
    flow = float(10 ** draw.uniform(-4.3, -2.3))
    if draw.random() < 0.5:
        slip = float(10 ** draw.uniform(-6.5, -5.3))
        return ImpellerPump(
            rated_flow=flow, rated_speed=40.0, speed=float(draw.uniform(5, 40)), slip=slip, running=running
        )
    return CentrifugalPump(shutoff=float(10 ** draw.uniform(4, 5)), open_flow=flow, running=running)
