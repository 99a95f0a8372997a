"""A sweep as text of 80 columns: a line for each row, what was set and what each need gets."""

from __future__ import annotations

import math
from collections.abc import Iterator, Mapping, Sequence
from dataclasses import dataclass
from functools import cache
from itertools import zip_longest
from math import prod

import numpy as np

from netsolve import units
from netsolve.problems import printable
from netsolve.study.comparison import UNSETTLED
from netsolve.study.settable import Value, present
from netsolve.study.sweep import Sweep
from netsolve.views import wording
from netsolve.views.markup import wrap

_WIDTH = 80
_SETTING = 18
"""The widest column of what was set."""
_FLOW, _VERDICT = 12, 11
_GAP = 2


@dataclass(frozen=True)
class Column:
    """A column of a table: its head, in lines, and a text for each row."""

    head: tuple[str, ...]
    cells: Sequence[str]

    @property
    def width(self) -> int:
        """The longest of its texts."""
        return max(map(len, (*self.head, *self.cells)))


def sweep_lines(sweep: Sweep, system: str) -> Iterator[str]:
    """The lines of the tables: one table for each situation, and as many more as its needs take."""
    yield printable(sweep.circuit.name)
    for path in _set_otherwise(sweep):
        yield from wrap(f"note: {path} is not the same in all of these as written; here it is what is varied", _WIDTH)
    each = prod(sweep.shape)
    for place, (condition, change) in enumerate(sweep.situations):
        rows = slice(place * each, (place + 1) * each)
        yield ""
        yield printable(f"{condition}, {change}")
        for columns in _tables(sweep, rows, system):
            yield from _lines(columns)
        unsettled = int(np.count_nonzero(~sweep.settled[rows]))
        if unsettled:
            yield f"{unsettled} of {each} rows did not settle and have no answer"


def _set_otherwise(sweep: Sweep) -> Iterator[str]:
    """The settings that conditions or changes make too, which the sweep overrules."""
    rows = [row for row in sweep.circuit.rows if (row.condition, row.change) in sweep.situations]
    for path in (path for axis in sweep.axes for path in axis.values):
        if len({present(row, path) for row in rows}) > 1:
            yield path


def _lines(columns: Sequence[Column]) -> Iterator[str]:
    widths = [column.width for column in columns]
    heads = zip_longest(*(column.head for column in columns), fillvalue="")
    for cells in (*heads, *zip(*(column.cells for column in columns), strict=True)):
        yield (" " * _GAP).join(cell.ljust(width) for cell, width in zip(cells, widths, strict=True)).rstrip()


def _tables(sweep: Sweep, rows: slice, system: str) -> Iterator[list[Column]]:
    """The columns of each table: what was set, then as many needs as there is room for."""
    settings = _settings(sweep, system)
    room = _WIDTH - sum(column.width + _GAP for column in settings)
    needs = [_need(sweep, name, rows, system) for name in sweep.needs]
    needs += [_oil(sweep, name, rows, system) for name in sweep.oils]
    fit = max(1, (room + _GAP) // (_FLOW + _VERDICT + _GAP))
    for first in range(0, max(1, len(needs)), fit):
        yield [*settings, *needs[first : first + fit]]


def _settings(sweep: Sweep, system: str) -> list[Column]:
    columns = []
    for axis in sweep.axes:
        for path, kind in axis.kinds.items():
            shown = {value: _short(value_text(value, kind, system)) for value in axis.values[path]}
            cells = [shown[combination[path]] for combination in sweep.combinations]
            columns.append(Column(_head(path.replace(".", " ", 1), _SETTING), cells))
    return columns


def value_text(value: Value, kind: str, system: str) -> str:
    """What was set, as people read it."""
    if isinstance(value, bool):
        return "yes" if value else "no"
    return printable(value) if isinstance(value, str) else units.show(value, kind, system=system)


def settings_text(settings: Mapping[str, Value], kinds: Mapping[str, str], system: str) -> str:
    """What was set, settings with one value together: `feed hose.bore, return hose.bore 16 mm`."""
    shared: dict[str, list[str]] = {}
    for path, value in settings.items():
        shared.setdefault(value_text(value, kinds[path], system), []).append(path)
    return ", ".join(f"{', '.join(paths)} {text}" for text, paths in shared.items())


def _short(text: str) -> str:
    return text if len(text) <= _SETTING else f"{text[: _SETTING - 1]}…"


def _head(words: str, width: int) -> tuple[str, ...]:
    return tuple(wrap(words, width))


def _need(sweep: Sweep, name: str, rows: slice, system: str) -> Column:
    """Flow and verdict of a part with a need."""

    @cache
    def shown(flow: float) -> str:
        return wording.flow(flow, system, both=False)

    cells = []
    for flow, verdict, settled in zip(
        sweep.flow(name)[rows].tolist(), sweep.verdict(name)[rows], sweep.settled[rows], strict=True
    ):
        if not settled:
            cells.append(wording.word(UNSETTLED))
        elif math.isnan(flow):
            cells.append("not fitted")
        else:
            cells.append(f"{shown(flow):<{_FLOW}}{wording.word(verdict)}")
    return Column((*_head(name, _FLOW + _VERDICT), *_bounds(sweep, name, rows, system)), cells)


def _oil(sweep: Sweep, name: str, rows: slice, system: str) -> Column:
    """Where an oil settles, and when it passes its alarm."""
    cells = []
    for plateau, time, settled in zip(
        sweep.plateau(name)[rows].tolist(), sweep.time_to_alarm(name)[rows].tolist(), sweep.settled[rows], strict=True
    ):
        where = "unsettled" if math.isnan(plateau) else units.show(plateau, "temperature", system=system)
        alarm = f"alarm {units.show(time, 'time', system=system)}" if math.isfinite(time) else ""
        cells.append(f"{where:<{_FLOW}}{alarm}" if settled else wording.word(UNSETTLED))
    bounds = [
        f"{bound} {units.show(values.pop(), 'temperature', system=system)}"
        for bound in ("limit", "alarm")
        if len(values := set(sweep.oil_bound(name, bound)[rows].tolist())) == 1 and not any(map(math.isnan, values))
    ]
    return Column((*_head(f"{name} settles at", _FLOW + _VERDICT), *bounds), cells)


def _bounds(sweep: Sweep, name: str, rows: slice, system: str) -> Iterator[str]:
    """What it needs, where it needs the same in all of these rows."""
    for sign, bound in (("≥", "min_flow"), ("≤", "max_flow")):
        amounts = set(sweep.bound(name, bound)[rows].tolist())
        if len(amounts) == 1 and not math.isnan(amount := amounts.pop()):
            wanted = f"{sign} {wording.flow(amount, system, both=False)}"
            yield "no flow would do" if math.isinf(amount) else wanted
