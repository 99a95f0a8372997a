"""The circuit as it stood when something was read: hose ends moved or taken off, room for what may be stuck."""

from __future__ import annotations

from collections.abc import Mapping
from dataclasses import dataclass, replace

from netsolve.arrays.openings import bore_at
from netsolve.circuit import Circuit, End, Part, Place, Row, Run, bore_field
from netsolve.components.blockage import Blockage
from netsolve.components.discharge import Discharge
from netsolve.study.diagnosis.probe import Situation

OPENED = "opened: hose end"
"""The name of the opening where a hose was taken off; no user can give it."""
_REST = "opened: the rest"


def plug_of(part: str) -> str:
    """The name of what may be stuck in a part; no user can give it."""
    return f"plug: {part}"


def row_of(circuit: Circuit, situation: Situation) -> Row:
    """The row of a situation, with an open plug at the inlet of every part that has a bore there."""
    row = circuit.row(situation.condition, situation.change, dict(situation.settings))
    if situation.end:
        row = _end_moved(row, situation.end, situation.height)
    if situation.opened:
        row = _opened(row, situation.opened, situation.height)
    return _with_plugs(row)


def _end_moved(row: Row, run: str, height: float | None) -> Row:
    """The run's outlet held at another height, in the air."""
    place = row.places[row.runs[run].target.joint]
    written = getattr(place.joint, "bore", None)
    bore = written if written is not None else _last_bore(row, row.runs[run].parts)
    losses = getattr(place.joint, "losses", "counted")
    joint = Discharge(height=height or 0.0, bore=bore, into="air", losses=losses)
    return replace(row, places={**row.places, place.name: Place(place.name, "discharge", joint, height)})


def _opened(row: Row, part: str, height: float | None) -> Row:
    """The run cut behind a part, open to the air there; what was behind it is stopped off."""
    run = row.runs[row.parts[part].run]
    at = run.parts.index(part) + 1
    bore = _last_bore(row, run.parts[:at])
    level = height if height is not None else row.places[run.target.joint].height
    place = Place(OPENED, "discharge", Discharge(height=level or 0.0, bore=bore, into="air"), level)
    end = End(OPENED, "end")
    rest = Run(_REST, end, run.target, run.parts[at:], blanked=True)
    runs = {**row.runs, run.name: replace(run, target=end, parts=run.parts[:at]), _REST: rest}
    parts = {name: replace(each, run=_REST) if name in rest.parts else each for name, each in row.parts.items()}
    return replace(row, places={**row.places, OPENED: place}, runs=runs, parts=parts)


def _last_bore(row: Row, parts: tuple[str, ...]) -> float | None:
    bores = (bore_at(row, name, outlet=True) for name in reversed(parts) if row.parts[name].fitted)
    return next((bore for bore in bores if bore is not None), None)


def _with_plugs(row: Row) -> Row:
    plugs = {part.name: plug for part in row.parts.values() if (plug := _plug(part)) is not None}
    parts: dict[str, Part] = {}
    for name, part in row.parts.items():
        if name in plugs:
            parts[plug_of(name)] = plugs[name]
        parts[name] = part
    runs = {name: replace(run, parts=_with_names(run.parts, plugs)) for name, run in row.runs.items()}
    return replace(row, parts=parts, runs=runs)


def _with_names(parts: tuple[str, ...], plugs: Mapping[str, Part]) -> tuple[str, ...]:
    return tuple(each for name in parts for each in ((plug_of(name), name) if name in plugs else (name,)))


def _plug(part: Part) -> Part | None:
    """A plug whose hole is still the whole bore, so that nothing is lost; none where a part is one, or has no bore."""
    field = bore_field(part.component, outlet=False)
    if field is None or isinstance(part.component, Blockage):
        return None
    bore = getattr(part.component, field)
    return Part(plug_of(part.name), "blockage", part.run, Blockage(hole=bore, bore=bore), part.fitted)


@dataclass(frozen=True)
class Cut:
    """A place in a run: behind so many of its parts (plugs included)."""

    run: str
    after: int


def cut_at(row: Row, place: str) -> Cut | str:
    """Where a place is: in a run before or behind a part, or the name of a joint's node."""
    name, _, end = place.rpartition(".")
    if name not in row.parts or end not in ("in", "out"):
        return place
    run = row.runs[row.parts[name].run]
    before = plug_of(name) if end == "in" and plug_of(name) in run.parts else name
    return Cut(run.name, run.parts.index(before) + (end == "out"))
