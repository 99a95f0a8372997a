"""One part by itself: what settings or the catalogue's example make of it, and what it takes at a few flows."""

from __future__ import annotations

import math
import re
from collections.abc import Sequence
from dataclasses import dataclass, replace
from pathlib import Path

import numpy as np

from netsolve import units
from netsolve.component import Component, Joint, Opening
from netsolve.contract.declare import Flag, Quantity, Spec, Table, Word, declared
from netsolve.contract.waters import SeaWater
from netsolve.discovery.blame import blame
from netsolve.problems import CircuitError, Problem, Span
from netsolve.reading.building import Builder, Subject
from netsolve.reading.complaints import Complaints
from netsolve.reading.shapes import Keys
from netsolve.reading.written import keys
from netsolve.source import parse
from netsolve.study.flow_range import flows_of, usual_flows
from netsolve.study.spread_out import POINTS
from netsolve.water import Water

_SEA = SeaWater()
"""The water in which a part is tried."""


@dataclass(frozen=True)
class Point:
    """Drop (Pa) and velocity (m/s; None where no bore is known) at a flow (m3/s); the drop is nan where it fails."""

    flow: float
    drop: float
    velocity: float | None


@dataclass(frozen=True)
class Tried:
    """A part with the settings that it was made of, as written, and what it takes in sea water."""

    type: str
    part: Component
    settings: tuple[str, ...]
    points: tuple[Point, ...]

    @property
    def liquid(self) -> SeaWater:
        """The water in which it was tried."""
        return _SEA


def tried(
    type: str, model: type[Component], settings: Sequence[str], flows: str | None = None, *, columns: int = POINTS
) -> Tried:
    """What a part takes over a range of flows, or over those it usually carries; without settings the example's.

    `columns` is how many of the usual flows there are.

    Raises CircuitError.
    """
    made_of = tuple(settings) or tuple(f"{key}={value}" for key, value in example(model).items())
    water = _SEA.water()
    wanted = None if flows is None else flows_of(flows)
    part = described(type, model, made_of, float(water.density))
    return Tried(type, part, made_of, tuple(curve(type, part, wanted or usual_flows(part, columns), water)))


def example(model: type[Component] | type[Joint]) -> dict[str, str]:
    """Parameters that describe one such thing, as they are written: what must be given, and what has an example."""
    info = model.model_fields
    placed = model.datum if issubclass(model, Opening) else ""
    return {
        info[name].alias or name: _typed(spec)
        for name, spec in declared(model).items()
        if not spec.hidden and (info[name].is_required() or _example(spec) or name == placed)
    }


def _example(spec: Spec) -> str:
    """The text that the declaration gives as an example, if it does."""
    return spec.example if isinstance(spec, Quantity | Table) else ""


def _typed(spec: Spec) -> str:
    """The example of the declaration, or a text of the kind that is wanted."""
    if _example(spec):
        return _example(spec)
    if isinstance(spec, Quantity):
        return units.examples(spec.kind)[0]
    if isinstance(spec, Word):
        return spec.choices[0]
    if isinstance(spec, Flag):
        return "yes"
    points = (", ".join(f"{name}: {units.examples(kind)[n]}" for name, kind in spec.columns.items()) for n in (0, 1))
    return f"[{', '.join(f'{{{point}}}' for point in points)}]"


def described(type: str, model: type[Component], settings: Sequence[str], density: float) -> Component:
    """The part that settings such as `bore=16 mm` make. Raises CircuitError with each fault at its setting."""
    _check_form(settings)
    complaints = Complaints()
    whole = Span("--set", 1, 1, len(settings[0]), settings[0]) if settings else None
    try:
        table = parse("\n".join(text.replace("=", ": ", 1) for text in settings), "--set") if settings else None
        given = Keys(type, keys(model)).sorted_out(table.entries if table else (), complaints)
        builder = Builder(complaints, folder=Path.cwd(), unsure=False)
        part = builder.build(model, given, subject=Subject(type, whole), density=density)
        complaints.stop()
    except CircuitError as error:
        raise CircuitError(_as_typed(problem, settings) for problem in error.problems) from None
    assert part is not None  # else a complaint has stopped it
    return part


def _check_form(settings: Sequence[str]) -> None:
    """Each is one line of a name, `=` and a value."""
    problems = []
    for line, text in enumerate(settings, 1):
        name, sign, value = text.partition("=")
        if not (name.strip() and sign and value.strip()) or len(text.splitlines()) > 1:
            at = Span("--set", line, 1, len(text), text)
            problems.append(Problem("bad-setting", f"'{text}' is not NAME=VALUE", "write --set 'bore=16 mm'", at))
    if problems:
        raise CircuitError(problems)


def _as_typed(problem: Problem, settings: Sequence[str]) -> Problem:
    """The problem at the text as it stands on the command line, its help as it is typed there."""
    help = re.sub(r"^add (\w+): ([^;{]+)$", r"add --set '\1=\2'", problem.help)
    return replace(problem, help=help, at=_on_line(problem.at, settings), also=_on_line(problem.also, settings))


def _on_line(span: Span | None, settings: Sequence[str]) -> Span | None:
    if span is None or span.file != "--set" or not 0 < span.line <= len(settings):
        return span
    text = settings[span.line - 1]
    behind = span.column > text.index("=") + 1  # there the line that was read has one character more
    return replace(span, column=span.column - behind, text=text)


def curve(type: str, part: Component, flows: Sequence[float], water: Water) -> list[Point]:
    """What the part takes at each flow. Raises CircuitError where its law fails."""
    try:
        drops = np.broadcast_to(np.asarray(part.pressure_drop(np.array(flows), water), dtype=float), (len(flows),))
    except Exception as error:  # a plugin may raise anything
        told = blame(f"'{type}' fails", error, part.__module__)
        raise CircuitError([Problem("plugin-failed", told, "mend the plugin")]) from None
    bore = getattr(part, part.velocity_bore, None) if part.velocity_bore else None
    across = math.pi / 4 * bore**2 if bore else None
    return [
        Point(flow, float(drop), flow / across if across else None) for flow, drop in zip(flows, drops, strict=True)
    ]
