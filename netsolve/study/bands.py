"""How far off flows and oil temperatures may be, and how likely each need is met, as the numbers are uncertain."""

from __future__ import annotations

from collections.abc import Mapping, Sequence
from dataclasses import dataclass, replace
from typing import Any

import numpy as np

from netsolve.arrays.stack import Floats
from netsolve.circuit import Circuit, Part, Row
from netsolve.heat.needed import goal
from netsolve.problems import CircuitError, Problem
from netsolve.solving.varied import Columns
from netsolve.study.many import Many
from netsolve.study.uncertain import drawn, solve_columns, uncertain, uncertain_heat, uncertain_needs

SAMPLES = 1000
SEED = 1

INSIDE = 0.90
"""The share of the samples that lies in a band."""


@dataclass(frozen=True)
class Band:
    """A flow (m3/s) or the hottest of an oil (K), from `low` to `high` nine times out of ten.

    `least` and `most` are what it is to be, an oil below its limit or else its alarm; `chance` that it is. A band of an
    oil that nothing cools ends at infinity.
    """

    name: str
    low: float
    middle: float
    high: float
    least: float | None = None
    most: float | None = None
    chance: float | None = None


@dataclass(frozen=True)
class RowBands:
    """The bands of a row: of its parts that have a need, its runs and oils. `settled` of so many samples count."""

    condition: str
    change: str
    samples: int
    settled: int
    parts: Mapping[str, Band]
    runs: Mapping[str, Band]
    oils: Mapping[str, Band]


def bands(
    circuit: Circuit,
    *,
    conditions: Sequence[str] | None = None,
    changes: Sequence[str] | None = None,
    samples: int = SAMPLES,
    seed: int = SEED,
) -> tuple[RowBands, ...]:
    """The bands of every row, or of those of some conditions and changes; the same for the same seed.

    CircuitError where nothing is uncertain: no number has a `±` and no part has a usual one.
    """
    rows = [
        row
        for row in circuit.rows
        if (conditions is None or row.condition in conditions) and (changes is None or row.change in changes)
    ]
    if not any(uncertain(row) or uncertain_needs(row) for row in rows):
        help = "write an uncertainty behind a value, for example bore: 15.9 mm ± 0.5 mm"
        raise CircuitError([Problem("nothing-uncertain", "no number of this circuit is uncertain", help)])
    return tuple(_of_row(row, samples, seed) for row in rows)


def _of_row(row: Row, samples: int, seed: int) -> RowBands:
    columns = drawn((*uncertain(row), *uncertain_heat(row)), samples, seed) or _nothing_varied(row, samples)
    wanted = drawn(uncertain_needs(row), samples, seed + 1)
    many = solve_columns(row, columns)
    needy = [
        part
        for part in row.parts.values()
        if part.fitted and (part.min_flow is not None or part.max_flow is not None) and not row.runs[part.run].blanked
    ]
    runs = {name: _band(name, many.flow(name)) for name, run in row.runs.items() if not run.blanked}
    parts = {part.name: _of_part(part, many, wanted) for part in needy}
    oils = {name: _of_oil(row, name, many) for name in row.oils}
    return RowBands(row.condition, row.change, samples, int(many.settled.sum()), parts, runs, oils)


def _nothing_varied(row: Row, samples: int) -> Mapping[tuple[str, str], Floats]:
    """Columns of a row in which nothing is uncertain."""
    place = next(iter(row.places.values()))
    return {(place.name, "nothing"): np.zeros(samples)}


def _band(name: str, values: Floats) -> Band:
    """The band of values (samples,), those that are nan left out."""
    known = values[~np.isnan(values)]
    if not len(known):
        return Band(name, np.nan, np.nan, np.nan)
    places = [(1 - INSIDE) / 2, 0.5, (1 + INSIDE) / 2]
    endless = np.isinf(known).any()  # between a number and infinity there is none
    found = np.quantile(known, places, method="nearest") if endless else np.quantile(known, places)
    low, middle, high = map(float, found)
    return Band(name, low, middle, high)


def _of_oil(row: Row, name: str, many: Many) -> Band:
    """The band of the hottest that an oil is, and the share of the samples in which that is below what it bears."""
    hottest = many.heat.hottest(name)
    hottest = np.where(many.settled, np.where(np.isnan(hottest), np.inf, hottest), np.nan)
    most = goal(row.oils[name].oil)
    known = hottest[~np.isnan(hottest)]
    chance = float((known <= most).mean()) if most is not None and len(known) else None
    return replace(_band(name, hottest), most=most, chance=chance)


def _of_part(part: Part, many: Many, wanted: Columns) -> Band:
    """The band of a part, and the share of the samples that meet its need, which may be uncertain itself."""
    band, flow = _band(part.name, many.flow(part.name)), np.abs(many.flow(part.name))
    least, most = (
        wanted.get((part.name, bound), np.array(np.nan if value is None else value))
        for bound, value in (("min_flow", part.min_flow), ("max_flow", part.max_flow))
    )
    met = ~(flow < least) & ~(flow > most)
    known = np.isfinite(flow)
    chance = float(met[known].mean()) if known.any() else None
    return replace(band, least=part.min_flow, most=part.max_flow, chance=chance)


def bands_to_dict(found: Sequence[RowBands]) -> dict[str, Any]:
    """Bands as plain data in SI; never NaN."""
    return {"format": 1, "inside": INSIDE, "bands": [_row_to_dict(row) for row in found]}


def _row_to_dict(row: RowBands) -> dict[str, Any]:
    head = {"condition": row.condition, "change": row.change, "samples": row.samples, "settled": row.settled}
    parts = {name: _band_to_dict(band) | {"chance": band.chance} for name, band in row.parts.items()}
    oils = {name: _band_to_dict(band, "k") | {"chance": band.chance} for name, band in row.oils.items()}
    return head | {"parts": parts, "runs": {name: _band_to_dict(band) for name, band in row.runs.items()}, "oils": oils}


def _band_to_dict(band: Band, unit: str = "m3_s") -> dict[str, float | None]:
    names = ("low", "middle", "high")
    values = {name: getattr(band, name) for name in names}
    return {f"{name}_{unit}": value if np.isfinite(value) else None for name, value in values.items()}
