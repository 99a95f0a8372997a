"""The bore at the end of a run, for the opening that it leads to."""

from __future__ import annotations

from collections.abc import Iterable, Mapping

from netsolve.circuit import Part, bore_field
from netsolve.component import Joint, Opening
from netsolve.reading.written import keys, plain
from netsolve.source import Node


def end_bore(parts: Iterable[Part], *, at_inlet: bool) -> tuple[float, str] | None:
    """The bore (m) of the first of the parts that has one, and its name; of those not fitted where no other has."""
    for part in sorted(parts, key=lambda part: not part.fitted):
        field = bore_field(part.component, outlet=not at_inlet)
        if field is not None:
            return float(getattr(part.component, field)), part.name
    return None


def wants_bore(model: type[Joint], given: Mapping[str, Node | float]) -> bool:
    """Whether an opening takes the bore of its run's end: it could have one of its own and says none."""
    if not issubclass(model, Opening) or len(model.ports) != 1 or "bore" not in keys(model):
        return False
    return "bore" not in given or plain(given["bore"]) == "none"
