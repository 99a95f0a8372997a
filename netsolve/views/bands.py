"""Bands as a table for a terminal of 80 columns: from how much to how much, and whether the need is met."""

from __future__ import annotations

from collections.abc import Sequence
from typing import TYPE_CHECKING

from netsolve import units
from netsolve.study.bands import Band, RowBands
from netsolve.views import wording
from netsolve.views.heat import temperatures
from netsolve.views.prose import Sentence, grid, plain
from netsolve.views.sheet import Grid, Section

if TYPE_CHECKING:
    from rich.console import RenderableType


BAND = (
    "Nine times out of ten the true value lies in the band, as the numbers of the file are off independently of each "
    "other: by what stands behind ±, else by the usual."
)


def bands_table(name: str, found: Sequence[RowBands], system: str) -> RenderableType:
    """Every row: what each need gets nine times out of ten, the chance that it is enough, and the runs."""
    from rich.console import Group

    lines: list[RenderableType] = [
        plain(name, "bold"),
        Sentence("", BAND, indent=0),
    ]
    for row in found:
        lines += [plain(""), plain(f"{row.condition}, {row.change}", "bold underline")]
        lines += _row(row, system)
    return Group(*lines)


def _row(row: RowBands, system: str) -> list[RenderableType]:
    if not row.settled:
        return [Sentence("NOT SETTLED: ", "No sample of this row has an answer.", "bold red")]
    table = grid(("part", 22), ("band", 18), ("need", 16), ("met", 12))
    for band in row.parts.values():
        table.add_row(plain(band.name), plain(_between(band, system)), plain(_need(band, system)), _chance(band))
    lines: list[RenderableType] = [table] if row.parts else []
    if row.oils:
        hot = grid(("oil", 22), ("settles or peaks at", 20), ("to stay below", 16), ("met", 12))
        for band in row.oils.values():
            met = plain("") if band.chance is None else _chance(band)
            hot.add_row(plain(band.name), plain(_warm(band, system)), plain(_below(band, system)), met)
        lines.append(hot)
    lines.append(Sentence("runs: ", ", ".join(f"{band.name} {_between(band, system)}" for band in row.runs.values())))
    if row.settled < row.samples:
        lines.append(Sentence("note: ", f"{row.samples - row.settled} of {row.samples} samples have no answer."))
    return lines


def _between(band: Band, system: str) -> str:
    return wording.between(band.low, band.high, "flow", system=system)


def _warm(band: Band, system: str) -> str:
    return temperatures((band.low, band.high), system)


def _below(band: Band, system: str) -> str:
    return "" if band.most is None else units.show(band.most, "temperature", system=system)


def _need(band: Band, system: str) -> str:
    bounds = (("≥", band.least), ("≤", band.most))
    return ", ".join(f"{sign} {wording.flow(each, system, both=False)}" for sign, each in bounds if each is not None)


def _chance(band: Band) -> RenderableType:
    chance = band.chance or 0.0
    style = "bold red" if chance < 0.5 else "yellow" if chance < 0.95 else "green"
    return plain(likely(chance), style)


def likely(chance: float) -> str:
    """A probability in per cent, never said to be certain."""
    return "under 1 %" if chance < 0.01 else "over 99 %" if chance > 0.99 else f"{100 * chance:.0f} %"


def bands_section(found: Sequence[RowBands], system: str) -> Section:
    """The same for a page, every need of every row in one table."""
    cells = [
        (f"{row.condition}, {row.change}", each.name, _between(each, system), _need(each, system), _said(each))
        for row in found
        for each in row.parts.values()
        if row.settled
    ] + [
        (f"{row.condition}, {row.change}", each.name, _warm(each, system), _bears(each, system), _said(each))
        for row in found
        for each in row.oils.values()
        if row.settled
    ]
    lost = [f"No sample of {row.condition}, {row.change} has an answer." for row in found if not row.settled]
    heads = (("when", 20), ("part", 20), ("band", 18), ("need", 14), ("met", 8))
    return Section("Bands: how far each flow may be off", (BAND, *lost), Grid(heads, cells) if cells else None)


def _bears(band: Band, system: str) -> str:
    return f"≤ {_below(band, system)}" if band.most is not None else ""


def _said(band: Band) -> str:
    return "" if band.chance is None else likely(band.chance)
