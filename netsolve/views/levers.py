"""What moves a flow most: the table of `solve --sensitivity`."""

from __future__ import annotations

from collections.abc import Sequence
from typing import TYPE_CHECKING, Any

from netsolve import units
from netsolve.result import RowResult
from netsolve.views import wording

if TYPE_CHECKING:
    from rich.console import RenderableType

MOST = 10


def levers_table(row: RowResult, name: str, found: Sequence[Any], system: str) -> RenderableType:
    """The ten numbers that move the flow of a run or part most, and what a tenth more of each does to it.

    One line, that there is no flow to move, where the part is not fitted or the run blanked.
    """
    from rich.console import Group
    from rich.table import Table

    from netsolve.views.prose import Sentence, plain

    flow = row.parts[name].flow if name in row.parts else row.run(name).flow
    words = f"{name} most at {row.condition}, {row.change}: {wording.flow(flow, system)}"
    head = Sentence("what moves ", words, style="bold", words_style="bold", indent=0)
    if flow is None:
        return head
    table = Table(box=None, pad_edge=False)
    for title in ("part", "what", "now", "a tenth more gives"):
        table.add_column(plain(title), overflow="fold")
    for each in found[:MOST]:
        per_cent = f" ({100 * each.gain / abs(flow):+.1f} %)" if flow else ""
        gain = units.show(each.gain, "flow", system=system)
        values = (each.name, each.parameter, units.show(each.value, each.kind, system=system))
        table.add_row(*(plain(value) for value in values), plain(f"{'+' if each.gain > 0 else ''}{gain}{per_cent}"))
    return Group(head, table, plain("(of what is zero: a tenth of its worst)", "dim"))


def levers_dict(row: RowResult, target: str, found: Sequence[Any]) -> dict[str, Any]:
    """The same as plain data in SI."""
    names = ("name", "parameter", "value", "slope", "gain")
    ranked = [{name: getattr(each, name) for name in names} for each in found]
    return {"condition": row.condition, "change": row.change, "target": target, "ranked": ranked}
