"""The tests that could be made next on board, with what each would take."""

from __future__ import annotations

from collections.abc import Iterable, Iterator, Sequence

from netsolve.circuit import Circuit, Row
from netsolve.component import Opening
from netsolve.study.diagnosis.probe import ANOTHER_CONDITION, EFFORTS, Probe, Reading, Situation

_MOST_OPENED = 2


def candidates(circuit: Circuit, suspected: Sequence[str], change: str) -> tuple[Probe, ...]:
    """Tests worth thinking of: flows and pressures in every condition, and looks and blows at what is suspected."""
    row = next(each for each in circuit.rows if each.change == change)
    found = [probe for condition in circuit.conditions for probe in _running(row, Situation(condition, change))]
    still = Situation(circuit.conditions[0], change)
    found += _standing(row, still, suspected)
    opened = [
        Situation(each, change, opened=name) for each in circuit.conditions[:1] for name in _inner(row, suspected)
    ]
    found += [Probe("opened", (each.opened,), each) for each in opened[:_MOST_OPENED]]
    return tuple(dict.fromkeys(found))


def _running(row: Row, situation: Situation) -> Iterator[Probe]:
    """What can be read while the engine turns."""
    for run in row.runs.values():
        target = row.places[run.target.joint].joint
        if not run.blanked and isinstance(target, Opening) and bool(target.one_way()):
            yield Probe("bucket", (run.name,), situation)
    for name, place in row.places.items():
        if place.joint.paths:
            yield Probe("pressure", (f"{name}.{place.joint.ports[0]}",), situation)
        elif not isinstance(place.joint, Opening):
            yield Probe("pressure", (name,), situation)
    for name in row.oils:
        yield Probe("temperature", (name,), situation)
    for part in row.parts.values():
        if part.fitted and part.cooling is not None and not row.runs[part.run].blanked:
            yield Probe("temperature", (f"{part.name}.out",), situation)
        if "pump" in part.component.roles and part.fitted and not row.runs[part.run].blanked:
            yield Probe("vacuum", (f"{part.name}.in",), situation)
            yield Probe("pressure", (f"{part.name}.out",), situation)
        if {"cooler", "strainer"} & set(part.component.roles) and part.fitted and not row.runs[part.run].blanked:
            yield Probe("difference", (f"{part.name}.in", f"{part.name}.out"), situation)


def _standing(row: Row, situation: Situation, suspected: Iterable[str]) -> Iterator[Probe]:
    """What can be looked at while the engine stands: strainers, and whatever is suspected."""
    for part in row.parts.values():
        if part.fitted and "strainer" in part.component.roles and not row.runs[part.run].blanked:
            yield Probe("contents", (part.name,), situation)
    for name in suspected:
        if name in row.parts and "pump" not in row.parts[name].component.roles:
            yield Probe("blow", (name, name), situation)


def _inner(row: Row, suspected: Iterable[str]) -> Iterator[str]:
    """Suspected parts that are not the last of a run that ends in the open."""
    for name in suspected:
        if name not in row.parts:
            continue
        run = row.runs[row.parts[name].run]
        if isinstance(row.places[run.target.joint].joint, Opening) and name != run.parts[-1]:
            yield name


def effort(probe: Probe, readings: Sequence[Reading]) -> float:
    """Minutes that a test takes, as usual, the boat brought into its condition where it has not been in it yet."""
    still = probe.kind in ("blow", "contents")
    known = any(each.probe.situation.condition == probe.situation.condition for each in readings)
    return EFFORTS[probe.kind] + (0 if still or known else ANOTHER_CONDITION)
