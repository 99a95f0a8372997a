"""The solution by name: what every run, joint and part of a row gets, and what each takes of the pressure."""

from __future__ import annotations

from collections.abc import Mapping
from dataclasses import dataclass, replace
from functools import partial
from itertools import chain

import numpy as np

from netsolve.arrays.openings import bore_at, still_pressure
from netsolve.arrays.stack import Floats
from netsolve.assemble import Network, node_of
from netsolve.circuit import Circuit, End, Row, Run
from netsolve.component import NO_FLOW, Crest, Opening
from netsolve.graph import shut_in
from netsolve.heat.heat import Heat
from netsolve.reading.heights import part_levels
from netsolve.result import JointResult, PartResult, PortResult, Result, RowResult, Rows, RunResult, Take, Unsettled
from netsolve.sensitivity import sensitivities
from netsolve.solver import Solution
from netsolve.solving.curves import end_terms, part_terms
from netsolve.water import GRAVITY


def answer(circuit: Circuit, network: Network, solution: Solution, heat: Heat | None) -> Result:
    """The result of a circuit, each row put together when it is looked at; `heat` is that of the rows."""
    flow = np.where(np.abs(solution.flow) < NO_FLOW, 0.0, solution.flow)
    terms = taken(network, solution.flow)
    rows = Rows(len(network.rows), lambda row: _Row(network, solution, flow, terms, heat, row).result())
    return Result(circuit, rows, network.rows, partial(sensitivities, network, solution))


def taken(network: Network, flow: Floats) -> Mapping[str, Floats]:
    """What each part and each end of a run takes along its run, Pa, by name: (rows,)."""
    terms: dict[str, Floats] = {}
    for stack, amounts in (
        *((stack, part_terms(stack, flow, network.water)) for stack in network.inline),
        *((stack, end_terms(stack, flow, network.water)) for stack in network.ends),
    ):
        for name, column in zip(stack.names, amounts.T, strict=True):
            terms[name] = terms.get(name, 0.0) + column
    return terms


@dataclass(frozen=True)
class _Row:
    """One row of a solution, read by name."""

    network: Network
    solution: Solution
    flow: Floats
    terms: Mapping[str, Floats]
    heat: Heat | None
    index: int

    @property
    def row(self) -> Row:
        return self.network.rows[self.index]

    def result(self) -> RowResult:
        """The row's record; without runs, joints or parts where it did not settle."""
        solution, index = self.solution, self.index
        settled = bool(solution.settled[index])
        runs = {name: self._run(run) for name, run in self.row.runs.items()} if settled else {}
        parts = (
            {part.name: part for run in self.row.runs.values() for part in self._parts(run, runs)} if settled else {}
        )
        return RowResult(
            condition=self.row.condition,
            change=self.row.change,
            settled=settled,
            iterations=int(solution.iterations[index]),
            mass_imbalance=float(solution.mass[index]),
            energy_imbalance=float(solution.imbalance[index]),
            runs=runs,
            joints={name: self._joint(name) for name in self.row.places} if settled else {},
            parts={name: parts[name] for name in self.row.parts} if settled else {},
            unsettled=None if settled else self._unsettled(),
            water_density=self._density,
            oils=self._heat.of_oils(self.index) if settled and self._heat else {},
        )

    @property
    def _heat(self) -> Heat | None:
        """The heat of the rows, where this one has any."""
        return self.heat if self.heat is not None and self.heat.stated.warm[self.index] else None

    def _unsettled(self) -> Unsettled:
        worst = self.network.edges[int(self.solution.worst[self.index])]
        joint, flow = shut_in(self.row) or (None, 0.0)
        return Unsettled(worst, float(self.solution.imbalance[self.index]), joint, flow)

    @property
    def _density(self) -> float:
        return float(self.row.water.density)

    def _term(self, name: str) -> float:
        return float(self.terms[name][self.index]) if name in self.terms else 0.0

    def _at_node(self, node: str) -> float:
        """Total pressure + ρ g z at a node, Pa."""
        return float(self.solution.pressure[self.index, self.network.node_index[node]])

    def _run_flow(self, name: str) -> float:
        return float(self.flow[self.index, self.network.edge_index[name]])

    def _run(self, run: Run) -> RunResult:
        bare = RunResult(run.name, self._told(run.source), self._told(run.target), run.parts)
        if run.blanked:
            return bare
        lowest = min(self._lows(run), default=(None, None))
        takes = self._takes(run)
        return replace(
            bare,
            flow=self._run_flow(run.name),
            drive=sum(take.pressure for take in takes),
            lift=self._lift(run),
            lowest_pressure=lowest[0],
            lowest_at=lowest[1],
            takes=takes,
        )

    def _told(self, end: End) -> str:
        """The end of a run as people say it: the port only where the joint has several."""
        return str(end) if len(self.row.places[end.joint].joint.ports) > 1 else end.joint

    def _lift(self, run: Run) -> float:
        """What it takes to raise the water from the one end to the other, Pa; the sea outside bears its share."""
        heights = [self.row.places[end.joint].height or 0.0 for end in (run.source, run.target)]
        lift = self._density * GRAVITY * (heights[1] - heights[0])
        return lift + self._beyond(run.target.joint, sea=True) - self._beyond(run.source.joint, sea=True)

    def _beyond(self, joint: str, *, sea: bool) -> float:
        """The still pressure of an opening: of one under water where `sea`, of any other where not."""
        place = self.row.places[joint]
        if not isinstance(place.joint, Opening):
            return 0.0
        under_water = (place.height or 0.0) < 0 and not place.joint.one_way()
        return still_pressure(place.joint, self.row.water) if under_water == sea else 0.0

    def _takes(self, run: Run) -> tuple[Take, ...]:
        """Everything that takes pressure along the run in the direction of its flow, the parts first."""
        against = self._run_flow(run.name) < 0
        back, front = self._beyond(run.target.joint, sea=False), self._beyond(run.source.joint, sea=False)
        amounts = [
            *((name, self._term(name)) for name in run.parts if self.row.parts[name].fitted),
            ("exit" if against else "entrance", self._term(f"{run.name}.from")),
            ("entrance" if against else "exit", self._term(f"{run.name}.to")),
            ("lift", self._lift(run)),
            ("back pressure", back - front),
        ]
        taken = [(name, -amount if against else amount) for name, amount in amounts]
        total = sum(amount for _, amount in taken if amount > 0)
        return tuple(
            Take(name, amount, amount / total) for name, amount in taken if amount > 1e-9 * total and amount > 0
        )

    def _places(self, run: Run) -> list[tuple[str, float, float, float, float, float]]:
        """For each fitted part: name, total + ρ g z at inlet and outlet, heights of inlet, outlet and top."""
        level = self._at_node(node_of(self.row, run.source)) - self._term(f"{run.name}.from")
        places = []
        fitted = [name for name in run.parts if self.row.parts[name].fitted]
        for name, (low, high, top) in zip(fitted, part_levels(self.row, run), strict=True):
            after = level - self._term(name)
            places.append((name, level, after, low, high, top))
            level = after
        return places

    def _lows(self, run: Run) -> list[tuple[float, str]]:
        """The static pressure at every inlet, outlet and top of the run's parts, with the part's name."""
        lows = []
        for name, before, after, low, high, top in self._places(run):
            bores = self._bore(run, name, outlet=False), self._bore(run, name, outlet=True)
            spots = ((before, low, bores[0]), (after, high, bores[1]), (after, top, bores[1]))
            lows += [(static, name) for each in spots if (static := self._static(run, *each)) is not None]
        return lows

    def _parts(self, run: Run, runs: Mapping[str, RunResult]) -> list[PartResult]:
        places = {} if run.blanked else {place[0]: place for place in self._places(run)}
        shares = {take.name: take.share for take in runs[run.name].takes}
        return [self._part(run, name, places.get(name), shares.get(name)) for name in run.parts]

    def _part(
        self, run: Run, name: str, place: tuple[str, float, float, float, float, float] | None, share: float | None
    ) -> PartResult:
        part = self.row.parts[name]
        if place is None:
            return PartResult(name, part.type, run.name, part.fitted, min_flow=part.min_flow, max_flow=part.max_flow)
        _, before, after, low, high, _ = place
        flow, drop = self._run_flow(run.name), before - after
        bore = getattr(part.component, part.component.velocity_bore, None) if part.component.velocity_bore else None
        return PartResult(
            name=name,
            type=part.type,
            run=run.name,
            fitted=True,
            height=(low + high) / 2,
            flow=flow,
            pressure_drop=drop,
            share=share,
            inlet_pressure=self._static(run, before, low, self._bore(run, name, outlet=False)),
            outlet_pressure=self._static(run, after, high, self._bore(run, name, outlet=True)),
            velocity=_velocity(flow, bore),
            status=part.component.status(flow, drop),
            min_flow=part.min_flow,
            max_flow=part.max_flow,
            **(self._heat.of_part(self.index, name) if self._heat else {}),
        )

    def _static(self, run: Run, level: float, height: float, bore: float | None) -> float | None:
        """Static gauge pressure at a place; None where no water stands: above the column of a run without flow."""
        flow = self._run_flow(run.name)
        total = level - self._density * GRAVITY * height
        if total < 0 and (self._part_full(run) or (flow == 0 and self._ends_in_air(run))):
            return None
        speed = _velocity(flow, bore) or 0.0
        return total - self._density * speed**2 / 2

    def _part_full(self, run: Run) -> bool:
        """Whether the run is the down leg of a loop that lets air in."""
        ends = (run.source, run.target)
        return any(self._crest_status(end.joint) == "venting" and self._below_crest(end) for end in ends)

    def _below_crest(self, end: End) -> bool:
        place = self.row.places[end.joint]
        level = self._at_node(node_of(self.row, end)) - self._density * GRAVITY * (place.height or 0.0)
        return level < 0

    def _crest_status(self, name: str) -> str | None:
        """The word for the state of a crest, None for any other joint."""
        place = self.row.places[name]
        if not isinstance(place.joint, Crest):
            return None
        lift = self._density * GRAVITY * (place.height or 0.0)
        before, after = (self._at_node(f"{name}.{port}") - lift for port in place.joint.ports)
        return place.joint.status(max(before, after), min(before, after))

    def _ends_in_air(self, run: Run) -> bool:
        joints = (self.row.places[end.joint].joint for end in (run.source, run.target))
        return any(isinstance(joint, Opening) and bool(joint.one_way()) for joint in joints)

    def _bore(self, run: Run, name: str, *, outlet: bool) -> float | None:
        """The bore at a part's inlet or outlet, else that of the nearest fitted part with one, upstream first."""
        fitted = [each for each in run.parts if self.row.parts[each].fitted]
        place = fitted.index(name)
        own = bore_at(self.row, name, outlet=outlet)
        upstream = (bore_at(self.row, each, outlet=True) for each in fitted[:place][::-1])
        downstream = (bore_at(self.row, each, outlet=False) for each in fitted[place + 1 :])
        return next((bore for bore in chain((own,), upstream, downstream) if bore is not None), None)

    def _joint(self, name: str) -> JointResult:
        place = self.row.places[name]
        ports: dict[str, PortResult] = {}
        for run in self.row.runs.values():
            for end, sign, outlet in ((run.source, 1.0, False), (run.target, -1.0, True)):
                if end.joint == name and not run.blanked:
                    ports[end.port] = self._port(run, node_of(self.row, end), place.height, sign, outlet=outlet)
        warmth = self._heat.of_joint(self.index, name) if self._heat else {}
        return JointResult(name, place.type, place.height, self._crest_status(name), ports, **warmth)

    def _port(self, run: Run, node: str, height: float | None, sign: float, *, outlet: bool) -> PortResult:
        loss = self._term(f"{run.name}.{'to' if outlet else 'from'}")
        level = self._at_node(node) + loss if outlet else self._at_node(node) - loss
        total = level - self._density * GRAVITY * (height or 0.0)
        bore = self._port_bore(run, outlet=outlet)
        flow = self._run_flow(run.name)
        speed = _velocity(flow, bore)
        static = total - self._density * (speed or 0.0) ** 2 / 2
        return PortResult(sign * flow + 0.0, static, total)

    def _port_bore(self, run: Run, *, outlet: bool) -> float | None:
        """The bore where a run ends: an opening's own, else that of the nearest fitted part with one."""
        joint = self.row.places[(run.target if outlet else run.source).joint].joint
        own = getattr(joint, "bore", None) if isinstance(joint, Opening) else None
        names = [name for name in run.parts if self.row.parts[name].fitted]
        inside = (bore_at(self.row, name, outlet=outlet) for name in (names[::-1] if outlet else names))
        return next((bore for bore in (own, *inside) if bore is not None), None)


def _velocity(flow: float, bore: float | None) -> float | None:
    return None if bore is None else abs(flow) / (np.pi / 4 * bore**2)
