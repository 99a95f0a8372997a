"""A sweep turned round: the value of a setting at which a flow is what is wanted."""

from __future__ import annotations

from collections.abc import Mapping, Sequence
from dataclasses import dataclass

import numpy as np

from netsolve.arrays.stack import Floats
from netsolve.circuit import Circuit
from netsolve.result import PartResult
from netsolve.study.axes import Axis
from netsolve.study.crossings import PLENTY, crossings
from netsolve.study.one_row import row_at
from netsolve.study.settable import Value, text_of
from netsolve.study.sweep import sweep
from netsolve.study.verdict_columns import Table, carried

_TOLERANCE = 1e-5


@dataclass(frozen=True)
class Flow:
    """A part or run is to carry this flow, m3/s; of none at all, that it just begins or ceases to flow."""

    about: str
    flow: float

    def excess(self, table: Table) -> Floats:
        """How much more it carries, in shares of it."""
        found = self.amount(table)
        if self.flow:
            return np.asarray((found - self.flow) / abs(self.flow))
        return np.where(np.isnan(found), np.nan, np.where(found > 0, 1.0, -1.0))

    def amount(self, table: Table) -> Floats:
        """What it carries, m3/s."""
        return carried(table, self.about)


@dataclass(frozen=True)
class Alike:
    """Two parts or runs are to carry the same flow."""

    about: str
    other: str

    def excess(self, table: Table) -> Floats:
        """How much more the first carries, in shares of the larger; nothing to say where neither carries any."""
        first, second = carried(table, self.about), carried(table, self.other)
        larger = np.maximum(np.abs(first), np.abs(second))
        share: Floats = np.divide(first - second, larger, out=np.full(len(larger), np.nan), where=larger > 0)
        return share

    def amount(self, table: Table) -> Floats:
        """What the first carries, m3/s."""
        return carried(table, self.about)


WARM: Mapping[str, tuple[str, str]] = {
    "plateau": ("temperature", "oil"),
    "peak": ("temperature", "oil"),
    "time_to_alarm": ("time", "oil"),
    "time_without_water": ("time", "oil"),
    "inlet_temperature": ("temperature", "part"),
    "outlet_temperature": ("temperature", "part"),
    "duty": ("power", "part"),
    "temperature": ("temperature", "joint"),
    "mixed_temperature": ("temperature", "joint"),
}
"""What can be looked for of heat: its kind, and what it is of."""


@dataclass(frozen=True)
class Warm:
    """A temperature (K), a time (s) or a duty (W), one of `WARM`, is to be so much."""

    about: str
    wanted: float
    what: str = "plateau"

    @property
    def kind(self) -> str:
        """The kind of what is looked for."""
        return WARM[self.what][0]

    def excess(self, table: Table) -> Floats:
        """How much more it is."""
        amount = self.amount(table)
        if self.kind == "temperature":
            return (amount - self.wanted) / PLENTY
        with np.errstate(divide="ignore"):  # a time may be never, or none at all
            return np.where(np.isnan(amount), np.nan, np.clip(1.0 - self.wanted / amount, -1e9, 1.0))

    def amount(self, table: Table) -> Floats:
        """What it is; infinite for a time that never comes, nan where the row did not settle or there is none."""
        found: Floats = getattr(table.heat, self.what)(self.about)
        return np.where(table.solution.settled, found, np.nan)


Wish = Flow | Alike | Warm
"""What can be looked for."""


@dataclass(frozen=True)
class Found:
    """The values (SI) at which a goal is met in one situation, none where there is none among those `searched`.

    `reached` are the least and the most of the flow there, m3/s, or of the temperature, K, and the values at which it
    has them; None where no row settled. `missed` are for each value the parts whose need is missed then, with the
    verdict.
    """

    condition: str
    change: str
    settings: Mapping[str, Value]
    values: tuple[float, ...]
    searched: tuple[float, float]
    reached: tuple[tuple[float, float], tuple[float, float]] | None
    missed: tuple[Mapping[str, str], ...]


def find(
    circuit: Circuit,
    wanted: Axis,
    goal: Wish,
    axes: Sequence[Axis],
    situations: Sequence[tuple[str, str]],
) -> list[Found]:
    """Where a goal is met along an axis of rising values to look among, for each combination of further axes."""
    tried = sweep(circuit, [*axes, wanted], situations)
    met: dict[tuple[object, ...], list[float]] = {}
    for each in crossings(tried, wanted, [goal]):
        if each.value is not None:
            met.setdefault((each.condition, each.change, *each.settings.items()), []).append(each.value)
    along = np.array(wanted.values[wanted.path], dtype=float)
    amounts = tried.column(np.nan, lambda group: goal.amount(group.table)).reshape(-1, len(along))
    found = []
    for line, amount in enumerate(amounts):
        first = tried.combinations[line * len(along) % len(tried.combinations)]
        settings = {path: value for path, value in first.items() if path not in wanted.values}
        situation = situations[line * len(along) // len(tried.combinations)]
        values = sorted(met.get((*situation, *settings.items()), []))
        found.append(
            Found(
                *situation,
                settings,
                tuple(values),
                (float(along[0]), float(along[-1])),
                _reached(along, amount),
                tuple(_missed(circuit, wanted, axes, situation, settings, value) for value in values),
            )
        )
    return found


def _reached(along: Floats, flow: Floats) -> tuple[tuple[float, float], tuple[float, float]] | None:
    if np.isnan(flow).all():
        return None
    least, most = int(np.nanargmin(flow)), int(np.nanargmax(flow))
    return (float(flow[least]), float(along[least])), (float(flow[most]), float(along[most]))


def _missed(
    circuit: Circuit,
    wanted: Axis,
    axes: Sequence[Axis],
    situation: tuple[str, str],
    settings: Mapping[str, Value],
    value: float,
) -> Mapping[str, str]:
    """The parts whose need is missed in the row with a value that was found, with their verdicts."""
    kinds = {path: kind for axis in (*axes, wanted) for path, kind in axis.kinds.items()}
    both = {**settings, **dict.fromkeys(wanted.values, value)}
    row = row_at(circuit, *situation, {path: text_of(each, kinds[path]) for path, each in both.items()})
    return {
        part.name: part.verdict
        for part in row.parts.values()
        if part.verdict not in (None, "served", "marginal") and (part.min_flow or part.max_flow) and not _just_met(part)
    }


def _just_met(part: PartResult) -> bool:
    """Whether it is only by the tolerance of the answer that a need is missed: it is what was looked for."""
    flow = abs(part.flow or 0.0)
    return any(bound and abs(flow - bound) < _TOLERANCE * bound for bound in (part.min_flow, part.max_flow))
