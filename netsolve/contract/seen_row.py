"""A solved row as a rule sees it, and the ways that the water takes through it."""

from __future__ import annotations

from collections.abc import Callable, Iterable, Iterator, Mapping, Sequence
from dataclasses import dataclass
from functools import cached_property
from typing import NamedTuple

from netsolve.contract.seen import SeenJoint, SeenOil, SeenPart, SeenRun


class Walk(NamedTuple):
    """What a walk through the circuit has met: parts in the order met, and joints."""

    parts: tuple[SeenPart, ...]
    joints: tuple[str, ...]


Stop = Callable[[SeenPart], bool]
Stretch = tuple[SeenRun, Sequence[SeenPart]]
"""A run, and those of its parts that are passed, in the order in which they are."""


def _never(part: SeenPart) -> bool:
    return False


@dataclass(frozen=True)
class SeenRow:
    """One condition under one change, as rules see it; `runs` are those that are not blanked.

    `load` is the engines' highest share of their rated speed, None where none is known; `scales` whether salts come
    out of the water as it warms up.
    """

    condition: str
    change: str
    system: str
    runs: tuple[SeenRun, ...]
    blanked: tuple[SeenRun, ...]
    joints: tuple[SeenJoint, ...]
    density: float
    vapour_pressure: float
    load: float | None = None
    oils: tuple[SeenOil, ...] = ()
    scales: bool = True

    def parts(self, role: str | None = None) -> Iterator[SeenPart]:
        """Every fitted part, or those with a role."""
        return iter(self._by_role.get(role, ()))

    @cached_property
    def _by_role(self) -> Mapping[str | None, Sequence[SeenPart]]:
        found: dict[str | None, list[SeenPart]] = {None: []}
        for run in self.runs:
            for part in run.parts:
                found[None].append(part)
                for role in part.roles:
                    found.setdefault(role, []).append(part)
        return found

    @cached_property
    def openings(self) -> tuple[SeenJoint, ...]:
        """The joints where the circuit meets sea, air, gas or a free surface."""
        return tuple(joint for joint in self.joints if joint.opening)

    @cached_property
    def joint_of(self) -> Mapping[str, SeenJoint]:
        """The joints by name."""
        return {joint.name: joint for joint in self.joints}

    @cached_property
    def run_of(self) -> Mapping[str, SeenRun]:
        """The runs that are not blanked, by name."""
        return {run.name: run for run in self.runs}

    @cached_property
    def _ending(self) -> Mapping[str, Sequence[SeenRun]]:
        ends = ((end.joint, run) for run in self.runs for end in (run.start, run.stop))
        return _grouped(ends)

    def runs_at(self, joint: str) -> Sequence[SeenRun]:
        """The runs that end at a joint."""
        return self._ending.get(joint, ())

    def upstream(self, part: SeenPart, *, until: Stop = _never) -> tuple[SeenPart, ...]:
        """The parts that the water passes on its way to a part, the nearest first; nothing beyond one that stops it."""
        return self.way_to([part], until=until).parts

    def way_to(self, parts: Iterable[SeenPart], *, until: Stop = _never) -> Walk:
        """What the water passes on its way to some parts, back as far as the parts at which the walk shall stop."""
        runs = [(self.run_of[part.run], part) for part in parts]
        starts = [(run, run.along[: run.along.index(part)][::-1]) for run, part in runs]
        return self._back(starts, until)

    def way_into(self, joints: Iterable[SeenJoint], *, until: Stop = _never) -> Walk:
        """What the water passes on its way to some joints."""
        return self._back([(run, run.along[::-1]) for each in joints for run in self._entering(each.name)], until)

    def way_on(self, parts: Iterable[SeenPart], *, until: Stop = _never) -> Walk:
        """What the water passes beyond some parts."""
        runs = [(self.run_of[part.run], part) for part in parts]
        return self._on([(run, run.along[run.along.index(part) + 1 :]) for run, part in runs], until)

    def way_from(self, joints: Iterable[SeenJoint], *, until: Stop = _never) -> Walk:
        """What the water from some joints passes, as far as the parts at which the walk shall stop."""
        return self._on([(run, run.along) for each in joints for run in self._leaving(each.name)], until)

    def _entering(self, joint: str) -> Sequence[SeenRun]:
        return [run for run in self.runs_at(joint) if run.exit.joint == joint]

    def _leaving(self, joint: str) -> Sequence[SeenRun]:
        return [run for run in self.runs_at(joint) if run.entry.joint == joint]

    def _back(self, starts: Sequence[Stretch], until: Stop) -> Walk:
        return _walk(starts, lambda run: (run.entry.joint, self._entering), lambda run: run.along[::-1], until)

    def _on(self, starts: Sequence[Stretch], until: Stop) -> Walk:
        return _walk(starts, lambda run: (run.exit.joint, self._leaving), lambda run: run.along, until)

    def onward(self, run: SeenRun) -> SeenJoint:
        """The joint at which the water of a run first meets other water, a vent or an opening."""
        joint, known = self.joint_of[run.exit.joint], {run.name}
        while not joint.opening and not joint.vented:
            others = [each for each in self.runs_at(joint.name) if each.name not in known]
            if len(others) != 1 or others[0].entry.joint != joint.name:
                break
            known.add(others[0].name)
            joint = self.joint_of[others[0].exit.joint]
        return joint

    @cached_property
    def inlets(self) -> tuple[SeenJoint, ...]:
        """The openings that take in the sea."""
        return tuple(joint for joint in self.openings if "inlet" in joint.roles)

    @cached_property
    def unstrained(self) -> frozenset[str]:
        """The names of the parts that sea water reaches without having passed a strainer."""
        parts = self.way_from(self.inlets, until=lambda part: "strainer" in part.roles).parts
        return frozenset(part.name for part in parts)

    @cached_property
    def hull_openings(self) -> tuple[tuple[SeenJoint, tuple[SeenPart, ...]], ...]:
        """The openings through the hull, each with the parts of a run there, from the hull inwards.

        An open end below the waterline that leads into the air is inside the boat.
        """
        found = []
        for run in (*self.runs, *self.blanked):
            for end, parts in ((run.start, run.parts), (run.stop, run.parts[::-1])):
                joint = self.joint_of[end.joint]
                if {"inlet", "outlet"} & set(joint.roles) and not (joint.in_air and joint.height < 0):
                    found.append((joint, parts))
        return tuple(found)

    def level_before(self, part: SeenPart) -> float | None:
        """The height of the lowest water that a part draws from, m; None behind another pump, or where air is drawn."""
        before = self.way_to([part], until=_is_pump)
        ends = [self.joint_of[name] for name in before.joints]
        levels = [end.height if "surface" in end.roles else 0.0 for end in ends if end.opening and not end.in_air]
        return min(levels, default=None)

    @cached_property
    def suction(self) -> frozenset[str]:
        """The names of the parts between an opening and a pump, on its suction side, with no pump before them."""
        before = self.way_to(self.parts("pump"), until=_is_pump).parts
        after = {part.name for part in self.way_from(self.openings, until=_is_pump).parts}
        return frozenset(part.name for part in before if "pump" not in part.roles and part.name in after)

    def paths(self, first: str, last: str) -> Iterator[tuple[SeenRun, ...]]:
        """Every way from one joint to another that passes no joint twice, whichever way the water runs."""
        yield from self._paths(first, last, (), frozenset((first,)))

    def _paths(
        self, here: str, last: str, gone: tuple[SeenRun, ...], passed: frozenset[str]
    ) -> Iterator[tuple[SeenRun, ...]]:
        if here == last:
            yield gone
            return
        for run in self.runs_at(here):
            there = run.stop.joint if run.start.joint == here else run.start.joint
            if there not in passed:
                yield from self._paths(there, last, (*gone, run), passed | {there})

    def siphons(self, margin: float, *, past_check_valves: bool = True) -> Mapping[str, tuple[SeenRun, ...]]:
        """The places that the sea would run into by itself, by name, each with the runs of a shortest way.

        They are injection points lower than a margin (m) above the waterline, and open ends and tanks below it. A pump
        lets water pass, and a check valve does that sticks; a closed valve does not, nor a vented high point.
        """
        sea = [
            joint for joint in self.openings if joint.height < 0 and not joint.in_air and "surface" not in joint.roles
        ]

        def bars(part: SeenPart) -> bool:
            if "one_way" in part.roles:
                return not past_check_valves
            return "pump" not in part.roles and part.closed

        lowest = {joint.name: margin if "exhaust" in joint.roles else 0.0 for joint in self.openings}
        ways = self._spread(sea, bars)
        return {name: way for name, way in ways.items() if way and name in lowest and self._runs_in(name, lowest[name])}

    def _runs_in(self, name: str, lowest: float) -> bool:
        """Whether an opening is inside the boat and below a height."""
        joint = self.joint_of[name]
        return (joint.in_air or "surface" in joint.roles) and joint.height < lowest

    def _spread(self, joints: Iterable[SeenJoint], bars: Stop) -> Mapping[str, tuple[SeenRun, ...]]:
        """What water from some joints could reach, running either way, each with the runs of a shortest way."""
        ways: dict[str, tuple[SeenRun, ...]] = {joint.name: () for joint in joints}
        front = list(ways)
        while front:
            here = front.pop(0)
            if ways[here] and (self.joint_of[here].opening or self.joint_of[here].vented):
                continue
            for run in self.runs_at(here):
                there = run.stop.joint if run.start.joint == here else run.start.joint
                if there not in ways and not any(bars(part) for part in run.parts):
                    ways[there] = (*ways[here], run)
                    front.append(there)
        return ways


def _walk(
    starts: Sequence[Stretch],
    end: Callable[[SeenRun], tuple[str, Callable[[str], Sequence[SeenRun]]]],
    parts_of: Callable[[SeenRun], Sequence[SeenPart]],
    until: Stop,
) -> Walk:
    """From run to run, each once; a run whose part stops the walk is not left."""
    met: dict[str, SeenPart] = {}
    joints: dict[str, None] = {}
    known = {run.name for run, parts in starts if len(parts) == len(run.parts)}
    front = list(starts)
    while front:
        run, parts = front.pop(0)
        stop = next((place for place, part in enumerate(parts) if until(part)), None)
        met |= {part.name: part for part in parts[: None if stop is None else stop + 1]}
        if stop is not None:
            continue
        joint, following = end(run)
        joints[joint] = None
        for other in following(joint):
            if other.name not in known:
                known.add(other.name)
                front.append((other, parts_of(other)))
    return Walk(tuple(met.values()), tuple(joints))


def _grouped(pairs: Iterable[tuple[str, SeenRun]]) -> Mapping[str, Sequence[SeenRun]]:
    groups: dict[str, list[SeenRun]] = {}
    for name, run in pairs:
        groups.setdefault(name, []).append(run)
    return groups


def _is_pump(part: SeenPart) -> bool:
    return "pump" in part.roles
