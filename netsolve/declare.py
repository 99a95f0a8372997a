"""Declared fields: one line says what a parameter is, and text becomes an SI value by it.

`quantity()`, `word()`, `flag()` and `table()` make pydantic fields. From such a declaration come the YAML keys, the
unit checks, the error texts, the catalogue page and the editor schema.
"""

from __future__ import annotations

import math
from collections.abc import Mapping
from dataclasses import dataclass, field
from pathlib import Path
from typing import Any, dataclass_transform

from pydantic import BaseModel, ConfigDict, Field, ValidationInfo, field_validator, model_validator
from pydantic_core import PydanticCustomError, PydanticUndefined

from netsolve import units
from netsolve.curve import Curve

REQUIRED: Any = PydanticUndefined


@dataclass(frozen=True)
class Reading:
    """What the reading of a value depends on besides its text: the file's gallon, the water, the folder."""

    gallon: str = "us"
    density: float | None = None
    folder: Path | None = None


PLAIN = Reading()


@dataclass(frozen=True)
class Quantity:
    """A declared number with a unit. `engine` names the engine's setting that stands in where none is given."""

    kind: str
    doc: str
    shown: str = ""
    above: float | None = None
    below: float | None = None
    at_least: float | None = None
    at_most: float | None = None
    assumed: str = ""
    words: Mapping[str, float] = field(default_factory=dict)
    worst: float | None = None
    spread: float | None = None
    sizes: str = ""
    same_as: str = ""
    engine: str = ""
    times: str = ""
    written_as: str = ""
    alias: str = ""
    hidden: bool = False

    def read(self, value: Any, reading: Reading) -> float:
        """SI value of a text (a number is taken as SI); raises PydanticCustomError."""
        if isinstance(value, str):
            value = self._number(value, reading)
        if isinstance(value, bool) or not isinstance(value, int | float):
            raise fault("not-a-number", f"{units.article(self.kind)} is wanted", self.cure())
        self._check_range(float(value))
        return float(value)

    def _number(self, text: str, reading: Reading) -> float:
        if text.strip() in self.words:
            return self.words[text.strip()]
        try:
            return units.read(text, self.kind, gallon=reading.gallon, density=reading.density).value
        except units.UnitError as error:
            raise fault(error.code, error.message, error.help) from None

    def _check_range(self, value: float) -> None:
        if not math.isfinite(value):
            raise fault("not-finite", "a finite number is wanted", self.cure())
        limits = (
            (self.above is not None and value <= self.above, "above", self.above),
            (self.below is not None and value >= self.below, "below", self.below),
            (self.at_least is not None and value < self.at_least, "at least", self.at_least),
            (self.at_most is not None and value > self.at_most, "at most", self.at_most),
        )
        for broken, words, limit in limits:
            if broken:
                wanted = f"must be {words} {self.display(limit or 0.0)}, not {self.display(value)}"
                raise fault("out-of-range", wanted, self.cure())

    def display(self, value: float, system: str = "metric") -> str:
        """The value as people read it."""
        for text, meaning in self.words.items():
            if meaning == value and not text[0].isdigit():
                return text
        return units.show(value, self.kind, system=system)

    def cure(self) -> str:
        """An example that can be typed."""
        return f"for example {units.examples(self.kind)[0]}"

    def schema(self) -> dict[str, Any]:
        """The JSON Schema of the written value, for editors."""
        examples = [*self.words, *units.examples(self.kind)]
        written: dict[str, Any] = {"type": "string", "pattern": units.pattern(self.kind)}
        options = [written, {"type": "number"}] if self.kind in ("number", "ratio") else [written]
        if self.words:
            options.append({"enum": list(self.words)})
        shape = options[0] if len(options) == 1 else {"anyOf": options}
        return {"description": self.doc, "examples": examples, **shape}


@dataclass(frozen=True)
class Word:
    """A declared choice between words."""

    doc: str
    choices: tuple[str, ...]
    assumed: str = ""
    hidden: bool = False

    def read(self, value: Any, reading: Reading) -> str:
        """One of the choices, compared without case; raises PydanticCustomError."""
        text = value.strip().casefold() if isinstance(value, str) else value
        for choice in self.choices:
            if text == choice.casefold():
                return choice
        raise fault("unknown-word", f"'{value}' is none of {', '.join(self.choices)}", _near(str(value), self.choices))

    def schema(self) -> dict[str, Any]:
        """The JSON Schema of the written value, for editors."""
        return {"description": self.doc, "enum": list(self.choices)}


@dataclass(frozen=True)
class Flag:
    """A declared yes or no."""

    doc: str
    assumed: str = ""
    hidden: bool = False

    def read(self, value: Any, reading: Reading) -> bool:
        """True for yes and true, False for no and false; raises PydanticCustomError."""
        known = {"yes": True, "true": True, "no": False, "false": False}
        if isinstance(value, bool):
            return value
        if isinstance(value, str) and value.strip().casefold() in known:
            return known[value.strip().casefold()]
        raise fault("not-yes-or-no", f"yes or no is wanted, not '{value}'", "write yes or no")

    def schema(self) -> dict[str, Any]:
        """The JSON Schema of the written value, for editors."""
        return {"description": self.doc, "enum": ["yes", "no", True, False]}


@dataclass(frozen=True)
class Table:
    """A declared list of points; `columns` maps each column's name to its kind, the first is the abscissa."""

    doc: str
    columns: Mapping[str, str]
    assumed: str = ""
    hidden: bool = False

    def read(self, value: Any, reading: Reading) -> Curve:
        """A Curve from a list of mappings of text; raises PydanticCustomError that says which point and column."""
        if isinstance(value, Curve):
            return value
        if not isinstance(value, list | tuple) or len(value) < 2:
            raise fault("not-a-table", "a list of at least two points is wanted", f"for example {self._example()}")
        points = [self._point(index, point, reading) for index, point in enumerate(value)]
        try:
            return Curve.through(points)
        except ValueError as error:
            raise fault("bad-table", str(error), "correct the points") from None

    def _point(self, index: int, point: Any, reading: Reading) -> tuple[float, ...]:
        if not isinstance(point, Mapping) or set(point) != set(self.columns):
            wanted = f"a point with {' and '.join(self.columns)} is wanted"
            raise fault("bad-point", wanted, f"for example {self._example()}", index=index)
        values = []
        for name, kind in self.columns.items():
            try:
                values.append(Quantity(kind, "").read(point[name], reading))
            except PydanticCustomError as error:
                raise fault(error.type, **{**(error.context or {}), "index": index, "column": name}) from None
        return tuple(values)

    def _example(self) -> str:
        inside = ", ".join(f"{name}: {units.examples(kind)[0]}" for name, kind in self.columns.items())
        return f"[{{{inside}}}, …]"

    def schema(self) -> dict[str, Any]:
        """The JSON Schema of the written value, for editors."""
        point = {name: Quantity(kind, name).schema() for name, kind in self.columns.items()}
        item = {"type": "object", "properties": point, "required": list(point), "additionalProperties": False}
        return {"description": self.doc, "type": "array", "items": item, "minItems": 2}


Spec = Quantity | Word | Flag | Table


def quantity(kind: str, doc: str, *, default: Any = REQUIRED, **more: Any) -> Any:
    """A field that holds a number: text with a unit in, an SI float out.

    `kind` is one of `netsolve.units.KINDS`; `doc` says what to read off the part. `above`, `below` (exclusive),
    `at_least`, `at_most` bound it in SI; `shown` is the unit for tables; `assumed` says where an estimated default
    comes from; `words` are texts that stand for values; `worst` is the value when wholly fouled, worn or closed;
    `spread` the usual relative uncertainty; `sizes` the standard size list it comes in; `same_as` the field whose
    value is taken when none is given; `engine` (and `times`) the engine's setting taken (and the field that
    multiplies it); `written_as` the key under which it is written too, told apart by its dimension;
    `alias` the one key under which it is written, where the field cannot bear that name.
    """
    return _field(Quantity(kind, doc, **more), default, alias=more.get("alias"))


def word(doc: str, *choices: str, default: Any = REQUIRED, assumed: str = "", hidden: bool = False) -> Any:
    """A field that holds one of a few words."""
    return _field(Word(doc, choices, assumed, hidden), default)


def flag(doc: str, *, default: Any = REQUIRED, assumed: str = "", hidden: bool = False) -> Any:
    """A field that holds yes or no."""
    return _field(Flag(doc, assumed, hidden), default)


def table(doc: str, *, default: Any = REQUIRED, hidden: bool = False, **columns: str) -> Any:
    """A field that holds a curve; each column is given as `name="kind"`, the abscissa first."""
    return _field(Table(doc, columns, hidden=hidden), default)


def _field(spec: Spec, default: Any, *, alias: str | None = None) -> Any:
    extra: dict[str, Any] = {"declared": spec}
    return Field(default=default, alias=alias, description=spec.doc, json_schema_extra=extra)


def fault(code: str, message: str, help: str = "", **more: Any) -> PydanticCustomError:
    """The error that a declared field raises; `read` adds the place."""
    return PydanticCustomError(code, "{message}", {"message": message, "help": help, **more})


def _near(text: str, choices: tuple[str, ...]) -> str:
    from difflib import get_close_matches

    near = get_close_matches(text.casefold(), choices, 1)
    return f"did you mean '{near[0]}'?" if near else f"write {choices[0]}"


def _schema_of(schema: dict[str, Any], model: type[BaseModel]) -> None:
    specs = declared(model)
    keys = {name: info.alias or name for name, info in model.model_fields.items()}
    schema["properties"] = {keys[name]: spec.schema() for name, spec in specs.items() if not spec.hidden}


@dataclass_transform(kw_only_default=True, field_specifiers=(quantity, word, flag, table))
class Declared(BaseModel):
    """A frozen record made of declared fields; text is read into SI as it is built."""

    model_config = ConfigDict(
        frozen=True,
        extra="forbid",
        arbitrary_types_allowed=True,
        protected_namespaces=(),
        json_schema_extra=_schema_of,
    )

    @model_validator(mode="before")
    @classmethod
    def _stand_ins(cls, data: Any, info: ValidationInfo) -> Any:
        """Take `none` away, send a text to the field that its dimension fits, fill what equals another field."""
        if not isinstance(data, dict):
            return data
        given = {
            name: value
            for name, value in data.items()
            if not (isinstance(value, str) and value == "none" and _drops(cls, name))
        }
        for name, spec in declared(cls).items():
            if not isinstance(spec, Quantity):
                continue
            if spec.written_as in given and _fits(given[spec.written_as], spec.kind):
                given[name] = given.pop(spec.written_as)
            if spec.same_as and name not in given and spec.same_as in given:
                given[name] = given[spec.same_as]
        return given

    @field_validator("*", mode="before")
    @classmethod
    def _read(cls, value: Any, info: ValidationInfo) -> Any:
        spec = declared(cls).get(info.field_name or "")
        if spec is None or value is None:
            return value
        return spec.read(value, info.context or PLAIN)


def _drops(model: type[BaseModel], name: str) -> bool:
    """`none` takes an optional parameter away, unless it is a word of its own."""
    spec = declared(model).get(name)
    info = model.model_fields.get(name)
    own_word = isinstance(spec, Word) and "none" in spec.choices
    return info is not None and info.default is None and not own_word


def _fits(value: Any, kind: str) -> bool:
    return isinstance(value, str) and units.fits(value, kind)


_DECLARED: dict[type[BaseModel], dict[str, Spec]] = {}


def declared(model: type[BaseModel]) -> Mapping[str, Spec]:
    """The declared fields of a record by name, in the order of declaration."""
    known = _DECLARED.get(model)
    if known is None:
        known = _DECLARED[model] = _specs(model)
    return known


def _specs(model: type[BaseModel]) -> dict[str, Spec]:
    specs: dict[str, Spec] = {}
    for name, info in model.model_fields.items():
        extra = info.json_schema_extra
        if isinstance(extra, dict) and "declared" in extra:
            specs[name] = extra["declared"]  # type: ignore[assignment]
    return specs
