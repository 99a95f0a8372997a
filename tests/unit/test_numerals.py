"""How a number may be written, and what is not one."""

from __future__ import annotations

from fractions import Fraction
from typing import Any

import pytest

from netsolve.units import UnitError, read


def refusal(text: str, kind: str, **settings: Any) -> UnitError:
    with pytest.raises(UnitError) as caught:
        read(text, kind, **settings)
    return caught.value


@pytest.mark.parametrize(
    ("text", "value"),
    [
        ("12", Fraction(12)),
        ("1.5", Fraction(3, 2)),
        (".5", Fraction(1, 2)),
        ("5.", Fraction(5)),
        ("+2", Fraction(2)),
        ("-2", Fraction(-2)),
        ("−2", Fraction(-2)),
        ("1e3", Fraction(1000)),
        ("2.5E-4", Fraction(25, 100000)),
        ("2.5e−4", Fraction(25, 100000)),
        ("010", Fraction(10)),
        ("3/4", Fraction(3, 4)),
        ("-3/4", Fraction(-3, 4)),
        ("3⁄4", Fraction(3, 4)),
        ("1-1/4", Fraction(5, 4)),
        ("-1-1/4", Fraction(-5, 4)),
        ("1 1/2", Fraction(3, 2)),
        ("1  1/2", Fraction(3, 2)),
        ("1½", Fraction(3, 2)),
        ("1 ½", Fraction(3, 2)),
        ("½", Fraction(1, 2)),
        ("⅝", Fraction(5, 8)),
        ("⅓", Fraction(1, 3)),
        ("  7\t", Fraction(7)),
    ],
)
def test_number_is_read_as_it_is_written(text: str, value: Fraction) -> None:
    assert read(text, "number").value == pytest.approx(float(value), rel=1e-15)


NOT_NUMBERS = "abc|1.2.3|--3|+-3|1e|1e mm|1e+|0x10|1_000|12:30|on|no|.|-|/2|1/2/3|1 5/4|1-2|1 2|1.5½|½½|1/2.5|1,5,3|- 3"


@pytest.mark.parametrize("text", [*NOT_NUMBERS.split("|"), "1" * 300])
def test_what_is_not_a_number_is_refused(text: str) -> None:
    assert refusal(text, "number").code == "not-a-number"


@pytest.mark.parametrize(
    "text", ["nan", "inf m", "-inf m", "Infinity m", "∞ m", "1e999 m", "-1e999 m", "1 m ± 1e999 m"]
)
def test_what_is_not_finite_is_refused(text: str) -> None:
    assert refusal(text, "length").code == "not-finite"


@pytest.mark.parametrize("text", ["1e305 MPa", "1.1e15 kPa", "-1e16 Pa", "1e-16 bar", "1 kPa ± 1e16 kPa"])
def test_what_is_out_of_all_proportion_is_refused(text: str) -> None:
    problem = refusal(text, "pressure")
    assert (problem.code, problem.help) == ("out-of-range", "check its exponent")


def test_a_fraction_over_zero_is_refused() -> None:
    problem = refusal("1/0 in", "length")
    assert problem.code == "not-a-number"
    assert problem.message == "'1/0 in' divides by zero"


@pytest.mark.parametrize(
    ("text", "kind", "cure"),
    [
        ("1,5 m", "length", "write 1.5 m"),
        ("0,250 m", "length", "write 0.250 m"),
        ("1,000 L/h", "flow", "write 1000 L/h or 1.000 L/h"),
        ("1,000,000 L/h", "flow", "write 1000000 L/h"),
        ("1,000.5 L/h", "flow", "write 1000.5 L/h"),
        ("1.000,5 L/h", "flow", "write 1000.5 L/h"),
        ("16 mm ± 0,5 mm", "length", "write 16 mm ± 0.5 mm"),
    ],
)
def test_a_comma_in_a_number_is_refused_with_its_cure(text: str, kind: str, cure: str) -> None:
    problem = refusal(text, kind)
    assert (problem.code, problem.help) == ("decimal-comma", cure)


def test_spaces_inside_a_number_are_refused_with_their_cure() -> None:
    problem = refusal("1 000 L/h", "flow")
    assert (problem.code, problem.help) == ("not-a-number", "write 1000 L/h")
