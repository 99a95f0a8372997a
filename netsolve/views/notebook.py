"""How circuits and results show themselves in a notebook: a table and a picture."""

from __future__ import annotations

from collections.abc import Iterator, Mapping
from html import escape
from typing import TYPE_CHECKING, Any

from netsolve.circuit import Circuit
from netsolve.problems import printable
from netsolve.result import Result, RowResult
from netsolve.views import headline, parts_list, wording
from netsolve.views.palette import look
from netsolve.views.picture import svg
from netsolve.views.render import RenderError
from netsolve.views.scene import Scene, bare, scene

if TYPE_CHECKING:
    from collections.abc import Iterable, Sequence


def bundle(thing: Any) -> dict[str, Any]:
    """Every way in which it can be shown, by media type; without a picture where none can be drawn."""
    shown = {"text/plain": _plain(thing), "text/html": html(thing)}
    picture = drawn(thing)
    return {**shown, "image/svg+xml": picture} if picture else shown


def drawn(thing: Any) -> str | None:
    """SVG of a result's worst row, or of a circuit without any numbers; None where nothing can be drawn."""
    try:
        return svg(_scene(thing), name=f"netsolve-{id(thing):x}")
    except RenderError:
        return None


def html(thing: Any) -> str:
    """The table and, below it, the picture."""
    table = _rows(thing) if isinstance(thing, Result) else _parts(thing)
    return f"<div>{''.join(table)}{drawn(thing) or ''}</div>"


def _scene(thing: Any) -> Scene:
    return scene(thing, system=thing.circuit.units) if isinstance(thing, Result) else bare(thing)


def _plain(thing: Any) -> str:
    if isinstance(thing, Result):
        return printable(f"{thing.circuit.name}: {wording.trouble(thing)}")
    return printable(f"{thing.name}: {len(thing.conditions)} conditions, {len(thing.changes)} changes")


def _rows(result: Result) -> Iterator[str]:
    """What every part with a need gets in every row."""
    system = result.circuit.units
    yield _caption(_plain(result))
    lines: list[tuple[str, ...]] = []
    for row in result:
        lines += _row(row, system)
    yield _table(("condition", "change", "part", "verdict", "flow", "need"), lines)


def _row(row: RowResult, system: str) -> Iterator[tuple[str, ...]]:
    where = (_cell(row.condition), _cell(row.change))
    if not row.settled:
        yield (*where, "", _verdict("unsettled"), _cell(headline.of_row(row, system=system)), "")
    for part in wording.needy(row):
        words = (_cell(wording.flow(part.flow, system)), _cell(wording.need(part, system)))
        yield (*where, _cell(part.name), _verdict(part.verdict), *words)


def _parts(circuit: Circuit) -> Iterator[str]:
    """What the circuit is made of."""
    yield _caption(_plain(circuit))
    items = parts_list.fitted_parts(circuit.as_found, circuit.units)
    lines = [(_cell(each.name), _cell(each.kind), _cell(each.values)) for each in items]
    yield _table(("name", "what", "as written"), lines)


def _verdict(verdict: str | None) -> str:
    style = look(verdict)
    words = _cell(wording.word(verdict))
    return f'<b style="color:{style.colour};background:{style.tint};padding:0 .3em">{words}</b>' if words else ""


def _caption(words: str) -> str:
    return f"<p><b>{_cell(words)}</b></p>"


def _cell(words: str) -> str:
    return escape(printable(words))


def _table(heads: Sequence[str], lines: Iterable[Sequence[str]]) -> str:
    head = "".join(f'<th scope="col">{name}</th>' for name in heads)
    rows = "".join(f"<tr>{''.join(f'<td>{cell}</td>' for cell in line)}</tr>" for line in lines)
    return f"<table><thead><tr>{head}</tr></thead><tbody>{rows}</tbody></table>"


def wanted(made: Mapping[str, Any], include: Any, exclude: Any) -> dict[str, Any]:
    """Those of the media types that a front end asks for."""
    kept = {kind: data for kind, data in made.items() if include is None or kind in include}
    return {kind: data for kind, data in kept.items() if exclude is None or kind not in exclude}
