"""What to say of a number whose unit is missing, unknown or of the wrong kind, and what to type instead."""

from __future__ import annotations

import re

from netsolve.quantities.kinds import plain
from netsolve.quantities.numerals import UnitError, leading_number, quoted
from netsolve.quantities.spellings import KINDS


def for_example(kind: str) -> str:
    """A text of this kind that could be typed."""
    return f"for example {KINDS[kind].examples[0]}"


def no_unit(text: str, number: float, kind: str) -> UnitError:
    """A bare number where a unit is wanted, with the units it most likely has."""
    usual = [leading_number(example)[1] for example in KINDS[kind].examples[:2]]
    if kind == "length":
        usual = ["in"] if re.search("[/⁄¼-¾⅐-⅞]", text) else ["m" if abs(number) < 5 else "mm", "in"]
    cure = " or ".join(f"{text} {unit}" for unit in dict.fromkeys(usual))
    return UnitError("no-unit", f"{KINDS[kind].noun} is wanted, {quoted(text)} has no unit", f"write {cure}")


def wrong_unit(text: str, unit: str, kind: str) -> UnitError:
    """A unit this kind does not have: it is another kind's, or none that is known."""
    wanted = f"{KINDS[kind].noun} is wanted"
    for other in KINDS.values():
        if plain(unit) in other.units:
            said = f"{wanted}, {quoted(text)} is {other.noun}"
            return UnitError("wrong-dimension", said, for_example(kind))
    written = text.removesuffix(unit).strip()
    if unit.upper() in ("NPS", "BSP") and kind == "length":
        said = f"{quoted(text)} has the name of its size behind"
        return UnitError("unknown-unit", said, f"write {unit.upper()} {written}")
    cure = " or ".join(f"{written} {spelling}".strip() for spelling in _nearest(plain(unit), kind))
    said = f"{wanted}, {quoted(unit)} is not a unit that is known"
    return UnitError("unknown-unit", said, f"write {cure}" if cure else for_example(kind))


def _nearest(unit: str, kind: str) -> list[str]:
    """The units of this kind whose spelling is most like an unknown one, each as it is usually written."""
    from difflib import get_close_matches  # only a mistake needs it

    spellings = list(KINDS[kind].units)
    if not spellings:
        return [""]
    if unit == "''" and kind == "length":
        return ["in"]
    folded = [spelling for spelling in spellings if spelling.casefold() == unit.casefold()]
    near = get_close_matches(unit[:40], spellings, n=3, cutoff=0.5)
    usual = {expression: spelling for spelling, expression in reversed(list(KINDS[kind].units.items()))}
    return folded[:1] or list(dict.fromkeys(usual[KINDS[kind].units[spelling]] for spelling in near))
