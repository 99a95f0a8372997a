"""What a gauge or a bucket would show on board, to be compared with what is read there."""

from __future__ import annotations

from collections.abc import Iterator, Sequence
from dataclasses import dataclass

from netsolve import units
from netsolve.result import RowResult
from netsolve.views import wording


@dataclass(frozen=True, slots=True)
class Expected:
    """One thing to read in each condition, and what is computed for it there."""

    what: str
    values: Sequence[str]


def expected(rows: Sequence[RowResult], system: str) -> list[Expected]:
    """The flow of each need and the pressure at each joint that is no opening, in the order of the rows."""
    settled = [row for row in rows if row.settled]
    parts = dict.fromkeys(part.name for row in settled for part in wording.needy(row))
    flows = [Expected(f"flow through {name}", [_flow(row, name, system) for row in rows]) for name in parts]
    return [*flows, *_pressures(rows, settled, system)]


def _flow(row: RowResult, name: str, system: str) -> str:
    return wording.flow(row.parts[name].flow, system) if row.settled else "no answer"


def _pressures(rows: Sequence[RowResult], settled: Sequence[RowResult], system: str) -> Iterator[Expected]:
    inner = dict.fromkeys(name for row in settled for name, joint in row.joints.items() if len(joint.ports) > 1)
    for name in inner:
        yield Expected(f"pressure at {name}", [_pressure(row, name, system) for row in rows])


def _pressure(row: RowResult, name: str, system: str) -> str:
    ports = row.joints[name].ports.values() if row.settled else ()
    pressure = next((port.pressure for port in ports if port.pressure is not None), None)
    return "no answer" if pressure is None else units.show(pressure, "pressure", system=system, both=True)
