"""Sizings as lines of 80 columns: the size that serves, between the next down and the next up."""

from __future__ import annotations

import math
from collections.abc import Iterator, Sequence

from netsolve import units
from netsolve.study.settable import Settable
from netsolve.study.size import Candidate, Sizing
from netsolve.views import wording
from netsolve.views.sweep_answers import wrapped


def size_lines(found: Sequence[Sizing], settings: Sequence[Settable], reserve: float, system: str) -> Iterator[str]:
    """The lines, for each change."""
    what = ", ".join(each.path for each in settings)
    for each in found:
        yield from _of_change(each, what, reserve, system)


def _of_change(each: Sizing, what: str, reserve: float, system: str) -> Iterator[str]:
    if not each.matters:
        yield from wrapped(f"{each.change}: no size of {what} makes a difference to any need, so none is named")
        return
    chosen = each.chosen
    spare = f"with {100 * reserve:.0f} % to spare in every condition"
    if chosen is not None:
        yield from wrapped(f"{each.change}: {chosen.name} is the smallest {what} that serves every need, {spare}")
    else:
        ends = f"from {each.candidates[0].name} to {each.candidates[-1].name}"
        yield from wrapped(f"{each.change}: no {what} {ends} serves every need, {spare}")
    if each.now is not None:
        yield f"  now it is {units.show(each.now, 'length', system=system, both=True)}"
    for candidate in each.shown:
        mark = "->" if candidate is chosen else "  "
        yield from wrapped(f"  {mark} {candidate.name:<10} {_said(candidate, system)}", " " * 16)
    if chosen is None and (tight := each.shown[0].tightest) is not None:
        yield from wrapped(f"  what else holds it back: netsolve solve FILE --sensitivity '{tight.need}'", "    ")


def _said(candidate: Candidate, system: str) -> str:
    """What the tightest need gets."""
    tight = candidate.tightest
    if tight is None:
        return "did not settle in every condition, so there is no answer"
    verb = "serves" if candidate.serves else "does not serve"
    if tight.bound in ("limit", "alarm"):
        settles, bound = (units.show(each, "temperature", system=system) for each in (tight.flow, tight.wanted))
        told = f"{tight.need} at {tight.condition} settles at {settles}, its {tight.bound} is {bound}"
        return f"{verb}; the tightest: {told}"
    if math.isinf(tight.wanted):
        return f"{verb}; the tightest: {tight.need} at {tight.condition}, for which no flow would do"
    wanted = "wanted with the reserve" if tight.bound == "min_flow" else "allowed"
    got, limit = (wording.flow(flow, system, both=False) for flow in (tight.flow, tight.wanted))
    share = f"{100 * tight.spare:+.0f} %"
    return f"{verb}; the tightest: {tight.need} at {tight.condition}, {got} of {limit} {wanted} ({share})"
