"""What a kind of quantity is, and short ways to write down the units it has."""

from __future__ import annotations

import math
import re
from collections.abc import Mapping
from dataclasses import dataclass
from types import MappingProxyType

Ladder = tuple[tuple[str, float], ...]


_PLAIN = str.maketrans(
    {
        "³": "3",
        "²": "2",
        "·": ".",
        "⋅": ".",
        "*": ".",
        "^": None,
        "″": '"',
        "”": '"',
        "′": "'",
        "’": "'",
        "μ": "µ",
    }
)


def plain(unit: str) -> str:
    """A unit in the characters the table is written in: `m³ / h` becomes `m3/h`."""
    return re.sub(r" ?/ ?", "/", " ".join(unit.split()).translate(_PLAIN))


@dataclass(frozen=True, slots=True)
class Kind:
    """One kind of quantity: its SI unit (a pint expression), its spellings, and the units it is shown in.

    `metric` and `us` are ladders of (unit, SI size below which it is used). A `bare` kind needs no unit.
    """

    noun: str
    si: str
    units: Mapping[str, str]
    examples: tuple[str, ...]
    metric: Ladder
    us: Ladder
    bare: bool = False


def table(groups: Mapping[str, str]) -> Mapping[str, str]:
    """Spelling to expression, from expression to its spellings parted by `|`."""
    return MappingProxyType({spelling: unit for unit, row in groups.items() for spelling in row.split("|")})


def over(tops: str, *bottom: str) -> str:
    """The ways to write a unit over a product: W/mK, W/(mK), W/(m K), W/(m.K), W/m.K, W/m/K."""
    product, dotted, spaced = "".join(bottom), ".".join(bottom), " ".join(bottom)
    below = (product, f"({product})", f"({spaced})", f"({dotted})", dotted, "/".join(bottom))
    return "|".join(dict.fromkeys(f"{top}/{under}" for top in tops.split("|") for under in below))


def gallons(per: str, *rates: str) -> Mapping[str, str]:
    """The spellings of a flow in gallons: on their own, and with the country named."""
    named = {"{gallon}": ("",), "gallon": ("us ", "US "), "imperial_gallon": ("imp ", "Imp ", "UK ", "uk ")}
    return {
        f"{unit}/{per}": "|".join(country + rate for country in countries for rate in rates)
        for unit, countries in named.items()
    }


def each_over(tops: Mapping[str, str], bottoms: Mapping[str, str]) -> Mapping[str, str]:
    """Every spelling of one kind over every spelling of another."""
    return MappingProxyType(
        {f"{top}/{low}": f"({up})/({down})" for top, up in tops.items() for low, down in bottoms.items()}
    )


def always(unit: str) -> Ladder:
    return ((unit, math.inf),)
