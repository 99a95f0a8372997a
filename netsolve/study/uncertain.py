"""What is not known exactly in a row: numbers with a `±` behind them, and those that are usually off by so much."""

from __future__ import annotations

from collections.abc import Iterator, Mapping, Sequence
from dataclasses import dataclass

import numpy as np

from netsolve.arrays.stack import Floats
from netsolve.assemble import assemble
from netsolve.circuit import Row
from netsolve.contract.declare import Declared, Quantity, declared
from netsolve.heat.stated import spread
from netsolve.solving.varied import Columns, varied
from netsolve.study.many import Many
from netsolve.study.outlook import cooling_spreads, oil_spreads, spread_of_ua
from netsolve.warmed import solve_warmed

WIDTHS = 2.0
"""Standard deviations to the half width behind `±`: the value lies within it 19 times out of 20."""

_FARTHEST = 2 * WIDTHS
_NEAR_ITS_BOUND = 1e-3

Move = tuple[tuple[str, str], float]
"""A field, by (name, field), and how much it moves for each unit of what stands behind it."""


@dataclass(frozen=True)
class Uncertain:
    """A number of a part, joint, oil or engine, its standard deviation, and what it cannot pass; SI.

    `moves` are the fields that it moves, by (name, field), and by how much for each unit of its own: its own field, or
    those that an engine's speed or a drive ratio stands behind. Two that are equal are one and the same number; what a
    condition or a change sets to another value is another.
    """

    name: str
    field: str
    value: float
    deviation: float
    least: float = -np.inf
    most: float = np.inf
    moves: tuple[Move, ...] = ()

    def at(self, standard: Floats) -> Floats:
        """Its values at so many standard deviations, cut off at four and at what it cannot pass."""
        off = np.clip(standard, -_FARTHEST, _FARTHEST) * self.deviation
        return np.clip(self.value + off, self.least, self.most)

    @property
    def followers(self) -> tuple[Move, ...]:
        """The fields that it moves, its own where nothing else is said."""
        return self.moves or (((self.name, self.field), 1.0),)


def uncertain(row: Row) -> tuple[Uncertain, ...]:
    """The uncertain numbers of a row's fitted parts, of its joints and of the engines that drive them.

    As written behind `±`, else as such parts usually are. Those of needs are apart, as they change no flow.
    """
    parts = [part for part in row.parts.values() if part.fitted]
    of_parts = [each for part in parts for each in _of_law(part.name, part.component, part.spreads, part.engine)]
    of_joints = [
        each for place in row.places.values() for each in _of_law(place.name, place.joint, place.spreads, place.engine)
    ]
    heights = [
        Uncertain(part.name, "height", part.height, width / WIDTHS)
        for part in parts
        if part.height is not None and (width := part.spreads.get("height"))
    ]
    return (*of_parts, *of_joints, *heights, *_of_engines(row))


def _of_law(name: str, law: Declared, spreads: Mapping[str, float], engine: str | None) -> Iterator[Uncertain]:
    for field, spec in declared(type(law)).items():
        value = getattr(law, field)
        if not isinstance(spec, Quantity) or not isinstance(value, float):
            continue
        width = spreads.get(field, abs(value) * (spec.spread or 0.0))
        if width:
            moves = tuple(_moved_with(name, law, field, value, engine))
            yield Uncertain(name, field, value, width / WIDTHS, *_bounds(spec, value), moves)


def _moved_with(name: str, law: Declared, field: str, value: float, engine: str | None) -> Iterator[Move]:
    """What a field of a law stands behind: itself, and what it multiplied of an engine's, or filled in."""
    yield (name, field), 1.0
    for other, spec in declared(type(law)).items():
        now = getattr(law, other)
        if not isinstance(spec, Quantity) or not isinstance(now, float):
            continue
        if spec.times == field and engine is not None:
            yield (name, other), now / value
        if spec.same_as == field and now == value:
            yield (name, other), 1.0


def _of_engines(row: Row) -> Iterator[Uncertain]:
    """The engines whose values are uncertain and that drive something."""
    for name, spreads in row.engine_spreads.items():
        engine = row.engines[name]
        for field, width in spreads.items():
            spec, value = declared(type(engine))[field], getattr(engine, field)
            moves = tuple(_driven_by(row, name, field, value))
            if isinstance(spec, Quantity) and width and moves:
                yield Uncertain(name, field, value, width / WIDTHS, *_bounds(spec, value), moves)


def _driven_by(row: Row, engine: str, field: str, value: float) -> Iterator[Move]:
    """The fields of parts and joints that follow a value of an engine."""
    laws: list[tuple[str, Declared]] = [
        (part.name, part.component) for part in row.parts.values() if part.fitted and part.engine == engine
    ]
    laws += [(place.name, place.joint) for place in row.places.values() if place.engine == engine]
    for name, law in laws:
        for own, spec in declared(type(law)).items():
            now = getattr(law, own)
            if isinstance(spec, Quantity) and spec.engine == field and isinstance(now, float) and value:
                yield (name, own), now / value


def uncertain_needs(row: Row) -> tuple[Uncertain, ...]:
    """The needs of a row's parts that are uncertain."""
    needs = [
        (part, bound, value)
        for part in row.parts.values()
        for bound, value in (("min_flow", part.min_flow), ("max_flow", part.max_flow))
        if part.fitted and value is not None
    ]
    return tuple(
        Uncertain(part.name, bound, value, width / WIDTHS, least=0.0)
        for part, bound, value in needs
        if (width := part.spreads.get(bound))
    )


def uncertain_heat(row: Row) -> tuple[Uncertain, ...]:
    """The uncertain numbers of the oils of a row, and what its coolers pass."""
    return tuple(_of_heat(row))


def _of_heat(row: Row) -> Iterator[Uncertain]:
    for charge in row.oils.values():
        for field, width in oil_spreads(charge.oil, charge.spreads):
            spec, value = declared(type(charge.oil))[field], getattr(charge.oil, field)
            if isinstance(spec, Quantity) and width:
                yield Uncertain(charge.name, field, value, width / WIDTHS, *_bounds(spec, value))
    for part in row.parts.values():
        if not part.fitted or part.cooling is None:
            continue
        if part.cooling.passes_heat:
            ua = float(part.cooling.clean)
            yield Uncertain(part.name, "ua", ua, ua * spread_of_ua(part) / WIDTHS, least=0.0)
        for field, width in cooling_spreads(part):
            spec, value = declared(type(part.cooling))[field], getattr(part.cooling, field)
            if isinstance(spec, Quantity) and width:
                yield Uncertain(part.name, field, value, width / WIDTHS, *_bounds(spec, value))


def _bounds(spec: Quantity, value: float) -> tuple[float, float]:
    """What values may not pass; a little inside of a bound that they may not reach."""
    inside = _NEAR_ITS_BOUND * abs(value)
    least = [
        bound for bound in (spec.at_least, None if spec.above is None else spec.above + inside) if bound is not None
    ]
    most = [bound for bound in (spec.at_most, None if spec.below is None else spec.below - inside) if bound is not None]
    return max(least, default=-np.inf), min(most, default=np.inf)


def drawn(unsure: Sequence[Uncertain], count: int, seed: int) -> Columns:
    """So many values of each field: of numbers normally distributed, independent, the same for the same seed."""
    draw = np.random.default_rng(seed)
    columns: dict[tuple[str, str], Floats] = {}
    for each in unsure:
        value = each.at(draw.standard_normal(count))
        for field, factor in each.followers:
            columns[field] = columns.get(field, factor * each.value) + factor * (value - each.value)
    return columns


def solve_columns(row: Row, columns: Mapping[tuple[str, str], Floats]) -> Many:
    """A row spread out to the values (rows,) of fields of its parts, coolers, joints and oils, and solved."""
    network = varied(assemble([row]), columns)
    runs = {name: part.run for name, part in row.parts.items()}
    network, solution, heat = solve_warmed(network, spread(row, network.count, columns))
    return Many(network, runs, solution, heat)
