"""What each part gives or costs a need, as a table for a terminal of 80 columns and as data."""

from __future__ import annotations

from collections.abc import Sequence
from dataclasses import asdict
from typing import TYPE_CHECKING, Any

from netsolve import units
from netsolve.study.each_part import Worth
from netsolve.views import wording
from netsolve.views.prose import grid, plain, verdict

if TYPE_CHECKING:
    from rich.console import RenderableType


def parts_table(found: Sequence[Worth], need: str, condition: str, system: str) -> RenderableType:
    """The parts in one condition, the one that gives most first."""
    from rich.console import Group

    unit = units.shown_units("flow")[system == "us"]
    head = f"Flow of {need}{wording.when(condition)}, in {unit}, with each part out, or in:"
    table = grid(("part", 27), ("", 9), ("flow", 14), ("difference", 16), ("verdict", 10))
    for each in found:
        if each.condition == condition:
            done = plain("put in" if each.put_in else "taken out")
            table.add_row(plain(each.part), done, *_flows(each, unit, system), verdict(each.verdict))
    return Group(plain(head), plain(""), table)


def _flows(each: Worth, unit: str, system: str) -> tuple[RenderableType, RenderableType]:
    if each.before is None or each.after is None:
        return plain("?"), plain("unknown")
    flows = wording.pair(each.before, each.after, "flow", system=system)
    difference = wording.difference(each.before, each.after, system=system)
    return plain(flows.replace(f" {unit}", "")), plain(difference.replace(f" {unit}", ""))


def parts_to_dict(found: Sequence[Worth], need: str) -> dict[str, Any]:
    """The parts in every condition as plain data, m3/s; most helpful first in the hardest condition."""
    return {"need": need, "parts": [asdict(each) | {"difference": each.difference} for each in found]}
