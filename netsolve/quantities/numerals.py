"""Read the number at the head of a text as a technician writes it: `1.5`, `3/4`, `1-1/4`, `1½`, `2.5e-4`."""

from __future__ import annotations

import math
import re
import unicodedata


class UnitError(ValueError):
    """A text that cannot be read as the quantity wanted; `help` is what can be typed instead."""

    def __init__(self, code: str, message: str, help: str = "") -> None:
        super().__init__(code, message, help)
        self.code = code
        self.message = message
        self.help = help

    def __str__(self) -> str:
        return self.message


_LONGEST = 80
_LEAST, _MOST = 1e-15, 1e15
"""Nothing on board is smaller or larger in any unit; beyond them the powers of a law would leave what floats hold."""

_VULGAR = "¼-¾⅐-⅞"
_NUMBER = re.compile(
    rf"""(?P<sign>[-+−]?)(?:
        (?:(?P<whole>[0-9]+)(?:\s?-\s?|\s))?(?P<over>[0-9]+)\s?[/⁄]\s?(?P<under>[0-9]+)
      | (?:(?P<units>[0-9]+)(?:\s?-\s?|\s)?)?(?P<vulgar>[{_VULGAR}])
      | (?P<decimal>(?:[0-9]+\.?[0-9]*|\.[0-9]+)(?:[eE][-+−]?[0-9]+)?)
    )""",
    re.VERBOSE,
)
_NOT_A_UNIT = re.compile(rf"[.,:;_+−{_VULGAR}-]|/[0-9]|[eE](?![A-Za-z])|[xXoObB][0-9]|[0-9](?!/[A-Za-z\x22])")
_NOT_FINITE = re.compile(r"[-+−]?\s?(?:nan|inf|infinity|∞)(?![a-z])", re.IGNORECASE)
_COMMA = re.compile(r"[0-9.]*(?:,[0-9]+)+(?:\.[0-9]+)?")
_THOUSANDS = re.compile(r"[1-9][0-9]{0,2}(?:,[0-9]{3})+(?:\.[0-9]+)?")
_SPACED = re.compile(r"[0-9]{1,3}(?: [0-9]{3})+(?![0-9/])")


def quoted(text: str) -> str:
    """The text in quotes, cut short where it is long."""
    return f"'{text}'" if len(text) <= _LONGEST else f"'{text[: _LONGEST - 1]}…'"


def leading_number(text: str) -> tuple[float, str]:
    """The finite number at the head of a text (single-spaced, stripped), and what follows it.

    Raises UnitError: not-a-number, not-finite, out-of-range.
    """
    match = _NUMBER.match(text)
    if match is None:
        raise _no_number(text)
    rest = text[match.end() :].lstrip()
    if rest and _NOT_A_UNIT.match(rest):
        raise _no_number(text)
    decimal = match["decimal"]
    value = float(decimal.replace("−", "-")) if decimal else _fraction(match, text)
    if not math.isfinite(value):
        raise UnitError("not-finite", f"{quoted(text)} is too large a number", "check its exponent")
    if value and not _LEAST <= value <= _MOST:
        raise UnitError("out-of-range", f"{quoted(text)} is out of all proportion", "check its exponent")
    return (-value if match["sign"] in ("-", "−") else value), rest


def _fraction(match: re.Match[str], text: str) -> float:
    """The value of a whole number and a fraction, either of which may be missing."""
    if match["vulgar"]:
        return float(match["units"] or 0) + unicodedata.numeric(match["vulgar"])
    over, under = float(match["over"]), float(match["under"])
    if under == 0:
        raise UnitError("not-a-number", f"{quoted(text)} divides by zero", "for example 3/4 in")
    if match["whole"] and over >= under:
        raise _no_number(text)
    return float(match["whole"] or 0) + over / under


def _no_number(text: str) -> UnitError:
    if _NOT_FINITE.match(text):
        return UnitError("not-finite", f"{quoted(text)} is not a finite number", "write a number, such as 1.5")
    if _SPACED.match(text):
        joined = _SPACED.sub(lambda found: found[0].replace(" ", ""), text)
        return UnitError("not-a-number", f"{quoted(text)} has spaces inside its number", f"write {joined}")
    return UnitError(
        "not-a-number", f"{quoted(text)} is not a number that can be read", "for example 1.5, 3/4 or 1-1/4"
    )


def refuse_comma(text: str) -> None:
    """Raise the cure for a comma in a number: a point, no comma at all, or both where it could be either."""
    found = _COMMA.search(text)
    if found is None:
        return
    token = found[0]
    cures = [token.replace(",", "")] if _THOUSANDS.fullmatch(token) else []
    if token.count(",") == 1 and "." not in token.partition(",")[2]:
        cures.append(token.replace(".", "").replace(",", "."))
    if not cures:
        return
    typed = " or ".join(text[: found.start()] + cure + text[found.end() :] for cure in cures)
    raise UnitError("decimal-comma", f"{quoted(text)} has a comma in its number", f"write {typed}")
