"""The promises of the contract, for the tests of whoever writes a component, a joint or a rule.

check_component(Hose)                                              # parts all over the ranges that it declares
check_component(Hose(bore=0.016, length=3.0), Hose(bore=0.019, length=1.0, bends=2.0))       # or some of your own
"""

from __future__ import annotations

import inspect
import re
from collections.abc import Iterator, Sequence

import numpy as np

from netsolve.component import Component, Joint, Opening
from netsolve.discovery.promises import ROLES, broken
from netsolve.testing.curves import Floats, curve, sweep
from netsolve.testing.joints import joint
from netsolve.testing.loads import plugin
from netsolve.testing.ranges import drawn
from netsolve.testing.rules import check_rule
from netsolve.testing.solving import solved
from netsolve.testing.stacks import Laws, stackable, stacked
from netsolve.water import Array, Water, sea_water

__all__ = ["ROLES", "check_component", "check_rule", "plugin", "solved"]

Record = Component | Joint

FINE, COARSE = 10001, 2001
"""Flows at which each part of one's own, and each of the many that are drawn, is tried."""


def check_component(*parts: Record | type[Record], water: Water | None = None, flows: Floats | None = None) -> None:
    """Raise AssertionError with a sentence for every promise that is broken, and how to mend it.

    Give a class, and parts or joints are drawn from all over the ranges that it declares; or some of your own, of one
    class, with all its words and with every optional field given and left out. Those that may stack are stacked and
    compared with themselves one by one. `flows` (m3/s) are swept instead of some 10,000 (2,000 for drawn parts) up to
    about 4 m/s in both directions; `water` is cold sea water unless given.
    """
    if not parts:
        raise AssertionError("give check_component a class, or at least one part of it, to try")
    kinds = dict.fromkeys(each if isinstance(each, type) else type(each) for each in parts)
    told = [f"{kind.__name__} {fault}" for kind in kinds for fault in broken(kind)]
    if not told:
        used = sea_water(288.15, 35.0) if water is None else water
        points = COARSE if any(isinstance(each, type) for each in parts) else FINE
        told = list(_laws(_records(parts), used, flows, points))
    if told:
        raise AssertionError("\n".join(_once(told)))


def _once(told: Sequence[str]) -> Iterator[str]:
    """Sentences that differ only in their numbers once, with how many more there are."""
    alike: dict[str, list[str]] = {}
    for sentence in told:
        alike.setdefault(re.sub(r"-?\d[\d.e+-]*", "#", sentence.partition("): ")[2] or sentence), []).append(sentence)
    for first, *more in alike.values():
        yield f"{first} (and {len(more)} more like it)" if more else first


def _records(parts: Sequence[Record | type[Record]]) -> list[Record]:
    records: list[Record] = []
    for each in parts:
        records += drawn(each) if isinstance(each, type) else [each]
    return records


def _laws(records: list[Record], water: Water, flows: Floats | None, points: int) -> Iterator[str]:
    """What the laws break, one by one and as stacks; a law that raises is told of with its line."""
    for record in records:
        try:
            yield from (f"{record!r}: {sentence}" for sentence in _alone(record, water, flows, points))
        except Exception as error:  # whatever it raises, for whatever flow
            yield f"{record!r}: {_raised(record, error)}"
            return
    for group in stackable(records):
        name = type(group[0]).__name__
        largest = [sweep(each, _bore(each), 3)[-1] for each in group]
        try:
            yield from (f"{name}: {sentence}" for sentence in stacked(group, _of_stack(group[0]), largest, water))
        except Exception as error:
            yield f"{name}: as a stack {_raised(group[0], error)}"


def _raised(record: Record, error: Exception) -> str:
    from netsolve.discovery.blame import blame

    return blame("it raises", error, inspect.getsourcefile(type(record)) or "")


def _alone(record: Record, water: Water, flows: Floats | None, points: int) -> Iterator[str]:
    with np.errstate(all="ignore"):
        if isinstance(record, Joint):
            yield from joint(record, water)
        else:
            tried = sweep(record, record.velocity_bore, points) if flows is None else np.unique(flows)
            yield from curve(record, tried, water)


def _bore(record: Record) -> str:
    return record.velocity_bore if isinstance(record, Component) else "bore"


def _of_stack(record: Record) -> Laws:
    return _inline if isinstance(record, Component) else _opened if isinstance(record, Opening) else _ended


def _inline(record: Component, flow: Array, water: Water) -> list[Array]:
    return [record.pressure_drop(flow, water), record.slope(flow, water)]


def _opened(record: Opening, flow: Array, water: Water) -> list[Array]:
    return [record.pressure(flow, water), record.end_slope(flow, water)]


def _ended(record: Joint, flow: Array, water: Water) -> list[Array]:
    ends = [record.end_loss(flow, water), record.end_slope(flow, water)]
    if not record.paths:
        return ends
    return [*ends, *np.asarray(record.pressure_drop(np.stack([flow] * len(record.paths)), water))]
