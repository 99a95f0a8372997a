"""What every probe would show under every fault, and how that hangs on the numbers that are uncertain."""

from __future__ import annotations

from collections.abc import Iterable, Mapping, Sequence
from dataclasses import dataclass
from functools import cached_property

import numpy as np

from netsolve.arrays.stack import Floats
from netsolve.circuit import Circuit, Row
from netsolve.contract.declare import Quantity, declared
from netsolve.progress import counted
from netsolve.study.diagnosis.between import blur, finer, places_among
from netsolve.study.diagnosis.blown import ratios
from netsolve.study.diagnosis.fault import Fault, faults
from netsolve.study.diagnosis.probe import Probe, Situation
from netsolve.study.diagnosis.rows import plug_of, row_of
from netsolve.study.diagnosis.seen import seen
from netsolve.study.uncertain import Uncertain, uncertain, uncertain_heat

NODES = 25
"""Values of a fault's parameter at which it is solved, an odd number; between them what is read is interpolated."""

SLOPE_NODES = (0, 8, 16, 24)
"""Those of them at which it is found how readings hang on the uncertain numbers."""

NOTHING: Mapping[tuple[str, str], float] = {}

WORTH_CARRYING = 0.1
"""Of a reading's standard deviation: an uncertain number that moves no reading by more is left out."""


@dataclass(frozen=True)
class Fine:
    """What the probes show at many values between a fault's nodes: (fine,), (fine, probes), (fine, probes, unsure).

    `blur` (fine, probes) is how far off that may be for lying between, a standard deviation.
    """

    places: Floats
    values: Floats
    shown: Floats
    blur: Floats
    slopes: Floats
    ratios: Mapping[int, Floats]


@dataclass(frozen=True)
class Under:
    """What the probes show under one fault: (nodes, probes), and per standard deviation of each uncertain number.

    Of a probe that finds a word, `ratios` are what passes through either way, (nodes, 2), of what should.
    """

    fault: Fault
    shown: Floats
    slopes: Floats
    ratios: Mapping[int, Floats]

    @cached_property
    def fine(self) -> Fine:
        """The same at many values in between."""
        places = places_among(len(self.fault.values))
        values, shown, slopes = (finer(each, places) for each in (self.fault.values, self.shown, self.slopes))
        unclear = blur(self.shown, places)
        return Fine(
            places, values, shown, unclear, slopes, {at: finer(each, places) for at, each in self.ratios.items()}
        )


@dataclass(frozen=True)
class Predicted:
    """What the probes show under all faults of a circuit; rows is the number that were solved."""

    circuit: Circuit
    probes: tuple[Probe, ...]
    unsure: tuple[Uncertain, ...]
    under: tuple[Under, ...]


@dataclass(frozen=True)
class _Batch:
    """Columns of fields to be filled in row by row, each beginning from what the circuit has."""

    row: Row
    fields: tuple[tuple[str, str], ...]
    rows: list[dict[tuple[str, str], float]]

    def columns(self) -> dict[tuple[str, str], Floats]:
        base = {field: _now(self.row, *field) for field in self.fields}
        return {field: np.array([each.get(field, base[field]) for each in self.rows]) for field in self.fields}


def _now(row: Row, name: str, field: str) -> float:
    if name in row.oils:
        return float(getattr(row.oils[name].oil, field))
    if name in row.places:
        return float(getattr(row.places[name].joint, field))
    part = row.parts[name]
    if field == "ua" and part.cooling is not None:
        return float(part.cooling.clean)
    holder = next(each for each in (part.component, part.cooling, part) if hasattr(each, field))
    return float(getattr(holder, field))


def predict(
    circuit: Circuit,
    probes: Sequence[Probe],
    told: Sequence[Fault] = (),
    unsure: Sequence[Uncertain] | None = None,
) -> Predicted:
    """What each probe shows under each fault of the circuit as it stood, or under those that are told.

    `unsure` are the numbers whose uncertainty is carried along; without it all that move a reading.
    """
    situations = dict.fromkeys(probe.situation for probe in probes) or {Situation(circuit.conditions[0]): None}
    rows = {situation: row_of(circuit, situation) for situation in situations}
    first = _whole(circuit, situations)
    if unsure is None:
        unsure = _worth_carrying(rows, probes)
    unsure = tuple(unsure)
    under = tuple(_empty(fault, len(probes), len(unsure)) for fault in told or faults(first, NODES))
    for situation, row in rows.items():
        here = [index for index, probe in enumerate(probes) if probe.situation == situation]
        _fill(row, [(index, probes[index]) for index in here], under, unsure)
    return Predicted(circuit, tuple(probes), unsure, under)


def _unsure(row: Row, probes: Sequence[Probe]) -> tuple[Uncertain, ...]:
    """The uncertain numbers; those of heat only where heat comes into what is read."""
    heat = uncertain_heat(row) if any(probe.is_warm for probe in probes) else ()
    return (*uncertain(row), *heat)


def _whole(circuit: Circuit, situations: Iterable[Situation]) -> Row:
    """The row, of those whose readings there are, with the most parts fitted, every hose on."""
    states = dict.fromkeys(Situation(each.condition, each.change) for each in situations)
    rows = [row_of(circuit, state) for state in states]
    return max(rows, key=lambda row: sum(part.fitted for part in row.parts.values()))


def _empty(fault: Fault, probes: int, unsure: int) -> Under:
    nodes = len(fault.values)
    return Under(fault, np.full((nodes, probes), np.nan), np.zeros((nodes, probes, unsure)), {})


def _worth_carrying(rows: Mapping[Situation, Row], probes: Sequence[Probe]) -> tuple[Uncertain, ...]:
    """The uncertain numbers that move a reading noticeably, as found by moving each in the circuit without a fault."""
    most: dict[Uncertain, float] = {}
    for situation, row in rows.items():
        mine = [each for each in probes if each.situation == situation and _is_solved(each)]
        unsure = _unsure(row, probes)
        if not mine or not unsure:
            continue
        batch = _Batch(row, _fields(unsure), [{}, *(_moved(row, each) for each in unsure)])
        sight = seen(row, batch.columns())
        for probe in mine:
            shown = sight.read(probe)
            moved = np.abs(shown[1:] - shown[0]) / probe.deviation(float(np.nan_to_num(shown[0])))
            for each, much in zip(unsure, np.nan_to_num(moved), strict=True):
                most[each] = max(float(much), most.get(each, 0.0))
    return tuple(each for each, much in most.items() if much > WORTH_CARRYING)


def _fields(unsure: Iterable[Uncertain]) -> tuple[tuple[str, str], ...]:
    return tuple(dict.fromkeys(field for each in unsure for field, _ in each.followers))


def _moved(
    row: Row, each: Uncertain, faulty: Mapping[tuple[str, str], float] = NOTHING
) -> dict[tuple[str, str], float]:
    """The fields of a row where an uncertain number is off by a standard deviation, some of them faulty."""
    base = {field: faulty.get(field, _now(row, *field)) for field, _ in each.followers}
    return {**faulty, **{field: base[field] + factor * each.deviation for field, factor in each.followers}}


def _is_solved(probe: Probe) -> bool:
    """Whether what it shows comes out of solving the circuit."""
    return probe.kind not in ("blow", "contents")


def _fill(row: Row, probes: Sequence[tuple[int, Probe]], under: Sequence[Under], unsure: Sequence[Uncertain]) -> None:
    """Solve the row of a situation under all faults, and write down what its probes show."""
    for index, probe in probes:
        for each in under:
            if probe.kind == "contents":
                each.shown[:, index] = covered(row, probe.names[0], each.fault)
            if probe.is_word:
                each.shown[:, index] = 0.0
                each.ratios[index] = ratios(row, probe.names, each.fault)  # type: ignore[index]
    solved = [(index, probe) for index, probe in probes if _is_solved(probe)]
    if not solved:
        return
    groups: dict[int, list[Under]] = {}
    for each in under:
        groups.setdefault(id(each.fault.record), []).append(each)
    here = set(_unsure(row, [probe for _, probe in solved]))
    mine = [(at, each) for at, each in enumerate(unsure) if each in here]
    for some in counted(groups.values(), "faults", len(groups)):
        _solve_group(some[0].fault.row(row), solved, some, mine)


def _solve_group(
    row: Row, probes: Sequence[tuple[int, Probe]], under: Sequence[Under], here: Sequence[tuple[int, Uncertain]]
) -> None:
    places, unsure = [at for at, _ in here], [each for _, each in here]
    faulty = dict.fromkeys(field for each in under for field in each.fault.fields)
    batch = _Batch(row, tuple(dict.fromkeys((*faulty, *_fields(unsure)))) or _any_field(row), [])
    for each in under:
        batch.rows.extend(_rows_of(row, each.fault, unsure))
    sight = seen(row, batch.columns())
    for index, probe in probes:
        shown = sight.read(probe)
        start = 0
        for each in under:
            nodes, ends = len(each.fault.values), _slope_nodes(len(each.fault.values))
            stop = start + nodes + len(ends) * len(unsure)
            mine = shown[start:stop]
            each.shown[:, index] = mine[:nodes]
            moved = mine[nodes:].reshape(len(ends), len(unsure)) - mine[list(ends)][:, None]
            each.slopes[:, index, places] = _between(np.nan_to_num(moved), ends, nodes)
            start = stop


def _any_field(row: Row) -> tuple[tuple[str, str], ...]:
    """A field of a part to spread the row out by, where nothing differs."""
    for part in row.parts.values():
        for field, spec in declared(type(part.component)).items():
            if isinstance(spec, Quantity) and isinstance(getattr(part.component, field), float):
                return ((part.name, field),)
    raise ValueError("a circuit without numbers")


def _slope_nodes(nodes: int) -> tuple[int, ...]:
    return SLOPE_NODES if nodes == NODES else tuple(range(nodes)) if nodes < NODES else tuple(range(0, nodes, 4))


def _rows_of(row: Row, fault: Fault, unsure: Sequence[Uncertain]) -> list[dict[tuple[str, str], float]]:
    """The fault at each of its values, then at some of them with each uncertain number moved."""
    rows = [{field: float(values[node]) for field, values in fault.fields.items()} for node in range(len(fault.values))]
    ends = _slope_nodes(len(fault.values))
    moved = [_moved(row, each, rows[node]) for node in ends for each in unsure]
    return rows + moved


def _between(moved: Floats, ends: Sequence[int], nodes: int) -> Floats:
    """Slopes (nodes, unsure) from those at some nodes, straight in between."""
    at = np.arange(nodes)
    return np.array([np.interp(at, ends, column) for column in moved.T]).reshape(moved.shape[1], nodes).T


def covered(row: Row, part: str, fault: Fault) -> Floats:
    """What share of a part is covered or filled under a fault, as it is seen when the part is opened."""
    share = np.zeros(len(fault.values))
    for (name, field), values in fault.fields.items():
        if name == plug_of(part):
            bore = _now(row, name, "bore")
            share = np.maximum(share, 1 - (values / bore) ** 2)
        spec = declared(type(row.parts[name].component)).get(field) if name in row.parts else None
        if name == part and isinstance(spec, Quantity) and spec.worst is not None:
            now = _now(row, name, field)
            share = np.maximum(share, (values - now) / (spec.worst - now))
    return np.clip(share, 0.0, 1.0)
