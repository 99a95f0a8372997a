"""Regular expressions with which an editor can check a written quantity."""

from __future__ import annotations

import re

from netsolve.quantities.spellings import KINDS

_MOST_LISTED = 80  # spellings; beyond that a list is slow to match and no help to read


def pattern(kind: str) -> str:
    """A regular expression (ECMA-262) an editor can check a text with; loose, `read` is what decides."""
    spec = KINDS[kind]
    number = r"[-+−]?(?:[0-9.]|[¼-¾⅐-⅞])(?:[-+−0-9.eE/⁄ ¼-¾⅐-⅞]*[0-9.¼-¾⅐-⅞])?"
    units = {**spec.units, **KINDS["length"].units} if kind == "head" else spec.units
    if not units:
        unit = ""
    elif len(units) > _MOST_LISTED:
        unit = r"\s*(?:1/)?[^\s0-9.,:;_+−-].*"
    else:
        spellings = sorted(units, key=len, reverse=True)
        unit = rf"\s*(?:{'|'.join(_escaped(spelling) for spelling in spellings)})"
    unit = f"(?:{unit})?" if spec.bare and unit else unit
    pipe = r"|(?:NPS|BSP)\s?[0-9].*" if kind == "length" else ""
    return rf"^\s*(?:{number}{unit}{pipe})\s*(?:(?:±|\+\s?/?\s?[-−]).+)?$"


def _escaped(spelling: str) -> str:
    """A spelling as a regular expression, superscripts allowed; `re.escape` escapes too much for ECMA-262."""
    literal = re.sub(r"([\^$.*+?()\[\]{}|\\])", r"\\\1", spelling)
    return re.sub(r"(?<=m|t|n)([23])", lambda power: f"[{power[1]}{'²³'[int(power[1]) - 2]}]", literal)
