"""Declared fields: one line says what a parameter is, and text becomes an SI value by it.

`quantity()`, `word()`, `flag()` and `table()` make pydantic fields. From such a declaration come the YAML keys, the
unit checks, the error texts, the catalogue page and the editor schema.
"""

from __future__ import annotations

from collections.abc import Mapping
from dataclasses import replace
from typing import Any, ClassVar, dataclass_transform

from pydantic import BaseModel, ConfigDict, Field, ValidationInfo, create_model, field_validator, model_validator
from pydantic_core import PydanticUndefined

from netsolve import units
from netsolve.contract.specs import PLAIN, Flag, Quantity, Reading, Spec, Table, Word, fault

__all__ = [
    "PLAIN",
    "REQUIRED",
    "Declared",
    "Flag",
    "Quantity",
    "Reading",
    "Spec",
    "Table",
    "Word",
    "declared",
    "fault",
    "flag",
    "quantity",
    "table",
    "with_values",
    "word",
]

REQUIRED: Any = PydanticUndefined


def quantity(kind: str, doc: str, *, default: Any = REQUIRED, **more: Any) -> Any:
    """A field that holds a number: text with a unit in, an SI float out.

    `kind` is one of `netsolve.units.KINDS`; `doc` says what to read off the part. `above`, `below` (exclusive),
    `at_least`, `at_most` bound it in SI; `shown` is the unit for tables; `assumed` says where an estimated default
    comes from; `words` are texts that stand for values; `worst` is the value when wholly fouled, worn or closed;
    `spread` the usual relative uncertainty; `sizes` the standard size list it comes in; `same_as` the field whose
    value is taken when none is given; `engine` (and `times`) the engine's setting taken (and the field that
    multiplies it); `written_as` the key under which it is written too, told apart by its dimension; `unless` a field
    that leaves this one without effect where it is given;
    `alias` the one key under which it is written, where the field cannot bear that name; `example` what the
    catalogue writes for it, which puts a field that may be left out into the catalogue's example.

    A text without the right unit, or a value out of bounds, is told at its place in the file; where the class is called
    it raises pydantic's ValidationError. Numbers are taken as SI.
    """
    return _field(Quantity(kind, doc, **more), default, alias=more.get("alias"))


def word(doc: str, *choices: str, default: Any = REQUIRED, assumed: str = "", hidden: bool = False) -> Any:
    """A field that holds one of a few words, compared without case; another is told with the nearest."""
    return _field(Word(doc, choices, assumed, hidden), default)


def flag(
    doc: str, *, default: Any = REQUIRED, assumed: str = "", hidden: bool = False, worst: bool | None = None
) -> Any:
    """A field that holds yes or no: `yes`, `no`, `true` or `false` in a file, a bool inside.

    `worst` is the answer that would be a fault, as of a part fitted backwards.
    """
    return _field(Flag(doc, assumed, hidden, worst), default)


def table(
    doc: str,
    *,
    default: Any = REQUIRED,
    by: tuple[str, str] | None = None,
    example: str = "",
    hidden: bool = False,
    **columns: str,
) -> Any:
    """A field that holds a curve; each column is given as `name="kind"`, the abscissa first, `example` as YAML.

    `by=("speed", "rotation")` is a further column that may be left out: where it is written, the field holds a
    CurveFamily with one curve for each of its values.
    """
    file = f"; a list, or a CSV file beside the circuit that begins with '{Table(doc, columns).header()}'"
    return _field(Table(doc + file, columns, by, example=example, hidden=hidden), default)


def _field(spec: Spec, default: Any, *, alias: str | None = None, read_again: bool = False) -> Any:
    extra: dict[str, Any] = {"declared": spec}
    return Field(
        default=default, alias=alias, description=spec.doc, json_schema_extra=extra, validate_default=read_again or None
    )


def with_values(
    model: type[Declared], values: Mapping[str, Any], *, name: str, module: str, hidden: tuple[str, ...] = ()
) -> type[Any]:
    """A model like another in which some fields have usual values, SI; `hidden` ones cannot be written any more.

    Those of hidden fields may be texts too: they are read each time, as heads are by the density of the water.
    """
    fields: dict[str, Any] = {}
    for field, value in values.items():
        spec = replace(
            declared(model)[field], hidden=field in hidden, assumed="", **_no_example(declared(model)[field])
        )
        info = model.model_fields[field]
        fields[field] = (info.annotation, _field(spec, value, alias=info.alias, read_again=field in hidden))
    return create_model(name, __base__=model, __module__=module, **fields)


def _no_example(spec: Spec) -> dict[str, Any]:
    """What has a usual value need not stand in the catalogue's example."""
    return {"example": ""} if isinstance(spec, Quantity | Table) else {}


def _schema_of(schema: dict[str, Any], model: type[BaseModel]) -> None:
    specs = declared(model)
    keys = {name: info.alias or name for name, info in model.model_fields.items()}
    schema["properties"] = {keys[name]: spec.schema() for name, spec in specs.items() if not spec.hidden}


@dataclass_transform(kw_only_default=True, field_specifiers=(quantity, word, flag, table))
class Declared(BaseModel):
    """A frozen record made of declared fields; text is read into SI as it is built.

    `unsure`: whether a `±` behind its values is taken into account; else it is refused.
    """

    unsure: ClassVar[bool] = False

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


def values_of(record: BaseModel) -> dict[str, Any]:
    """The fields of a record with their values, without what it keeps of what it has worked out."""
    return {name: record.__dict__[name] for name in type(record).model_fields}


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
