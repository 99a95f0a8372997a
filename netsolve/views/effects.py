"""A comparison as tables for a terminal of 80 columns: a line for each need in each condition, and what lies behind."""

from __future__ import annotations

from collections.abc import Iterator, Sequence
from dataclasses import dataclass
from typing import TYPE_CHECKING

from netsolve import units
from netsolve.circuit import AS_FOUND
from netsolve.heat.heat import OilResult
from netsolve.study.budget import Budget, Taken
from netsolve.study.comparison import UNSETTLED, Effect
from netsolve.study.diverted import Diverted
from netsolve.study.oil_effects import CoolerEffect, OilEffect
from netsolve.views import wording
from netsolve.views.heat import NO_OIL_LASTS, shown
from netsolve.views.prose import Sentence, grid, plain, verdict
from netsolve.views.strip import minus

if TYPE_CHECKING:
    from rich.console import RenderableType
    from rich.text import Text

_WIDTH = 80
_FLOW, _DIFFERENCE, _VERDICT = 13, 16, 18
_LONGEST_CONDITION = 14


def compare_table(
    effects: Sequence[Effect],
    system: str,
    *,
    diverted: Sequence[Diverted] = (),
    oils: Sequence[OilEffect] = (),
    coolers: Sequence[CoolerEffect] = (),
    budgets: Sequence[Budget] = (),
    before: str = f"the circuit {AS_FOUND}",
) -> RenderableType:
    """What each change does to each need: the flow before and after, the signed difference, the verdicts.

    Under each change stand what it diverts from the exhaust, and the pressure budgets of its runs.
    """
    from rich.console import Group

    if not effects and not oils:
        return plain("No change, or no part with a need, to compare.")
    unit = units.shown_units("flow")[system == "us"]
    condition = min(_LONGEST_CONDITION, max(9, *(len(effect.condition) for effect in effects)))
    lines: list[RenderableType] = [plain(f"Flows before → after, in {unit}; before is {before}.")]
    for change in dict.fromkeys([*(each.change for each in effects), *(each.change for each in oils)]):
        mine = [effect for effect in effects if effect.change == change]
        lines += [plain(""), plain(change, "bold"), _needs(mine, condition, unit, system)]
        lines += _diverted([each for each in diverted if each.change == change])
        lines += [Sentence("", oil_line(each, system)) for each in oils if each.change == change]
        lines += [Sentence("", each) for each in _coolers([one for one in coolers if one.change == change], system)]
        for each in budgets:
            if each.change == change and each.takes:
                lines += [plain(""), _budget(each, system)]
    return Group(*lines)


def oil_line(effect: OilEffect, system: str) -> str:
    """What a change does to an oil: `winch oil at towing settles at 48 → 50 °C (+2.2 K), never reaches its alarm`."""
    about = f"{effect.oil} at {effect.condition}"
    if effect.after is None or effect.before is None:
        return wording.sentence(f"{about} has no answer {'before' if effect.before is None else 'after'}")
    ends = [_settling(each, system) for each in (effect.before, effect.after)]
    where = ends[0] if ends[0] == ends[1] else f"{_short(*ends)} → {ends[1]}"
    return wording.sentence(f"{about} settles at {where}{_warmer(effect, system)}{_alarm(effect, system)}")


def _coolers(effects: Sequence[CoolerEffect], system: str) -> Iterator[str]:
    """How warm the water leaves each cooler, condition by condition."""
    for name in dict.fromkeys(each.cooler for each in effects):
        told = [f"{each.condition} {_outlet(each, system)}" for each in effects if each.cooler == name]
        yield wording.sentence(f"the water leaves {name} at {', '.join(told)}")


def _outlet(effect: CoolerEffect, system: str) -> str:
    ends = [
        "none" if each is None else units.show(each, "temperature", system=system)
        for each in (effect.before, effect.after)
    ]
    return ends[0] if ends[0] == ends[1] else f"{_short(*ends)} → {ends[1]}"


def _settling(oil: OilResult, system: str) -> str:
    return "no temperature" if oil.plateau is None else shown(oil.plateau, "temperature", system)


def _short(first: str, last: str) -> str:
    """The first without its unit, where the last has the same."""
    number, _, unit = first.rpartition(" ")
    return number if last.endswith(f" {unit}") and not first.startswith(">") and not last.startswith(">") else first


def _warmer(effect: OilEffect, system: str) -> str:
    """By how much, where both ends are temperatures that an oil lasts at."""
    hottest = max(each.plateau or 0.0 for each in (effect.before, effect.after) if each)
    if effect.warmer is None or hottest > NO_OIL_LASTS or abs(effect.warmer) < 0.05:
        return ""
    unit = units.shown_units("temperature difference")[system == "us"]
    return minus(f" ({units.convert(effect.warmer, 'temperature difference', unit):+.1f} {unit})")


def _alarm(effect: OilEffect, system: str) -> str:
    """What becomes of the alarm."""
    before, after = effect.before, effect.after
    if before is None or after is None or after.alarm is None:
        return ""
    then, now = before.time_to_alarm, after.time_to_alarm
    if now is None:
        return ", never reaches its alarm" if then is None else ", no longer reaches its alarm"
    told = shown(now, "time", system)
    if then is None:
        return f", passes its alarm after {told}, before never"
    was = shown(then, "time", system)
    return f", alarm after {told}" if was == told else f", alarm after {_short(was, told)} → {told}"


@dataclass(frozen=True, slots=True)
class Line:
    """An effect in words, for a page: flows in both systems where both are known."""

    condition: str
    about: str
    flow: str
    difference: str
    before: str | None
    after: str | None


def line(effect: Effect, system: str) -> Line:
    """One effect as it stands in a table of a page."""
    flow = _flow(effect, system)
    if effect.before is not None and effect.after is not None:
        other = "us" if system == "metric" else "metric"
        flow += f" ({wording.pair(effect.before, effect.after, 'flow', system=other)})"
    difference = minus(_difference(effect, system))
    return Line(effect.condition, effect.about, flow, difference, effect.verdict_before, effect.verdict_after)


def _needs(effects: Sequence[Effect], condition: int, unit: str, system: str) -> RenderableType:
    part = _WIDTH - condition - _FLOW - _DIFFERENCE - _VERDICT - 4
    columns = (("condition", condition), ("part", part), ("flow", _FLOW), ("difference", _DIFFERENCE))
    table = grid(*columns, ("verdict", _VERDICT))
    for effect in effects:
        table.add_row(*_effect(effect, unit, system))
    return table


def _diverted(shares: Sequence[Diverted]) -> list[RenderableType]:
    """What share of the engine's water reaches no exhaust; nothing where no engine drives any."""
    if not any(each.before or each.after for each in shares):
        return []
    said = [f"{each.condition} {_shares(each.before, each.after)}" for each in shares]
    return [Sentence("of the engine's water, reaches no exhaust: ", "; ".join(said), indent=0)]


def _shares(before: float | None, after: float | None) -> str:
    first, last = ("none" if share is None else f"{100 * share:.1f} %" for share in (before, after))
    return first if first == last else f"{first}, then {last}"


def _budget(budget: Budget, system: str) -> RenderableType:
    """What takes the pressure in a run, before and after; a name may stand alone where it takes nothing."""
    unit = units.shown_units("pressure")[system == "us"]
    name = f"pressure in {budget.run}{wording.when(budget.condition)}, {unit}"
    table = grid((name, 44), ("before", 9), ("after", 9), ("of all, after", 14))
    total = sum(each.after or 0.0 for each in budget.takes)
    for each in budget.takes:
        table.add_row(*(plain(words) for words in _taken(each, total, unit, system)))
    sums = Taken("in all", sum(each.before or 0.0 for each in budget.takes), total)
    table.add_row(*(plain(words, "bold") for words in _taken(sums, total, unit, system)))
    return table


def _taken(taken: Taken, total: float, unit: str, system: str) -> tuple[str, ...]:
    amounts = (
        "-" if amount is None else units.show(amount, "pressure", system=system).replace(f" {unit}", "")
        for amount in (taken.before, taken.after)
    )
    share = f"{100 * taken.after / total:.0f} %" if taken.after is not None and total else "-"
    return (taken.name, *amounts, share)


def _effect(effect: Effect, unit: str, system: str) -> tuple[Text, ...]:
    flow, difference = _flow(effect, system), _difference(effect, system)
    return (
        plain(effect.condition),
        plain(effect.about),
        plain(flow.replace(f" {unit}", "")),
        plain(difference.replace(f" {unit}", "")),
        _verdicts(effect),
    )


def _flow(effect: Effect, system: str) -> str:
    if effect.before is not None and effect.after is not None:
        return wording.pair(effect.before, effect.after, "flow", system=system)
    states = ((effect.before, effect.verdict_before), (effect.after, effect.verdict_after))
    return " → ".join(_state(flow, word, system) for flow, word in states)


def _state(flow: float | None, word: str | None, system: str) -> str:
    if word == UNSETTLED:
        return "?"
    return "none" if flow is None else wording.flow(flow, system, both=False)


def _difference(effect: Effect, system: str) -> str:
    if effect.before is not None and effect.after is not None:
        return wording.difference(effect.before, effect.after, system=system)
    if UNSETTLED in (effect.verdict_before, effect.verdict_after):
        return "unknown"
    return "newly fitted" if effect.before is None else "no longer fitted"


def _verdicts(effect: Effect) -> Text:
    words = (effect.verdict_before, effect.verdict_after)
    first, last = (verdict(each) if each else plain("none") for each in words)
    if effect.verdict_before == effect.verdict_after:
        return last
    return first + plain(" → ") + last
