"""What a sweep varies: settings with the values that they take, as typed in an option or given in Python."""

from __future__ import annotations

from collections.abc import Iterable, Mapping, Sequence
from dataclasses import dataclass
from typing import Any

import numpy as np

from netsolve.circuit import AS_FOUND, Circuit
from netsolve.contract.declare import Table
from netsolve.problems import CircuitError, Problem
from netsolve.study.settable import Settable, Value, settable, text_of
from netsolve.study.spread_out import not_rising
from netsolve.study.typed import Typed, telling

_MOST_TRIED = 500
"""Values that are each tried in the circuit before any is solved; of more, the first and the last are."""


@dataclass(frozen=True)
class Axis:
    """Settings that move together: SI numbers, words or yes and no, by path; `kinds` is empty for words."""

    values: Mapping[str, tuple[Value, ...]]
    kinds: Mapping[str, str]

    def __len__(self) -> int:
        return len(self.values[self.path])

    @property
    def path(self) -> str:
        """The path of the first of its settings."""
        return next(iter(self.values))

    @property
    def is_continuous(self) -> bool:
        """Whether every value is a number."""
        return all(self.kinds.values())

    def texts(self, place: int) -> dict[str, str]:
        """The settings at one of its places, as they are written in a file."""
        return {path: text_of(values[place], self.kinds[path]) for path, values in self.values.items()}


def axes_as_typed(circuit: Circuit, options: Sequence[Typed]) -> tuple[Axis, ...]:
    """The axes of options such as `main.speed = 700 rpm .. 2600 rpm, 7 points`. Raises CircuitError with the place."""
    axes: list[Axis] = []
    with telling(options):
        for typed in options:
            axis = _as_typed(circuit, typed)
            twice = next((path for path in axis.values if any(path in each.values for each in axes)), None)
            if twice is not None:
                raise typed.refuse("duplicate-name", f"'{twice}' is varied twice", "keep one", typed.place_of(twice))
            axes.append(axis)
    return tuple(axes)


def axes_of(circuit: Circuit, settings: Mapping[str, Any]) -> tuple[Axis, ...]:
    """The axes of `{"main.speed": ["700 rpm", …], "a.bore, b.bore": [0.016, …]}`, SI numbers or text.

    Raises CircuitError where a setting or value cannot be, ValueError where there is no value.
    """
    return tuple(_as_given(circuit, paths.split(","), _listed(values)) for paths, values in settings.items())


def _listed(values: Any) -> list[Any]:
    listed = list(values) if isinstance(values, Iterable) and not isinstance(values, str) else [values]
    if not listed:
        raise ValueError("a setting is to be varied and has no value")
    return listed


def _as_given(circuit: Circuit, paths: Sequence[str], values: Sequence[Any]) -> Axis:
    known = [setting_at(circuit, path, str(values[0])) for path in paths]
    columns = [[value if isinstance(value, str) else _text(value, each.kind) for value in values] for each in known]
    return _axis(circuit, known, columns)


def _text(value: Any, kind: str) -> str:
    return text_of(value if isinstance(value, bool) else float(value), kind)


def _as_typed(circuit: Circuit, typed: Typed) -> Axis:
    known = [setting_at(circuit, path, typed.texts[0]) for path in typed.paths]
    if typed.count is None:
        return _axis(circuit, known, [typed.texts] * len(known))
    return _axis(circuit, known, [_spaced(circuit, typed, each, typed.count) for each in known])


def _spaced(circuit: Circuit, typed: Typed, setting: Settable, count: int) -> list[str]:
    """As many texts as there are points from the one end to the other."""
    circuit.row(circuit.conditions[0], AS_FOUND, {setting.path: typed.texts[0]})
    circuit.row(circuit.conditions[0], AS_FOUND, {setting.path: typed.texts[1]})
    low, high = (setting.read(text, circuit) for text in typed.texts)
    if not (setting.kind and isinstance(low, float) and isinstance(high, float)):
        raise typed.refuse("bad-range", f"'{setting.path}' takes no range of numbers", "list its values, with commas")
    if low >= high:
        raise not_rising(typed.place())
    return [text_of(float(value), setting.kind) for value in np.linspace(low, high, count)]


def setting_at(circuit: Circuit, path: str, text: str) -> Settable:
    """The parameter that a path names. Raises CircuitError, the reader's, where nothing is called so."""
    found = settable(circuit, path)
    if found is None:
        circuit.row(circuit.conditions[0], AS_FOUND, {path.strip(): text})
        raise CircuitError([Problem("not-a-setting", f"'{path.strip()}' cannot be varied", "vary another setting")])
    if isinstance(found.spec, Table):
        help = "write a change for each curve, and compare those"
        raise CircuitError([Problem("not-a-setting", f"'{found.path}' is a curve: it takes no list of values", help)])
    return found


def _axis(circuit: Circuit, known: Sequence[Settable], columns: Sequence[Sequence[str]]) -> Axis:
    """The axis, once its values have been tried in the circuit."""
    count = len(columns[0])
    for place in range(count) if count <= _MOST_TRIED else (0, count - 1):
        texts = {each.path: column[place] for each, column in zip(known, columns, strict=True)}
        circuit.row(circuit.conditions[0], AS_FOUND, texts)
    values: dict[str, tuple[Value, ...]] = {}
    for each, column in zip(known, columns, strict=True):
        read = tuple(each.read(text, circuit) for text in column)
        values[each.path] = read if all(isinstance(value, type(read[0])) for value in read) else tuple(column)
    numbers = {path: isinstance(column[0], float) for path, column in values.items()}
    return Axis(values, {each.path: each.kind if numbers[each.path] else "" for each in known})
