"""Builds the records of a circuit from what is written, each distinct one once, and tells faults at their place."""

from __future__ import annotations

import re
from collections.abc import Iterable, Mapping
from dataclasses import dataclass, field
from pathlib import Path
from typing import Any, TypeVar

from pydantic import ValidationError

from netsolve import units
from netsolve.contract.declare import Declared, Quantity, Reading, Spec, declared
from netsolve.discovery.blame import blame
from netsolve.problems import Span
from netsolve.reading.complaints import Complaints
from netsolve.reading.written import driven, keys, needs_density, plain
from netsolve.source import Items, Node, Table
from netsolve.text import csv_table

Record = TypeVar("Record", bound=Declared)

HEIGHTS = ("height", "level")


@dataclass(frozen=True)
class Outcome:
    """What came of building a record: it, or the errors; sentences of its `check`, or how that crashed."""

    record: Declared | None = None
    errors: tuple[Mapping[str, Any], ...] = ()
    sentences: tuple[str, ...] = ()
    crash: str = ""


@dataclass(frozen=True)
class Subject:
    """Whom the faults of a record are told of: its name, where it stands, what would give it an engine."""

    name: str
    at: Span | None
    engine_help: str = ""


@dataclass
class Builder:
    """Builds records, remembers them by what is written, and complains once for everything that bears a fault.

    `unsure`: whether a `±` behind their values is taken into account.
    """

    complaints: Complaints
    gallon: str = "us"
    folder: Path | None = None
    unsure: bool = True
    used_gallon: bool = False
    _outcomes: dict[Any, Outcome] = field(default_factory=dict)

    def build(
        self,
        model: type[Record],
        given: Mapping[str, Node | float],
        *,
        subject: Subject,
        density: float | None = None,
    ) -> Record | None:
        """The record, or None after telling what is wrong. Floats among the given values are SI."""
        values = {key: plain(node) for key, node in given.items()}
        if not needs_density(model):
            density = None
        outcome = self._outcome(model, values, density)
        if outcome.record is None or outcome.sentences or outcome.crash:
            tell(outcome, model, given, subject=subject, complaints=self.complaints)
            return None
        return outcome.record  # type: ignore[return-value]  # it was built from this very model

    def reading(self, model: type[Declared], density: float | None = None) -> Reading:
        """What the reading of a value of such a record depends on besides its text."""
        return Reading(self.gallon, density, self.folder, self.unsure and model.unsure)

    def spread(self, spec: Quantity, text: str, density: float | None) -> float | None:
        """The half width written after a value that has been read before."""
        return units.read(text, spec.kind, gallon=self.gallon, density=density).spread

    def _outcome(self, model: type[Declared], values: dict[str, Any], density: float | None) -> Outcome:
        key = (model, density, *((name, _hashable(value)) for name, value in values.items()))
        found = self._outcomes.get(key)
        if found is None:
            self._watch_gallon(values)
            found = self._outcomes[key] = _try(model, values, self.reading(model, density))
        return found

    def _watch_gallon(self, value: Any) -> None:
        if isinstance(value, str) and csv_table.is_name(value):
            self._watch_gallon(csv_table.first_point(value, self.folder))
        elif isinstance(value, str):
            self.used_gallon = self.used_gallon or ("g" in value.casefold() and units.uses_gallon(value))
        elif isinstance(value, dict | list):
            for each in value.values() if isinstance(value, dict) else value:
                self._watch_gallon(each)


def _hashable(value: Any) -> Any:
    return repr(value) if isinstance(value, dict | list) else value


def _try(model: type[Declared], values: dict[str, Any], reading: Reading) -> Outcome:
    try:
        record = model.model_validate(values, context=reading)
        check = getattr(record, "check", None)
        sentences = tuple(check()) if check else ()
        return Outcome(record, sentences=sentences, crash="" if sentences else _tried(record))
    except ValidationError as error:
        return Outcome(errors=tuple(error.errors(include_url=False)))
    except (Exception, SystemExit) as error:  # a plugin may raise anything
        return Outcome(crash=blame(f"'{model.__name__}' fails", error, model.__module__))


def _tried(record: Declared) -> str:
    """What is wrong with the law of a part or joint from elsewhere; ours are held to theirs by the tests."""
    if type(record).__module__.startswith("netsolve."):
        return ""
    from netsolve.discovery.trial import faults

    return next((f"'{type(record).__name__}' fails: {fault}" for fault in faults(record)), "")


def tell(
    outcome: Outcome,
    model: type[Declared],
    given: Mapping[str, Node | float],
    *,
    subject: Subject,
    complaints: Complaints,
) -> None:
    """Turn what went wrong with a record into problems, each at the value that is to blame."""
    if outcome.crash:
        complaints.error("plugin-failed", outcome.crash, "mend the plugin, or use another type", subject.at)
    for sentence in outcome.sentences:
        help = subject.engine_help if "engine" in sentence else ""
        at, also = _at_odds(sentence, given, subject)
        complaints.error("contradiction", f"{subject.name}: {sentence}", help, at, also)
    for error in outcome.errors:
        key = str(error["loc"][0]) if error["loc"] else ""
        if error["type"] == "missing":
            tell_missing(key, model, subject, complaints)
        else:
            _tell_value(key, error, model, given=given, subject=subject, complaints=complaints)


def _at_odds(sentence: str, given: Mapping[str, Node | float], subject: Subject) -> tuple[Span | None, Span | None]:
    """The values that a sentence of `check` names: the last one written, and the one before it."""
    named = [spot(node) for key, node in given.items() if re.search(rf"\b{re.escape(key)}\b", sentence)]
    spans = sorted((span for span in named if span), key=lambda span: (span.line, span.column))
    if not spans:
        return subject.at, None
    return spans[-1], spans[-2] if len(spans) > 1 else None


def tell_missing(key: str, model: type[Declared], subject: Subject, complaints: Complaints) -> None:
    """Tell of a parameter that is wanted, with a value that could be typed."""
    spec = keys(model).get(key) or declared(model).get(key)
    help = f"add {key}: {'2 m' if key == 'length' else example(spec)}"
    if key in HEIGHTS:
        help = f"add {key}: 0.2 m; below the waterline is negative"
    if key in driven(model) and subject.engine_help:
        help = subject.engine_help
    complaints.error("missing-parameter", f"'{subject.name}' has no '{key}'", help, subject.at)


def _tell_value(
    key: str,
    error: Mapping[str, Any],
    model: type[Declared],
    *,
    given: Mapping[str, Node | float],
    subject: Subject,
    complaints: Complaints,
) -> None:
    context = error.get("ctx", {})
    spec = declared(model).get(key)
    key = key if key in given else getattr(spec, "written_as", "") or key
    if key not in given and spec is not None:
        return  # it stands in for another value, which has been told of
    message = f"{in_words(key)} of {subject.name}: {context.get('message', error['msg'])}"
    at = spot(given.get(key), context.get("index"), context.get("column")) or subject.at
    places = in_its_file(context, at)
    complaints.error(str(error["type"]).replace("_", "-"), message, context.get("help", ""), *places)


def spot(node: Node | float | None, index: int | None = None, column: str | None = None) -> Span | None:
    """The place of a value, or of one point of a table, or of one number of that point."""
    if isinstance(node, Items) and index is not None and index < len(node.values):
        node = node.values[index]
    if isinstance(node, Table) and column is not None:
        node = node.get(column) or node
    return None if node is None or isinstance(node, float) else node.span


def in_its_file(context: Mapping[str, Any], at: Span | None) -> tuple[Span | None, Span | None]:
    """Where a fault is, and where else: in the file of points that is named there, or there alone."""
    inside = context.get("at")
    return (at, None) if inside is None else (inside, at)


def in_words(key: str) -> str:
    """A parameter as it is said in a sentence."""
    return key.replace("_", " ")


def example(spec: Spec | None) -> str:
    """A value that could be typed for a parameter."""
    if isinstance(spec, Quantity):
        return units.examples(spec.kind)[0]
    choices: Iterable[str] = getattr(spec, "choices", ())
    columns: Mapping[str, str] = getattr(spec, "columns", {})
    if columns:
        inside = ", ".join(f"{name}: {units.examples(kind)[0]}" for name, kind in columns.items())
        return f"[{{{inside}}}, {{…}}]"
    return next(iter(choices), "yes")
