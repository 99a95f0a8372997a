"""Text to SI numbers and back: the only door through which units come in, and go out.

A text is a number (`numerals`), a unit out of a fixed table (`spellings`) and, after `±`, how far off it may
be. pint gives the factors and never sees what a user typed; it is imported when the first factor is wanted.
"""

from __future__ import annotations

import math
import re
from dataclasses import dataclass
from decimal import Decimal
from functools import cache, lru_cache
from typing import TYPE_CHECKING, Any

from netsolve.quantities import sizes
from netsolve.quantities.cures import for_example, no_unit, wrong_unit
from netsolve.quantities.definitions import LINES
from netsolve.quantities.kinds import Kind, Ladder, plain
from netsolve.quantities.numerals import UnitError, leading_number, quoted, refuse_comma
from netsolve.quantities.patterns import pattern
from netsolve.quantities.spellings import KINDS

if TYPE_CHECKING:
    import pint

__all__ = [
    "KINDS",
    "Kind",
    "Reading",
    "UnitError",
    "article",
    "convert",
    "examples",
    "fits",
    "parted",
    "pattern",
    "read",
    "show",
    "shown_units",
    "uses_gallon",
]


@dataclass(frozen=True, slots=True)
class Reading:
    """A value in SI, and the half width of the `± …` written after it (SI, None where none was written)."""

    value: float
    spread: float | None = None


_GRAVITY = 9.80665  # m/s², standard
_ATMOSPHERE = 101325.0  # Pa, standard
_GALLONS = {"us": "gallon", "imperial": "imperial_gallon"}
_SPREAD = re.compile(r" ?(?:±|\+ ?/ ?[-−]|\+ ?[-−]) ?")
_PIPE = re.compile(r"(nps|bsp) ?([0-9¼-¾⅐-⅞].*)", re.IGNORECASE)
_PIPES = {"NPS": sizes.NPS, "BSP": sizes.BSP}
_LONGEST = 200
_ABSOLUTE = re.compile(r"(.+?) ?(?:a|A|\(a\)|abs|abs\.|absolute)")


def read(text: str, kind: str, *, gallon: str = "us", density: float | None = None) -> Reading:
    """The SI value of a written quantity of this kind, and its written uncertainty.

    `gallon` is `us` or `imperial`; `density` (kg/m³) turns a head of water into a pressure. Per cent after
    `±` is of the value. Raises UnitError: empty, not-a-number, not-finite, decimal-comma, no-unit,
    unknown-unit, wrong-dimension, unknown-size, absolute-pressure, no-density, bad-spread.
    """
    clean = " ".join(text.split())
    if len(clean) > _LONGEST:
        raise UnitError("not-a-number", f"{quoted(clean)} is too long for a value", for_example(kind))
    if not clean:
        raise UnitError("empty", f"{KINDS[kind].noun} is wanted, nothing is written", for_example(kind))
    if "," in clean:
        refuse_comma(clean)
    if "±" not in clean and "+" not in clean:
        return Reading(_value(clean, kind, gallon, density))
    main, *margins = _SPREAD.split(clean)
    if not margins:
        return Reading(_value(main, kind, gallon, density))
    if len(margins) > 1:
        said = f"{quoted(clean)} has more than one uncertainty"
        raise UnitError("bad-spread", said, f"write {main} ± {margins[0]}")
    main = _with_unit_of(margins[0], main, kind)
    value = _value(main, kind, gallon, density)
    return Reading(value, _margin(margins[0], main, value, kind, gallon, density))


def parted(text: str, kind: str) -> tuple[str, str]:
    """A written quantity without the uncertainty behind it, and that uncertainty as written, empty where none is."""
    main, *margins = _SPREAD.split(" ".join(text.split()), maxsplit=1)
    return (_with_unit_of(margins[0], main, kind), margins[0]) if margins else (main, "")


def _with_unit_of(margin: str, main: str, kind: str) -> str:
    """`16 ± 0.5 mm` means 16 mm: a value without a unit takes the one its uncertainty has."""
    if KINDS[kind].bare or _PIPE.match(main) or leading_number(main)[1]:
        return main
    unit = leading_number(margin)[1]
    return f"{main} {unit}" if unit and not _is_percent(unit) else main


def _is_percent(unit: str) -> bool:
    return unit in KINDS["ratio"].units


def _margin(margin: str, main: str, value: float, kind: str, gallon: str, density: float | None) -> float:
    """The half width of an uncertainty, in SI."""
    number, unit = leading_number(margin)
    if number < 0:
        cure = f"write {main} ± {margin.lstrip('-−')}"
        raise UnitError("bad-spread", f"{quoted('± ' + margin)} is negative", cure)
    if _is_percent(unit):
        if kind == "temperature":
            said = f"{quoted('± ' + margin)} has no meaning for a temperature"
            raise UnitError("bad-spread", said, f"write {main} ± 2 K")
        if kind == "ratio" and not leading_number(main)[1]:
            said = f"{quoted(main)} may be a share or per cent"
            raise UnitError("no-unit", said, f"write {main} % ± {margin}")
        return _finite(abs(value) * number / 100, margin)
    if not unit and _unit_in(main):
        cure = f"write {main} ± {margin} {_unit_in(main)}"
        raise UnitError("no-unit", f"{quoted('± ' + margin)} has no unit", cure)
    difference = "temperature difference" if kind == "temperature" else kind
    return _value(margin, difference, gallon, density)


def _unit_in(text: str) -> str:
    return "mm" if _PIPE.match(text) else leading_number(text)[1]


def _value(text: str, kind: str, gallon: str, density: float | None) -> float:
    """The SI value of a number and its unit."""
    if text[:1] in ("N", "n", "B", "b") and (pipe := _PIPE.fullmatch(text)):
        return _pipe_bore(pipe[1].upper(), pipe[2], text, kind)
    number, unit = leading_number(text)
    if not unit:
        if KINDS[kind].bare:
            return number
        raise no_unit(text, number, kind)
    scale = _scale(unit, kind, gallon)
    if scale is None and kind == "head":
        scale = _head_scale(unit, density, text)
    if scale is None:
        raise _refusal(text, number, unit, kind)
    return _finite(scale[0] + scale[1] * number, text)


def _finite(value: float, text: str) -> float:
    if not math.isfinite(value):
        raise UnitError("not-finite", f"{quoted(text)} is too large a number")
    return value


def _pipe_bore(family: str, size: str, text: str, kind: str) -> float:
    """The true bore of a pipe named by its size, in metres."""
    if kind != "length":
        said = f"{KINDS[kind].noun} is wanted, {quoted(text)} is a length"
        raise UnitError("wrong-dimension", said, for_example(kind))
    number, rest = leading_number(size)
    for name, bore in _PIPES[family].items():
        if not rest and leading_number(name)[0] == number:
            return bore
    near = min(_PIPES[family], key=lambda name: abs(leading_number(name)[0] - number))
    cure = f"write {family} {near}, the nearest of {', '.join(_PIPES[family])}"
    raise UnitError("unknown-size", f"{quoted(text)} is not a pipe size that is known", cure)


def _expression(unit: str, kind: str) -> str | None:
    units = KINDS[kind].units
    return units.get(unit) or units.get(plain(unit))


@lru_cache(maxsize=4096)
def _scale(unit: str, kind: str, gallon: str) -> tuple[float, float] | None:
    """(offset, slope) of a spelled unit, SI = offset + slope × number; None where the kind has none such."""
    expression = _expression(unit, kind)
    return None if expression is None else _factors(expression.format(gallon=_GALLONS[gallon]), KINDS[kind].si)


@cache
def _factors(expression: str, si: str) -> tuple[float, float]:
    registry = _registry()
    offset, one = (registry.Quantity(Decimal(n), expression).to(si).magnitude for n in (0, 1))
    return float(offset), float(one - offset)


@cache
def _registry() -> pint.UnitRegistry[Any]:
    """The registry of our units; in decimals, so that every factor is the float nearest to its definition."""
    import pint

    registry: pint.UnitRegistry[Any] = pint.UnitRegistry(None, non_int_type=Decimal)
    registry.load_definitions(LINES)
    return registry


def _head_scale(unit: str, density: float | None, text: str) -> tuple[float, float] | None:
    """A length as the pressure under so much water, (offset, slope) in Pa."""
    scale = _scale(unit, "length", "us")
    if scale is None:
        return None
    if density is None:
        said = f"{quoted(text)} is a head, and the density of its water is not known"
        raise UnitError("no-density", said, for_example("pressure"))
    return 0.0, scale[1] * density * _GRAVITY


def _refusal(text: str, number: float, unit: str, kind: str) -> UnitError:
    """Why a unit does not fit the kind wanted; an absolute pressure is told what it is as gauge."""
    absolute = _ABSOLUTE.fullmatch(unit) if kind in ("pressure", "head") else None
    scale = _scale(absolute[1], "pressure", "us") if absolute else None
    if absolute is None or scale is None:
        return wrong_unit(text, unit, kind)
    said = f"{quoted(text)} is absolute, pressures are counted from the atmosphere's"
    gauge = number - _ATMOSPHERE / scale[1]
    return UnitError("absolute-pressure", said, f"write {gauge:.4g} {absolute[1]}")


def fits(text: str, kind: str) -> bool:
    """Whether a text has the unit of this kind, so that a place which takes two kinds can tell them apart."""
    main = _SPREAD.split(" ".join(text[:_LONGEST].split()))[0]
    if _PIPE.fullmatch(main):
        return kind == "length"
    try:
        unit = leading_number(main)[1]
    except UnitError:
        return False
    if not unit:
        return KINDS[kind].bare
    return _expression(unit, kind) is not None or (kind == "head" and _expression(unit, "length") is not None)


def uses_gallon(text: str) -> bool:
    """Whether a quantity depends on which gallon is meant: `3 gpm` does, `3 us gpm` and `3 L/min` do not."""
    for part in _SPREAD.split(" ".join(text[:_LONGEST].split())):
        try:
            unit = leading_number(part)[1]
        except UnitError:
            continue
        if any("{gallon}" in (_expression(unit, kind) or "") for kind in ("flow", "volume", "flow per pressure")):
            return True
    return False


def convert(value: float, kind: str, unit: str, *, gallon: str = "us") -> float:
    """An SI value in a spelled unit, for tables and CSV headers; UnitError where the unit does not fit."""
    if not unit and KINDS[kind].bare:
        return value
    scale = _scale(unit, kind, gallon)
    if scale is None and kind == "head":
        scale = _head_scale(unit, None, f"1 {unit}")
    if scale is None:
        raise _refusal(f"1 {unit}", 1.0, unit, kind)
    return (value - scale[0]) / scale[1]


TWO_DECIMALS = ("flow", "pressure", "head", "velocity")
"""Kinds of which nobody on board reads more than two decimals in the units that they are shown in."""


def show(value: float, kind: str, *, system: str = "metric", both: bool = False, gallon: str = "us") -> str:
    """An SI value as people read it, in three digits: `4.9 L/min`, or with `both` `4.9 L/min (1.3 gpm)`."""
    spec = KINDS[kind]
    ladders = (spec.metric, spec.us) if system == "metric" else (spec.us, spec.metric)
    first, second = (_shown(value, kind, ladder, gallon) for ladder in ladders)
    return f"{first} ({second})" if both and first != second else first


def _shown(value: float, kind: str, ladder: Ladder, gallon: str) -> str:
    unit = next((name for name, below in ladder if abs(value) < below), ladder[-1][0])
    number = convert(value, kind, unit, gallon=gallon)
    if kind == "temperature":
        number = round(number, 3)  # else 273.15 K reads 5.7e-14 °C
    if kind in TWO_DECIMALS:
        number = round(number, 2)
    return f"{_digits(number)} {unit}".strip()


def _digits(number: float) -> str:
    """Three significant digits without trailing zeros; below 1e-5 and from 1e7 as powers of ten."""
    if not math.isfinite(number):
        return str(number)
    if number and not 1e-5 <= abs(number) < 1e7:
        return f"{number:.3g}"
    text = format(Decimal(f"{number:.2e}"), "f")
    text = text.rstrip("0").rstrip(".") if "." in text else text
    return "0" if text == "-0" else text


def written(value: float, kind: str) -> str:
    """A text that reads back as exactly this SI value: `0.016 m`."""
    spec = KINDS[kind]
    exact = (name for name in spec.units if _scale(name, kind, "us") == (0.0, 1.0))
    unit = next(exact, "")
    if not unit and not spec.bare:
        raise ValueError(f"no spelling of {spec.noun} is its SI unit")
    return f"{value!r} {unit}".strip()


def shown_units(kind: str) -> tuple[str, str]:
    """The metric and the US unit a kind is shown in, e.g. ("L/min", "gpm")."""
    return KINDS[kind].metric[0][0], KINDS[kind].us[0][0]


def article(kind: str) -> str:
    """The kind with its article, as messages name it: `a length`, `an angle`."""
    return KINDS[kind].noun


def examples(kind: str) -> tuple[str, ...]:
    """Two or three texts that `read` takes for this kind."""
    return KINDS[kind].examples
