"""What may be wrong: every way in which the parts of a circuit may foul, wear, close, leak air or be fitted wrong."""

from __future__ import annotations

from collections.abc import Iterator, Mapping
from dataclasses import dataclass, replace

import numpy as np

from netsolve.arrays.stack import Floats
from netsolve.circuit import Part, Row
from netsolve.component import Component
from netsolve.contract.declare import Flag, Quantity, declared, values_of
from netsolve.study.diagnosis.rows import plug_of
from netsolve.study.uncertain import uncertain
from netsolve.water import Water

NOTHING_WRONG, WRONG_HERE, PLUGGED, AIR = "nothing is wrong", "the model is wrong here", "plugged", "air leak"

WORDS = {
    "blinded": "blinded",
    "fouled": "fouled",
    "worn": "worn",
    "scale": "scaled up",
    "shut": "partly closed",
    "open": "partly closed",
    "blocked": "partly blocked",
    "plugged": "tubes plugged",
    "hole": "narrowed",
}
"""How a declared way of failing is called, by its parameter."""

DULL = "passes less heat"
"""What a cooler does that is coated on the oil's side, or bypassed there: its water runs as ever."""

PRIORS = {
    PLUGGED: 0.45,
    "scaled up": 0.10,
    "fouled": 0.10,
    "tubes plugged": 0.10,
    "narrowed": 0.10,
    "blinded": 0.10,
    "worn": 0.10,
    "partly blocked": 0.05,
    "partly closed": 0.05,
    "backwards": 0.03,
    AIR: 0.03,
    DULL: 0.05,
    WRONG_HERE: 0.05,
    NOTHING_WRONG: 0.10,
}
"""How likely each is before anything is read, shared by all the parts that may have it. Estimates of common practice,
no source: 45 % something stuck at the first small passage, 20 % scale and growth, 10 % a strainer, 5 % a valve."""

NARROWER = 3.0
"""So many times as likely is it that something sticks where the way becomes narrower."""

_LEAST_HOLE, _MOST_HOLE = 0.03, 0.75
_FARTHEST_OFF = 1.4
_MOST = {"worn": 0.9}


@dataclass(frozen=True)
class Fault:
    """A way in which a part may have failed.

    `values` are what its parameter may be, from hardly to wholly (SI); `fields` what they are of. A fault of a word or
    flag has one value, and `record` is what the part then is.
    """

    part: str
    fault: str
    parameter: str
    kind: str
    values: Floats
    prior: float
    fields: Mapping[tuple[str, str], Floats]
    record: Component | None = None

    @property
    def name(self) -> str:
        """As it is said: `oil cooler plugged`."""
        return f"{self.part}: {self.fault}" if self.part else self.fault

    def row(self, row: Row) -> Row:
        """The row in which the part is what the fault makes of it."""
        if self.record is None:
            return row
        part = replace(row.parts[self.part], component=self.record)
        return replace(row, parts={**row.parts, self.part: part})


def faults(row: Row, nodes: int) -> tuple[Fault, ...]:
    """Every fault that there may be in a row with plugs, each with so many values; their priors add up to one."""
    found = [_sound(), *_everything(row, nodes)]
    shares: dict[str, float] = {}
    for each in found:
        shares[each.fault] = shares.get(each.fault, 0.0) + each.prior
    weighted = [replace(each, prior=each.prior / shares[each.fault] * PRIORS[each.fault]) for each in found]
    whole = sum(each.prior for each in weighted)
    return tuple(replace(each, prior=each.prior / whole) for each in weighted)


def _sound() -> Fault:
    return Fault("", NOTHING_WRONG, "", "", np.zeros(1), 1.0, {})


def _everything(row: Row, nodes: int) -> Iterator[Fault]:
    for part in row.parts.values():
        if not part.fitted or row.runs[part.run].blanked or part.name == plug_of(part.name.removeprefix("plug: ")):
            continue
        yield from _declared(part, row.water, nodes)
        yield from _plugged(row, part, nodes)
        yield from _dull(part, nodes)
    for run in row.runs.values():
        if not run.blanked:
            yield from _wrong(row, run.parts, run.name, nodes)


def _declared(part: Part, water: Water, nodes: int) -> Iterator[Fault]:
    """The ways that the component declares: quantities with a worst value, flags that should not be set."""
    for field, spec in declared(type(part.component)).items():
        now = getattr(part.component, field)
        if isinstance(spec, Flag) and spec.worst is not None and now != spec.worst:
            record = part.component.model_copy(update={field: spec.worst})
            yield Fault(part.name, field, field, "", np.ones(1), 1.0, {}, record)
        if not isinstance(spec, Quantity) or spec.worst is None or not isinstance(now, float):
            continue
        worst = _worst(part.component, field, now, spec.worst, water)
        shape = np.linspace(0.0, 1.0, nodes + 1)[1:] ** (2.0 if spec.kind == "length" else 1.0)
        values = now + (worst - now) * _MOST.get(field, 1.0) * shape
        word = WORDS.get(field, field)
        yield Fault(part.name, word, field, spec.kind, values, 1.0, {(part.name, field): values})
    if "pump" in part.component.roles and isinstance(getattr(part.component, "rated_flow", None), float):
        shares = np.linspace(0.0, 0.9, nodes + 1)[1:]
        flows = part.component.rated_flow * (1 - shares)  # type: ignore[attr-defined]
        yield Fault(part.name, AIR, "air", "ratio", shares, 1.0, {(part.name, "rated_flow"): flows})


def _worst(component: Component, field: str, now: float, worst: float, water: Water) -> float:
    """The worst value, brought nearer as long as that makes no difference: 24 plugged tubes of 24, not a thousand."""

    def drop(value: float) -> float:
        changed = type(component).model_construct(**values_of(component) | {field: value})
        return float(changed.pressure_drop(np.float64(1e-4), water))

    while abs(worst - now) > 1e-6 and drop(worst) == drop((now + worst) / 2):
        worst = (now + worst) / 2
    return worst


def _plugged(row: Row, part: Part, nodes: int) -> Iterator[Fault]:
    plug = row.parts.get(plug_of(part.name))
    if plug is None:
        return
    bore = plug.component.bore  # type: ignore[attr-defined]
    holes = bore * np.linspace(_MOST_HOLE, _LEAST_HOLE, nodes)
    weight = NARROWER if _narrows(row, part, bore) else 1.0
    yield Fault(part.name, PLUGGED, "hole", "length", holes, weight, {(plug.name, "hole"): holes})


def _dull(part: Part, nodes: int) -> Iterator[Fault]:
    """That a cooler of an oil passes less heat than it should, by the oil's side."""
    if part.cools is None or part.cooling is None or not part.cooling.passes_heat:
        return
    values = float(part.cooling.clean) * np.linspace(0.9, 0.1, nodes)
    yield Fault(part.name, DULL, "ua", "conductance", values, 1.0, {(part.name, "ua"): values})


def _narrows(row: Row, part: Part, bore: float) -> bool:
    """Whether the way is narrower here than in what lies before it in its run."""
    names = row.runs[part.run].parts
    before = [row.parts[name] for name in names[: names.index(plug_of(part.name))] if name.startswith("plug: ")]
    wide = [each.component.bore for each in before]  # type: ignore[attr-defined]
    return bool(wide) and bore < wide[-1] - 1e-5


def _wrong(row: Row, parts: tuple[str, ...], run: str, nodes: int) -> Iterator[Fault]:
    """That the uncertain numbers of a run are off together, further than usual; above one it lets more through."""
    off = np.geomspace(1 / _FARTHEST_OFF, _FARTHEST_OFF, nodes)
    fields = {(each.name, each.field): each.value * off for each in uncertain(row) if each.name in parts}
    if fields:
        yield Fault(run, WRONG_HERE, "off by a factor", "number", off, 1.0, fields)
