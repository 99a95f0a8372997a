"""A circuit as it stands in its file: what was written of every part, joint, engine and run, not yet read into SI."""

from __future__ import annotations

import math
from collections.abc import Iterable, Mapping
from dataclasses import dataclass, field
from functools import cache
from typing import Any, ClassVar

from netsolve.circuit import Run
from netsolve.component import Component
from netsolve.contract.cooling import Cooling
from netsolve.contract.declare import Declared, Quantity, Spec, declared, flag, quantity
from netsolve.contract.declare import Table as Curve
from netsolve.source import Node, Table, Text

FROM_HEAT = math.inf
"""Stands for a least flow that is what keeps the part's oil at its limit."""


class Placement(Declared):
    """What every part may carry besides the parameters of its component."""

    unsure: ClassVar[bool] = True

    min_flow: float | None = quantity(
        "flow",
        "least flow that it wants; from heat: what keeps the oil that it cools at its limit, else its alarm",
        shown="L/min",
        at_least=0,
        default=None,
        words={"from heat": FROM_HEAT},
    )
    max_flow: float | None = quantity("flow", "most flow that it stands", shown="L/min", above=0, default=None)
    height: float | None = quantity("length", "height above the waterline at rest", shown="m", default=None)
    count: float = quantity(
        "number", "how many alike in line", at_least=1, at_most=1000, default=1.0, exact="write a whole number"
    )
    fitted: bool = flag("whether it is fitted; if not, it is bypassed", default=True)

    def check(self) -> Iterable[str]:
        """A need that cannot be met, and half a part."""
        written = self.min_flow is not None and self.min_flow != FROM_HEAT
        if written and self.max_flow is not None and (self.min_flow or 0.0) > self.max_flow:
            yield "min_flow is above max_flow: swap the two, or leave one out"
        if self.count != int(self.count):
            yield f"count is a whole number: write {math.ceil(self.count)}"


Model = type[Declared]
"""The class of a record."""


@dataclass(frozen=True)
class Written:
    """A part, joint, engine, oil or water as written; `model` is None where its type is not known.

    `given` holds the parameters of the model, `placed` those of the records `beside` it; `cools` names an oil.
    """

    name: str
    what: str
    type: str
    model: Model | None
    given: Mapping[str, Node]
    at: Text
    placed: Mapping[str, Node] = field(default_factory=dict)
    engine: str | None = None
    cools: str | None = None
    run: str = ""
    note: str = ""

    @property
    def is_part(self) -> bool:
        return self.model is None or issubclass(self.model, Component)


@dataclass(frozen=True)
class Document:
    """All that was written, by name in file order; `gallon` is what gpm, gph and gal mean."""

    water: Written
    engines: Mapping[str, Written]
    joints: Mapping[str, Written]
    parts: Mapping[str, Written]
    runs: Mapping[str, Run]
    gallon: str | None
    oils: Mapping[str, Written] = field(default_factory=dict)

    def find(self, name: str) -> Written | None:
        """What bears the name."""
        return self.parts.get(name) or self.joints.get(name) or self.engines.get(name) or self.oils.get(name)


@cache
def keys(model: type[Declared]) -> Mapping[str, Spec]:
    """The parameters of a record that may be written, by the key under which they are."""
    fields = model.model_fields
    return {fields[name].alias or name: spec for name, spec in declared(model).items() if not spec.hidden}


@cache
def beside(model: type[Declared]) -> Mapping[str, Model]:
    """The keys that a part may carry besides its component's own, and the record that each belongs to."""
    if not issubclass(model, Component):
        return {}
    cooling = [key for key in keys(Cooling) if "cooler" in model.roles and key not in keys(model)]
    return dict.fromkeys(keys(Placement), Placement) | dict.fromkeys(cooling, Cooling)


@cache
def driven(model: type[Declared]) -> Mapping[str, Quantity]:
    """The fields that an engine fills where nothing is written, by name."""
    return {name: spec for name, spec in declared(model).items() if isinstance(spec, Quantity) and spec.engine}


@cache
def needs_density(model: type[Declared]) -> bool:
    """Whether a value of the record may be a head, whose pressure depends on the water."""
    return any(
        "head" in spec.columns.values() if isinstance(spec, Curve) else getattr(spec, "kind", "") == "head"
        for spec in declared(model).values()
    )


def plain(node: Node | float) -> Any:
    """A node without places: text, lists and mappings."""
    if isinstance(node, Text):
        return node.value
    if isinstance(node, Table):
        return {key.value: plain(value) for key, value in node.entries}
    if isinstance(node, float):
        return node
    return [plain(value) for value in node.values]
