"""What a declared field is: a number with a unit, a word, a yes or no, a table; each reads text into SI."""

from __future__ import annotations

import math
from collections.abc import Iterable, Mapping, Sequence
from dataclasses import dataclass, field
from pathlib import Path
from typing import Any

from pydantic_core import PydanticCustomError

from netsolve import units
from netsolve.laws.curve import Curve, CurveFamily
from netsolve.text import csv_table


@dataclass(frozen=True)
class Reading:
    """What the reading of a value depends on besides its text: the file's gallon, the water, the folder.

    `unsure` says whether a `±` behind a value is taken into account by whoever reads it; else it is refused.
    """

    gallon: str = "us"
    density: float | None = None
    folder: Path | None = None
    unsure: bool = False


PLAIN = Reading()


@dataclass(frozen=True)
class Quantity:
    """A declared number with a unit. `engine` names the engine's setting that stands in where none is given.

    `exact` says what to write instead where a `±` behind it is of no use; left out, one may stand there.
    """

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
    unless: str = ""
    alias: str = ""
    example: str = ""
    hidden: bool = False
    exact: str = ""

    def read(self, value: Any, reading: Reading) -> float:
        """SI value of a text (a number is taken as SI); raises PydanticCustomError."""
        if isinstance(value, str) and value.strip() in self.words:
            return self.words[value.strip()]
        if isinstance(value, str):
            value = self._number(value, reading)
        if isinstance(value, bool) or not isinstance(value, int | float):
            raise fault("not-a-number", f"{units.article(self.kind)} is wanted", self.cure())
        self._check_range(float(value))
        return float(value)

    def _number(self, text: str, reading: Reading) -> float:
        try:
            read = units.read(text, self.kind, gallon=reading.gallon, density=reading.density)
        except units.UnitError as error:
            raise fault(error.code, error.message, error.help) from None
        if read.spread is not None and (self.exact or not reading.unsure):
            help = self.exact or f"write {units.parted(text, self.kind)[0]}"
            raise fault("no-spread", "± is not taken into account here", help)
        return read.value

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
        examples = list(dict.fromkeys([*filter(None, [self.example]), *self.words, *units.examples(self.kind)]))
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
    """A declared yes or no; `worst` is the answer that would be a fault, if one would."""

    doc: str
    assumed: str = ""
    hidden: bool = False
    worst: bool | None = None

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
    """A declared list of points, or the name of a CSV file that holds them.

    `columns` maps each column's name to its kind, the first is the abscissa. `by` is a column that may be left out and
    its kind: where it is given there is one curve for each of its values.
    """

    doc: str
    columns: Mapping[str, str]
    by: tuple[str, str] | None = None
    assumed: str = ""
    example: str = ""
    hidden: bool = False

    def read(self, value: Any, reading: Reading) -> Curve | CurveFamily:
        """A curve, or with a `by` column a family, from mappings of text or a file.

        Raises PydanticCustomError that says which point and column, or the place in the file (`at`).
        """
        if isinstance(value, Curve | CurveFamily):
            return value
        if isinstance(value, str) and csv_table.is_name(value):
            return self._from_file(value.strip(), reading)
        if not isinstance(value, list | tuple) or len(value) < 2:
            help = f"for example {self._example()}, or the name of a CSV file"
            raise fault("not-a-table", "a list of at least two points is wanted", help)
        return self._through(value, reading)

    def _from_file(self, name: str, reading: Reading) -> Curve | CurveFamily:
        try:
            sheet = csv_table.read(name, reading.folder)
        except csv_table.CsvError as error:
            raise fault(error.code, error.message, error.help, at=error.at) from None
        if not set(self.columns) <= set(sheet.columns) <= set(self.kinds()):
            wanted = f"the columns {' and '.join(self.columns)} are wanted, not {' and '.join(sheet.columns)}"
            raise fault("bad-header", wanted, f"begin the file with {self.header()}", at=sheet.place())
        try:
            return self._through(sheet.points, reading)
        except PydanticCustomError as error:
            said = dict(error.context or {})
            at = sheet.place(said.pop("index", None), said.pop("column", None))
            raise fault(error.type, **{**said, "at": at}) from None

    def _through(self, points: Sequence[Any], reading: Reading) -> Curve | CurveFamily:
        names = set(self.columns)
        if self.by is not None and isinstance(points[0], Mapping) and self.by[0] in points[0]:
            names.add(self.by[0])
        read = [self._point(index, point, names, reading) for index, point in enumerate(points)]
        try:
            return Curve.through(read) if names == set(self.columns) else CurveFamily.through(read)
        except ValueError as error:
            raise fault("bad-table", str(error), "correct the points") from None

    def _point(self, index: int, point: Any, names: Iterable[str], reading: Reading) -> tuple[float, ...]:
        kinds = {name: kind for name, kind in self.kinds().items() if name in names}
        if not isinstance(point, Mapping) or set(point) != set(kinds):
            wanted = f"a point with {' and '.join(kinds)} is wanted"
            raise fault("bad-point", wanted, f"for example {self._example()}", index=index)
        values = []
        for name, kind in kinds.items():
            try:
                values.append(Quantity(kind, "", exact=_NO_POINT).read(point[name], reading))
            except PydanticCustomError as error:
                raise fault(error.type, **{**(error.context or {}), "index": index, "column": name}) from None
        return tuple(values)

    def kinds(self) -> dict[str, str]:
        """Every column that there may be, the one that may be left out last."""
        return {**self.columns, **({} if self.by is None else dict([self.by]))}

    def _example(self) -> str:
        inside = ", ".join(f"{name}: {units.examples(kind)[0]}" for name, kind in self.columns.items())
        return f"[{{{inside}}}, …]"

    def header(self) -> str:
        """The first line of a CSV file that holds such points, for example."""
        return ", ".join(f"{name} {units.shown_units(kind)[0]}" for name, kind in self.columns.items())

    def schema(self) -> dict[str, Any]:
        """The JSON Schema of the written value, for editors."""
        point = {name: Quantity(kind, name).schema() for name, kind in self.kinds().items()}
        required = list(self.columns)
        item = {"type": "object", "properties": point, "required": required, "additionalProperties": False}
        points = {"type": "array", "items": item, "minItems": 2}
        return {"description": self.doc, "anyOf": [points, {"type": "string", "pattern": csv_table.PATTERN}]}


_NO_POINT = "leave the ± of points out, and give the part as it may also be in a change of its own"

Spec = Quantity | Word | Flag | Table


def fault(code: str, message: str, help: str = "", **more: Any) -> PydanticCustomError:
    """The error that a declared field raises; `read` adds the place."""
    return PydanticCustomError(code, "{message}", {"message": message, "help": help, **more})


def _near(text: str, choices: tuple[str, ...]) -> str:
    from difflib import get_close_matches

    near = get_close_matches(text.casefold(), choices, 1)
    return f"did you mean '{near[0]}'?" if near else f"write {choices[0]}"
