"""The records of an answer: every row's runs, joints, parts and findings by name, as plain data."""

from __future__ import annotations

import csv
import math
from collections.abc import Callable, Iterator, Mapping, Sequence
from dataclasses import dataclass, field
from functools import cached_property
from pathlib import Path
from typing import Any, TypeVar

from netsolve.circuit import Assumed, Circuit, Row
from netsolve.heat.heat import OilResult
from netsolve.problems import Finding
from netsolve.showing import Shown

Record = TypeVar("Record")

VERDICTS = ("reversed", "shut", "dry", "starved", "marginal", "overfed", "served")
"""The worst first."""


@dataclass(frozen=True, slots=True)
class PortResult:
    """What happens at one port of a joint: m3/s, positive out of the joint into the run, and Pa gauge."""

    flow: float
    pressure: float | None
    total_pressure: float


@dataclass(frozen=True, slots=True)
class JointResult:
    """A joint in a row; `height` in m above the waterline, `temperature` (K) of the water that has met there.

    `mixed_temperature` (K) is that of exhaust gas and water together, at an injection whose gas is known.
    """

    name: str
    type: str
    height: float | None
    status: str | None
    ports: Mapping[str, PortResult]
    temperature: float | None = None
    mixed_temperature: float | None = None


@dataclass(frozen=True, slots=True)
class PartResult:
    """A part in a row. A part that is not fitted, or stands in a blanked run, has None for all that flows."""

    name: str
    type: str
    run: str
    fitted: bool
    height: float | None = None
    flow: float | None = None
    pressure_drop: float | None = None
    share: float | None = None
    inlet_pressure: float | None = None
    outlet_pressure: float | None = None
    velocity: float | None = None
    status: str | None = None
    min_flow: float | None = None
    max_flow: float | None = None
    verdict: str | None = None
    inlet_temperature: float | None = None
    outlet_temperature: float | None = None
    duty: float | None = None

    @property
    def has_need(self) -> bool:
        """Whether it asks for some flow, or for more than any would give: then it is starved, without a number."""
        return self.min_flow is not None or self.max_flow is not None or self.verdict == "starved"


@dataclass(frozen=True, slots=True)
class Take:
    """What one thing takes of the pressure that drives a run.

    `name` is a part's, or `lift`, `back pressure`, `entrance` or `exit`.
    """

    name: str
    pressure: float
    share: float


@dataclass(frozen=True, slots=True)
class RunResult:
    """A run in a row. `drive` is all the pressure that its parts, its lift and what lies beyond take together."""

    name: str
    source: str
    target: str
    parts: tuple[str, ...]
    flow: float | None = None
    verdict: str | None = None
    drive: float | None = None
    lift: float | None = None
    missing: float | None = None
    lowest_pressure: float | None = None
    lowest_at: str | None = None
    takes: tuple[Take, ...] = ()


@dataclass(frozen=True, slots=True)
class Unsettled:
    """Where an unsettled row stands worst, and what is left over there, Pa.

    `joint` is one whose fixed `flow` (m3/s, drawn if negative) has nowhere to go or to come from, if that is why.
    """

    run: str
    imbalance: float
    joint: str | None = None
    flow: float = 0.0


@dataclass(frozen=True)
class RowResult:
    """One condition under one change, solved. An unsettled row has no runs, joints or parts."""

    condition: str
    change: str
    settled: bool
    iterations: int
    mass_imbalance: float
    energy_imbalance: float
    runs: Mapping[str, RunResult]
    joints: Mapping[str, JointResult]
    parts: Mapping[str, PartResult]
    settings: Mapping[str, float | str | bool] = field(default_factory=dict)
    findings: tuple[Finding, ...] = ()
    unsettled: Unsettled | None = None
    water_density: float = math.nan
    oils: Mapping[str, OilResult] = field(default_factory=dict)

    def part(self, name: str) -> PartResult:
        """The part of that name; KeyError that lists the names."""
        return _named(self.parts, name, "part")

    def run(self, name: str) -> RunResult:
        """The run of that name; KeyError that lists the names."""
        return _named(self.runs, name, "run")

    def oil(self, name: str) -> OilResult:
        """The oil of that name; KeyError that lists the names."""
        return _named(self.oils, name, "oil")

    def joint(self, name: str) -> JointResult:
        """The joint of that name; KeyError that lists the names."""
        return _named(self.joints, name, "joint")


def _named(things: Mapping[str, Record], name: str, kind: str) -> Record:
    if name not in things:
        raise KeyError(f"no {kind} is called '{name}'; there are: {', '.join(things)}")
    return things[name]


class Rows(Sequence[Record]):
    """The rows of a result, or its states, each put together when it is first looked at."""

    def __init__(self, count: int, make: Callable[[int], Record]) -> None:
        self._make = make
        self._made: list[Record | None] = [None] * count

    def __len__(self) -> int:
        return len(self._made)

    def __getitem__(self, index: Any) -> Any:
        if isinstance(index, slice):
            return [self[place] for place in range(*index.indices(len(self)))]
        row = self._made[index]
        if row is None:
            row = self._made[index] = self._make(range(len(self))[index])
        return row


@dataclass(frozen=True)
class Result(Shown):
    """Every row of a circuit, settled or not: `result["idle", "as found"].part("oil cooler").flow`.

    `states` are the circuit's own rows in the same order: what was fitted, set and open in each.
    """

    circuit: Circuit
    rows: Sequence[RowResult]
    states: Sequence[Row] = ()
    sensitivities: Callable[[int, str], Sequence[Any]] | None = field(default=None, repr=False, compare=False)

    def sensitivity(self, target: str, condition: str | None = None, change: str = "as found") -> Sequence[Any]:
        """What moves a flow or a pressure (`oil cooler.flow`, `tee-off.branch.total_pressure`), the strongest first.

        Each has `name`, `parameter`, `value`, `slope` (SI per SI) and `gain` (for a tenth more), of one row: the first
        condition where none is given. KeyError where the row or the target does not exist.
        """
        row = self[condition or self.circuit.conditions[0], change]
        if self.sensitivities is None:
            raise ValueError("a result put together by hand has no sensitivities")
        return self.sensitivities(list(self.rows).index(row), target)

    def __getitem__(self, key: tuple[str, str] | str) -> RowResult:
        condition, change = (key, "as found") if isinstance(key, str) else key
        row = self._by_name.get((condition, change))
        if row is None:
            raise KeyError(f"no row '{condition}', '{change}'; there are: {', '.join(map(str, self._by_name))}")
        return row

    def __iter__(self) -> Iterator[RowResult]:
        return iter(self.rows)

    @cached_property
    def _by_name(self) -> Mapping[tuple[str, str], RowResult]:
        return {(row.condition, row.change): row for row in self.rows}

    def to_dict(self) -> dict[str, Any]:
        """The answer as plain data in SI, with the unit in every key; what `--json` prints."""
        from netsolve import __version__

        return {
            "format": 1,
            "version": __version__,
            "circuit": self.circuit.name,
            "assumed": [_assumed(each) for each in self.circuit.assumed],
            "rows": [row_to_dict(row) for row in self.rows],
        }

    def to_csv(self, path: str | Path) -> None:
        """Write one line for each part and row, SI units in the header."""
        with Path(path).open("w", newline="", encoding="utf-8") as file:
            writer = csv.writer(file)
            writer.writerow(["condition", "change", "part", *_PART_KEYS.values()])
            for row in self.rows:
                for part in row.parts.values():
                    values = [getattr(part, name) for name in _PART_KEYS]
                    writer.writerow([row.condition, row.change, part.name, *values])

    def to_pandas(self) -> Any:
        """A pandas DataFrame of the same lines as `to_csv`; ImportError where pandas is not installed."""
        import pandas

        lines = [
            {"condition": row.condition, "change": row.change, "part": part.name}
            | {key: getattr(part, name) for name, key in _PART_KEYS.items()}
            for row in self.rows
            for part in row.parts.values()
        ]
        return pandas.DataFrame(lines)


_PART_KEYS = {
    "type": "type",
    "run": "run",
    "fitted": "fitted",
    "height": "height_m",
    "flow": "flow_m3_s",
    "pressure_drop": "pressure_drop_pa",
    "share": "share",
    "inlet_pressure": "inlet_pressure_pa",
    "outlet_pressure": "outlet_pressure_pa",
    "velocity": "velocity_m_s",
    "status": "status",
    "min_flow": "min_flow_m3_s",
    "max_flow": "max_flow_m3_s",
    "verdict": "verdict",
    "inlet_temperature": "inlet_temperature_k",
    "outlet_temperature": "outlet_temperature_k",
    "duty": "duty_w",
}
_OIL_KEYS = {
    "plateau": "plateau_k",
    "peak": "peak_k",
    "time_to_alarm": "time_to_alarm_s",
    "time_without_water": "time_without_water_s",
    "heat": "heat_w",
    "cooler_duty": "cooler_duty_w",
}
_RUN_KEYS = {
    "source": "from",
    "target": "to",
    "flow": "flow_m3_s",
    "verdict": "verdict",
    "drive": "drive_pa",
    "lift": "lift_pa",
    "missing": "missing_pa",
    "lowest_pressure": "lowest_pressure_pa",
    "lowest_at": "lowest_at",
}
_JOINT_KEYS = {
    "height": "height_m",
    "status": "status",
    "temperature": "temperature_k",
    "mixed_temperature": "mixed_temperature_k",
}
_PORT_KEYS = {"flow": "flow_m3_s", "pressure": "pressure_pa", "total_pressure": "total_pressure_pa"}


def row_to_dict(row: RowResult) -> dict[str, Any]:
    """One row as plain data; never NaN."""
    head = {
        "condition": row.condition,
        "change": row.change,
        "settings": dict(row.settings),
        "settled": row.settled,
        "iterations": row.iterations,
        "mass_imbalance_m3_s": _plain(row.mass_imbalance),
        "energy_imbalance_pa": _plain(row.energy_imbalance),
    }
    if row.unsettled is not None:
        left: dict[str, Any] = {"run": row.unsettled.run, "imbalance_pa": _plain(row.unsettled.imbalance)}
        if row.unsettled.joint is not None:
            left |= {"joint": row.unsettled.joint, "flow_m3_s": row.unsettled.flow}
        return head | {"unsettled": left, "findings": [finding_to_dict(each) for each in row.findings]}
    joints = {
        name: _by_keys(joint, _JOINT_KEYS)
        | {"ports": {port: _by_keys(values, _PORT_KEYS) for port, values in joint.ports.items()}}
        for name, joint in row.joints.items()
    }
    return head | {
        "runs": {name: _by_keys(run, _RUN_KEYS) for name, run in row.runs.items()},
        "joints": joints,
        "parts": {name: _by_keys(part, _PART_KEYS) for name, part in row.parts.items()},
        "oils": {name: _by_keys(oil, _OIL_KEYS) for name, oil in row.oils.items()},
        "findings": [finding_to_dict(each) for each in row.findings],
    }


def finding_to_dict(finding: Finding) -> dict[str, Any]:
    """A finding as plain data, with its place in the file."""
    names = ("code", "severity", "about", "message", "help", "value", "limit", "unit", "basis")
    place = finding.at and {"file": finding.at.file, "line": finding.at.line, "column": finding.at.column}
    told = {name: _plain(getattr(finding, name)) for name in names} | {"at": place}
    if finding.cautions:
        told["cautions"] = list(finding.cautions)
    return told | ({"lacks": finding.lacks} if finding.lacks else {})


def _by_keys(record: Any, keys: Mapping[str, str]) -> dict[str, Any]:
    return {key: _plain(getattr(record, name)) for name, key in keys.items()}


def _assumed(assumed: Assumed) -> dict[str, Any]:
    names = ("part", "parameter", "value", "unit", "source")
    return {name: _plain(getattr(assumed, name)) for name in names}


def _plain(value: Any) -> Any:
    """The value for JSON: a number that is not finite becomes None."""
    if isinstance(value, float) and not math.isfinite(value):
        return None
    return value
