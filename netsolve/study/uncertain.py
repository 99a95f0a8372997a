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
from netsolve.study.outlook import oil_spreads, spread_of_ua
from netsolve.warmed import solve_warmed

WIDTHS = 2.0
"""Standard deviations to the half width behind `±`: the value lies within it 19 times out of 20."""

_FARTHEST = 2 * WIDTHS
_NEAR_ITS_BOUND = 1e-3


@dataclass(frozen=True)
class Uncertain:
    """A number of a part, joint or oil, its standard deviation, and what it cannot pass; SI."""

    name: str
    field: str
    value: float
    deviation: float
    least: float = -np.inf
    most: float = np.inf

    def at(self, standard: Floats) -> Floats:
        """Its values at so many standard deviations, cut off at four and at what it cannot pass."""
        off = np.clip(standard, -_FARTHEST, _FARTHEST) * self.deviation
        return np.clip(self.value + off, self.least, self.most)


def uncertain(row: Row) -> tuple[Uncertain, ...]:
    """The uncertain numbers of a row's fitted parts and of its joints.

    As written behind `±`, else as such parts usually are. How high a joint without an opening lies changes no flow.
    """
    parts = [part for part in row.parts.values() if part.fitted]
    of_parts = [each for part in parts for each in _of_law(part.name, part.component, part.spreads)]
    of_joints = [each for place in row.places.values() for each in _of_law(place.name, place.joint, place.spreads)]
    return (*of_parts, *of_joints)


def _of_law(name: str, law: Declared, spreads: Mapping[str, float]) -> Iterator[Uncertain]:
    for field, spec in declared(type(law)).items():
        value = getattr(law, field)
        if not isinstance(spec, Quantity) or not isinstance(value, float):
            continue
        width = spreads.get(field, abs(value) * (spec.spread or 0.0))
        if width:
            yield Uncertain(name, field, value, width / WIDTHS, *_bounds(spec, value))


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
        if part.fitted and part.cooling is not None and part.cooling.passes_heat:
            ua = float(part.cooling.clean)
            yield Uncertain(part.name, "ua", ua, ua * spread_of_ua(part) / WIDTHS, least=0.0)


def _bounds(spec: Quantity, value: float) -> tuple[float, float]:
    """What values may not pass; a little inside of a bound that they may not reach."""
    inside = _NEAR_ITS_BOUND * abs(value)
    least = [
        bound for bound in (spec.at_least, None if spec.above is None else spec.above + inside) if bound is not None
    ]
    most = [bound for bound in (spec.at_most, None if spec.below is None else spec.below - inside) if bound is not None]
    return max(least, default=-np.inf), min(most, default=np.inf)


def drawn(unsure: Sequence[Uncertain], count: int, seed: int) -> Columns:
    """So many values of each, by part and field: normally distributed, independent, the same for the same seed."""
    draw = np.random.default_rng(seed)
    return {(each.name, each.field): each.at(draw.standard_normal(count)) for each in unsure}


def solve_columns(row: Row, columns: Mapping[tuple[str, str], Floats]) -> Many:
    """A row spread out to the values (rows,) of fields of its parts, coolers, joints and oils, and solved."""
    network = varied(assemble([row]), columns)
    runs = {name: part.run for name, part in row.parts.items()}
    network, solution, heat = solve_warmed(network, spread(row, network.count, columns))
    return Many(network, runs, solution, heat)
