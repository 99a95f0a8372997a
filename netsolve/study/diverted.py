"""Where the water goes that an engine's pump moves: what share of it leaves otherwise than through an exhaust."""

from __future__ import annotations

from collections.abc import Iterator
from dataclasses import dataclass

from netsolve.circuit import Row
from netsolve.component import Opening
from netsolve.result import Result, RowResult
from netsolve.study.comparison import pairs


@dataclass(frozen=True, slots=True)
class Diverted:
    """The share of the engine-driven flow that reaches no exhaust, before and after a change; None without any."""

    change: str
    condition: str
    before: float | None
    after: float | None


def diverted(result: Result) -> tuple[Diverted, ...]:
    """What each change diverts in each condition, in the order of the rows."""
    shares = [share_diverted(row, state) for row, state in zip(result, result.states, strict=True)]
    return tuple(
        Diverted(result.rows[last].change, result.rows[last].condition, shares[first], shares[last])
        for first, last in pairs(result)
    )


@dataclass(frozen=True)
class _Leg:
    """A run in the direction of its flow, m3/s; `pumped` where a pump of an engine stands in it."""

    source: str
    target: str
    flow: float
    pumped: bool


def share_diverted(row: RowResult, state: Row) -> float | None:
    """Of the engine-driven water that leaves a settled row, the share that does not go into an exhaust."""
    legs = list(_legs(row, state))
    openings = {name for name, place in state.places.items() if isinstance(place.joint, Opening)}
    share = _engine_shares(legs, openings)
    leaving = [(leg.target, leg.flow * _share(leg, share)) for leg in legs if leg.target in openings]
    total = sum(flow for _, flow in leaving)
    if total <= 0:
        return None
    exhaust = sum(flow for target, flow in leaving if "exhaust" in state.places[target].joint.roles)
    return max(0.0, 1 - exhaust / total)


def _legs(row: RowResult, state: Row) -> Iterator[_Leg]:
    for name, run in row.runs.items():
        if not run.flow:
            continue
        ends = (state.runs[name].source.joint, state.runs[name].target.joint)
        source, target = ends if run.flow > 0 else ends[::-1]
        parts = [state.parts[part] for part in run.parts]
        pumped = any(part.fitted and part.engine and "pump" in part.component.roles for part in parts)
        yield _Leg(source, target, abs(run.flow), pumped)


def _share(leg: _Leg, share: dict[str, float]) -> float:
    return 1.0 if leg.pumped else share.get(leg.source, 0.0)


def _engine_shares(legs: list[_Leg], openings: set[str]) -> dict[str, float]:
    """The share of engine-driven water at each joint, mixed evenly: what comes in through an opening is not driven.

    From none it grows with every sweep as far as water has run; in a circle it nears what it comes to.
    """
    joints = {leg.target for leg in legs} - openings
    arriving = {joint: [leg for leg in legs if leg.target == joint] for joint in joints}
    share: dict[str, float] = {}
    for _ in range(len(joints) + 1):
        share = {
            joint: sum(leg.flow * _share(leg, share) for leg in into) / sum(leg.flow for leg in into)
            for joint, into in arriving.items()
        }
    return share
