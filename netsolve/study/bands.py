"""How far off the flows of a circuit may be, and how likely each need is met, as its numbers are uncertain."""

from __future__ import annotations

from collections.abc import Mapping, Sequence
from dataclasses import dataclass, replace
from typing import Any

import numpy as np

from netsolve.arrays.stack import Floats
from netsolve.circuit import Circuit, Part, Row
from netsolve.problems import CircuitError, Problem
from netsolve.solving.varied import Columns
from netsolve.study.many import Many
from netsolve.study.uncertain import drawn, solve_columns, uncertain, uncertain_needs

SAMPLES = 1000
SEED = 1

INSIDE = 0.90
"""The share of the samples that lies in a band."""


@dataclass(frozen=True)
class Band:
    """A flow (m3/s) that lies from `low` to `high` nine times out of ten; `chance` that the need is met, if any."""

    name: str
    low: float
    middle: float
    high: float
    least: float | None = None
    most: float | None = None
    chance: float | None = None


@dataclass(frozen=True)
class RowBands:
    """The bands of a row: of its parts that have a need, and of its runs. `settled` of so many samples count."""

    condition: str
    change: str
    samples: int
    settled: int
    parts: Mapping[str, Band]
    runs: Mapping[str, Band]


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
    columns = drawn(uncertain(row), samples, seed) or _nothing_varied(row, samples)
    wanted = drawn(uncertain_needs(row), samples, seed + 1)
    many = solve_columns(row, columns)
    needy = [
        part
        for part in row.parts.values()
        if part.fitted and (part.min_flow is not None or part.max_flow is not None) and not row.runs[part.run].blanked
    ]
    runs = {name: _band(name, many) for name, run in row.runs.items() if not run.blanked}
    parts = {part.name: _of_part(part, many, wanted) for part in needy}
    return RowBands(row.condition, row.change, samples, int(many.settled.sum()), parts, runs)


def _nothing_varied(row: Row, samples: int) -> Mapping[tuple[str, str], Floats]:
    """Columns of a row in which nothing is uncertain."""
    place = next(iter(row.places.values()))
    return {(place.name, "nothing"): np.zeros(samples)}


def _band(name: str, many: Many) -> Band:
    flow = many.flow(name)
    flow = flow[np.isfinite(flow)]
    if not len(flow):
        return Band(name, np.nan, np.nan, np.nan)
    low, middle, high = (float(each) for each in np.quantile(flow, [(1 - INSIDE) / 2, 0.5, (1 + INSIDE) / 2]))
    return Band(name, low, middle, high)


def _of_part(part: Part, many: Many, wanted: Columns) -> Band:
    """The band of a part, and the share of the samples that meet its need, which may be uncertain itself."""
    band, flow = _band(part.name, many), np.abs(many.flow(part.name))
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
    return head | {"parts": parts, "runs": {name: _band_to_dict(band) for name, band in row.runs.items()}}


def _band_to_dict(band: Band) -> dict[str, float | None]:
    names = ("low", "middle", "high")
    values = {name: getattr(band, name) for name in names}
    return {f"{name}_m3_s": value if np.isfinite(value) else None for name, value in values.items()}
