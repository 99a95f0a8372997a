"""How each verdict looks: a colour, a tint and a line style, besides its word.

The colours differ in lightness as well as in hue, so they stay apart for every kind of colour blindness and
in grey.
"""

from __future__ import annotations

from dataclasses import dataclass

from netsolve.study.comparison import UNSETTLED


@dataclass(frozen=True, slots=True)
class Look:
    """Colour, tint behind the verdict, line style, width of the border; `double` draws two arrows abreast."""

    colour: str
    tint: str
    line: str = "solid"
    double: bool = False
    border: int = 2


_PLAIN = Look("#3f5b73", "#e8eef3")
_LOOKS = {
    UNSETTLED: Look("#3b4048", "#e6e8eb", line="dotted", border=3),
    "reversed": Look("#6d1f6e", "#f5e6f5", double=True, border=4),
    "shut": Look("#3b4048", "#e6e8eb", line="dotted", border=3),
    "dry": Look("#7a1420", "#fae3e5", line="dotted", border=3),
    "starved": Look("#b3400e", "#fde8d7", line="dashed", border=3),
    "marginal": Look("#8a6100", "#fff2cc", line="dashed"),
    "overfed": Look("#2b4db3", "#e5eafb", double=True, border=4),
    "served": Look("#0b6e7f", "#e1f1f4"),
}


def look(verdict: str | None) -> Look:
    """The look of a verdict; a plain one where there is none."""
    return _LOOKS.get(verdict or "", _PLAIN)


def verdict_looks() -> dict[str, Look]:
    """The look of every verdict, by its word."""
    return dict(_LOOKS)
