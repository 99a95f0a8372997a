"""Which of the standard sizes is the smallest that serves every need in every condition, with a reserve."""

from __future__ import annotations

from collections.abc import Mapping, Sequence
from dataclasses import asdict, dataclass
from typing import Any

import numpy as np

from netsolve.circuit import Circuit
from netsolve.contract.declare import Quantity
from netsolve.judging.verdicts import MARGIN
from netsolve.problems import CircuitError, Problem
from netsolve.quantities.sizes import STANDARD
from netsolve.study.allowed import takes
from netsolve.study.axes import Axis, setting_at
from netsolve.study.crossings import PLENTY, needs_of
from netsolve.study.settable import Settable, present
from netsolve.study.sweep import Sweep, sweep
from netsolve.study.typed import Typed, telling

RESERVE = MARGIN
"""Of the least flow, what a size must give above it: with less the verdict is marginal."""


@dataclass(frozen=True)
class Tightest:
    """The need with the least to spare: flows in m3/s, `spare` in shares of what is wanted, negative if missed.

    A need is a part's `min_flow`, of which a reserve is wanted, or its `max_flow`; or that an oil settles below its
    `limit` or `alarm`: then `flow` and `wanted` are K, and `spare` is in tens of them.
    """

    need: str
    bound: str
    condition: str
    flow: float
    wanted: float
    spare: float


@dataclass(frozen=True)
class Candidate:
    """A standard size (m), whether it serves every need, and the tightest; None where a row did not settle."""

    name: str
    value: float
    serves: bool
    tightest: Tightest | None


@dataclass(frozen=True)
class Sizing:
    """The candidates of one change, the smallest first; `now` is the size as things stand, m.

    `matters` is false where no size makes a difference to any need.
    """

    change: str
    now: float | None
    candidates: tuple[Candidate, ...]
    matters: bool

    @property
    def chosen(self) -> Candidate | None:
        """The smallest that serves; None where none does."""
        return next((each for each in self.candidates if each.serves), None)

    @property
    def shown(self) -> tuple[Candidate, ...]:
        """The chosen one between the next down and the next up; where none serves, the one that comes nearest."""
        best = self.chosen or max(self.candidates, key=lambda each: each.tightest.spare if each.tightest else -np.inf)
        place = self.candidates.index(best)
        return self.candidates[max(0, place - 1) : place + 2]


def sized_settings(circuit: Circuit, typed: Typed) -> tuple[list[Settable], str]:
    """The settings that are to have the same size, and the list it comes from. CircuitError where there is none."""
    with telling([typed]):
        found = [setting_at(circuit, path, "16 mm") for path in typed.paths]
    lists = [each.spec.sizes if isinstance(each.spec, Quantity) else "" for each in found]
    for each, name in zip(found, lists, strict=True):
        if not name:
            raise typed.refuse(
                "no-sizes",
                f"'{each.path}' comes in no standard sizes that are known",
                f"look for it: netsolve sweep FILE --find '{each.path}' --for 'oil cooler = 3 gpm'",
                typed.place_of(each.path),
            )
        if name != lists[0]:
            message = f"'{each.path}' comes in {name} sizes, '{found[0].path}' in {lists[0]} sizes"
            raise typed.refuse("no-sizes", message, "size them one after the other", typed.place_of(each.path))
    return found, lists[0]


def size(
    circuit: Circuit,
    settings: Sequence[Settable],
    sizes: Mapping[str, float],
    conditions: Sequence[str],
    changes: Sequence[str],
    reserve: float = RESERVE,
) -> list[Sizing]:
    """What each size that the circuit takes gives to every need, for each change. CircuitError where none is taken."""
    found = []
    for change in changes:
        situations = [(condition, change) for condition in conditions]
        fit = {
            name: value
            for name, value in sorted(sizes.items(), key=lambda each: each[1])
            if all(takes(circuit, settings, situation, value) for situation in situations)
        }
        if not fit:
            raise CircuitError([Problem("no-sizes", f"no standard size fits {settings[0].path}", "give a bore")])
        axis = Axis({each.path: tuple(fit.values()) for each in settings}, {each.path: each.kind for each in settings})
        tried = sweep(circuit, [axis], situations)
        if not needs_of(tried):
            raise CircuitError(
                [Problem("no-need", "no part has a need to be served", "give one a min_flow, or an oil a limit")]
            )
        now = present(circuit.row(*situations[0], {}), settings[0].path)
        candidates = tuple(
            _candidate(tried, place, name, value, reserve) for place, (name, value) in enumerate(fit.items())
        )
        found.append(Sizing(change, now if isinstance(now, float) else None, candidates, _matters(tried)))
    return found


def _candidate(tried: Sweep, place: int, name: str, value: float, reserve: float) -> Candidate:
    count = len(tried.axes[0])
    tightest: Tightest | None = None
    for row, (condition, _) in enumerate(tried.situations):
        index = row * count + place
        if not tried.settled[index]:
            return Candidate(name, value, False, None)
        for need in _needs(tried, index, condition, reserve):
            tightest = need if tightest is None or need.spare < tightest.spare else tightest
    return Candidate(name, value, tightest is not None and tightest.spare >= 0, tightest)


def _needs(tried: Sweep, index: int, condition: str, reserve: float) -> list[Tightest]:
    """Every need of one row, with what is to spare."""
    found = []
    for part in tried.needs:
        flow = float(tried.carried(part)[index])
        low, high = (float(tried.bound(part, bound)[index]) for bound in ("min_flow", "max_flow"))
        if low > 0:
            wanted = low * (1 + reserve)
            spare = -np.inf if np.isinf(low) else (flow - wanted) / wanted
            found.append(Tightest(part, "min_flow", condition, flow, wanted, spare))
        if high > 0:
            found.append(Tightest(part, "max_flow", condition, flow, high, (high - flow) / high))
    for oil in tried.oils:
        settles = float(tried.plateau(oil)[index])
        for name in ("limit", "alarm"):
            bound = float(tried.oil_bound(oil, name)[index])
            if bound > 0:
                spare = -np.inf if np.isnan(settles) else (bound - settles) / PLENTY
                found.append(Tightest(oil, name, condition, settles, bound, spare))
    return found


def _matters(tried: Sweep) -> bool:
    flows = [tried.carried(part).reshape(len(tried.situations), -1) for part in tried.needs]
    flows += [tried.plateau(oil).reshape(len(tried.situations), -1) for oil in tried.oils]
    shares = (np.ptp(flow, axis=1) / (1e-12 + np.abs(flow).max(axis=1)) for flow in flows)
    return any(np.nan_to_num(share).max() > 1e-6 for share in shares)


def sizings_to_dict(found: Sequence[Sizing], settings: Sequence[Settable], reserve: float) -> dict[str, Any]:
    """The sizings as plain data, SI."""
    return {
        "size": [each.path for each in settings],
        "reserve": reserve,
        "sizings": [
            {
                "change": each.change,
                "now_m": each.now,
                "chosen": each.chosen.name if each.chosen else None,
                "matters": each.matters,
                "candidates": [_candidate_dict(candidate) for candidate in each.candidates],
            }
            for each in found
        ],
    }


def _candidate_dict(each: Candidate) -> dict[str, Any]:
    heat = each.tightest is not None and each.tightest.bound in ("limit", "alarm")
    unit = "k" if heat else "m3_s"
    keys = {"flow": f"temperature_{unit}" if heat else f"flow_{unit}", "wanted": f"wanted_{unit}"}
    tightest = each.tightest and {
        keys.get(name, name): None if isinstance(value, float) and not np.isfinite(value) else value
        for name, value in asdict(each.tightest).items()
    }
    return {"name": each.name, "value_m": each.value, "serves": each.serves, "tightest": tightest}


def sizes_of(name: str, system: str) -> Mapping[str, float]:
    """The standard sizes of a list, m by name, in the units of a system."""
    return STANDARD[name][system]
