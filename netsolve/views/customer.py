"""The last line of a comparison: one sentence that can be read to a customer."""

from __future__ import annotations

from collections.abc import Sequence

from netsolve.circuit import AS_FOUND
from netsolve.result import Result
from netsolve.study.comparison import UNSETTLED, Effect
from netsolve.study.each_part import Worth
from netsolve.views import wording

_MISSED = ("reversed", "shut", "dry", "starved")


def of_changes(result: Result, effects: Sequence[Effect], *, system: str) -> str:
    """What the changes come to for the need that is worst off: the only one's effect, or the best of several."""
    known = [each for each in effects if each.after is not None]
    if not known:
        return "No change could be compared, so there is nothing to promise."
    changes = list(dict.fromkeys(each.change for each in effects))
    if len(changes) == 1:
        effect = _plight(result, known, after=True)
        return wording.sentence(f"with {effect.change}, {effect.about} gets {_outcome(result, effect, system)}")
    focus = _plight(result, known, after=False)
    same = [each for each in known if (each.about, each.condition) == (focus.about, focus.condition)]
    best = max(same, key=lambda each: each.after or 0.0)
    told = f"of {len(changes)} changes, {best.change} gives {best.about} most"
    if (best.difference or 0.0) <= 0:
        told = f"none of {len(changes)} changes gives {best.about} more water; with {best.change} it gets"
        return wording.sentence(f"{told} {_outcome(result, best, system)}")
    return wording.sentence(f"{told}: {_outcome(result, best, system)}")


def plights(result: Result, effects: Sequence[Effect]) -> list[Effect]:
    """For each change the need and condition that fares worst under it."""
    changes = dict.fromkeys(each.change for each in effects)
    return [_plight(result, [each for each in effects if each.change == change], after=True) for change in changes]


def _plight(result: Result, effects: Sequence[Effect], *, after: bool) -> Effect:
    """The need and condition that fares worst after the change, or before it, by verdict and by what is missing."""

    def place(effect: Effect) -> tuple[int, float]:
        row = result[effect.condition, effect.change if after else AS_FOUND]
        part = row.parts.get(effect.about)
        flow, verdict = (effect.after, effect.verdict_after) if after else (effect.before, effect.verdict_before)
        return wording.rank(verdict), (flow or 0.0) / part.min_flow if part and part.min_flow else 1.0

    return min(effects, key=place)


def _outcome(result: Result, effect: Effect, system: str) -> str:
    """`4.07 L/min at idle instead of 4.4 L/min (-8 %), still less than the 5.68 L/min it needs`."""
    said = f"{wording.flow(effect.after, system, both=False)}{wording.when(effect.condition)}"
    if effect.before is not None:
        said += f" instead of {wording.flow(effect.before, system, both=False)}"
        said += f" ({effect.percent:+.0f} %)" if effect.percent and abs(effect.percent) >= 0.5 else ""
    return f"{said}, {_judged(result, effect, system)}"


def _judged(result: Result, effect: Effect, system: str) -> str:
    part = result[effect.condition, effect.change].parts[effect.about]
    still = "still " if effect.verdict_before == effect.verdict_after else ""
    if effect.verdict_after in _MISSED and part.min_flow:
        return f"{still}less than the {wording.flow(part.min_flow, system, both=False)} it needs"
    if effect.verdict_after == "overfed":
        return f"{still}more than the {wording.flow(part.max_flow, system, both=False)} it stands"
    if effect.verdict_after == "marginal":
        return f"{still}enough, with little to spare"
    return f"{still}enough"


def of_parts(found: Sequence[Worth], need: str, condition: str, *, system: str) -> str:
    """Which part is worth most to a need; pumps, which only cost by being taken out, never come first."""
    here = [each for each in found if each.condition == condition and each.part != need and each.difference is not None]
    best = max(here, key=lambda each: each.difference or 0.0, default=None)
    if best is None or (best.difference or 0.0) <= 0:
        return wording.sentence(f"no part taken out or put in gives {need} more water{wording.when(condition)}")
    done = f"with {best.part} put in" if best.put_in else f"without {best.part}"
    flows = wording.pair(best.before or 0.0, best.after or 0.0, "flow", system=system)
    percent = f" ({100 * (best.difference or 0.0) / best.before:+.0f} %)" if best.before else ""
    enough = "" if best.verdict in (None, UNSETTLED) else f", {wording.word(best.verdict).lower()}"
    return wording.sentence(f"{done}, {need} would get most{wording.when(condition)}: {flows}{percent}{enough}")
