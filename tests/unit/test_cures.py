"""What a text that cannot be read is answered with."""

from __future__ import annotations

import math
import pickle
from typing import Any

import pytest
from hypothesis import given
from hypothesis import strategies as st

from netsolve.units import KINDS, UnitError, read


def refusal(text: str, kind: str, **settings: Any) -> UnitError:
    with pytest.raises(UnitError) as caught:
        read(text, kind, **settings)
    return caught.value


def test_pipe_size_without_a_bore_on_file_is_refused() -> None:
    problem = refusal("BSP 7", "length")
    assert problem.code == "unknown-size"
    assert problem.help.startswith("write BSP 2,")


def test_pipe_size_is_a_length_only() -> None:
    assert refusal("NPS 3/4", "flow").code == "wrong-dimension"


@pytest.mark.parametrize(
    ("text", "kind", "code", "cure"),
    [
        ("16 mm ± 0.5", "length", "no-unit", "write 16 mm ± 0.5 mm"),
        ("NPS 1 ± 0.5", "length", "no-unit", "write NPS 1 ± 0.5 mm"),
        ("46 % ± 5", "ratio", "no-unit", "write 46 % ± 5 %"),
        ("46 ± 5 %", "ratio", "no-unit", "write 46 % ± 5 %"),
        ("16 ± 3 %", "length", "no-unit", "write 16 mm or 16 in"),
        ("16 mm ± -1 mm", "length", "bad-spread", "write 16 mm ± 1 mm"),
        ("16 mm ± 1 mm ± 2 mm", "length", "bad-spread", "write 16 mm ± 1 mm"),
        ("14 degC ± 5 %", "temperature", "bad-spread", "write 14 degC ± 2 K"),
        ("16 mm ± 2 gpm", "length", "wrong-dimension", "for example 16 mm"),
        ("16 mm ±", "length", "not-a-number", "for example 1.5, 3/4 or 1-1/4"),
    ],
)
def test_a_wrong_uncertainty_is_refused_with_its_cure(text: str, kind: str, code: str, cure: str) -> None:
    problem = refusal(text, kind)
    assert (problem.code, problem.help) == (code, cure)


@pytest.mark.parametrize(
    ("text", "kind", "cure"),
    [
        ("16", "length", "write 16 mm or 16 in"),
        ("0.5", "length", "write 0.5 m or 0.5 in"),
        ("5/8", "length", "write 5/8 in"),
        ("3", "flow", "write 3 L/min or 3 gpm"),
        ("20", "temperature", "write 20 degC or 20 degF"),
        ("2600", "rotation", "write 2600 rpm or 2600 1/min"),
    ],
)
def test_a_bare_number_is_refused_with_likely_units(text: str, kind: str, cure: str) -> None:
    problem = refusal(text, kind)
    assert (problem.code, problem.help) == ("no-unit", cure)


@pytest.mark.parametrize(
    ("text", "kind", "cure"),
    [
        ("15 L/Min", "flow", "write 15 L/min"),
        ("16 mmm", "length", "write 16 mm"),
        ("3/4 NPS", "length", "write NPS 3/4"),
        ("12 apples", "number", "write 12"),
        ("34 psu", "salinity", "for example 34 g/kg"),
    ],
)
def test_an_unknown_unit_is_refused_with_the_nearest(text: str, kind: str, cure: str) -> None:
    problem = refusal(text, kind)
    assert problem.code == "unknown-unit"
    assert problem.help.split(" or ")[0] == cure


@pytest.mark.parametrize("text", ["5 mPa", "3 Mm", "2 ML/min", "1 mBar"])
def test_case_that_could_change_a_prefix_is_never_guessed(text: str) -> None:
    kind = {"Pa": "pressure", "Mm": "length", "in": "flow", "ar": "pressure"}[text[-2:]]
    assert refusal(text, kind).code == "unknown-unit"


def test_another_kind_of_quantity_is_named() -> None:
    problem = refusal("4 gpm", "length")
    assert problem.code == "wrong-dimension"
    assert problem.message == "a length is wanted, '4 gpm' is a flow"
    assert problem.help == "for example 16 mm"


@pytest.mark.parametrize(
    ("text", "kind"), [("2 m3", "flow"), ("3 m", "pressure"), ("50 %", "number"), ("3 gal", "flow")]
)
def test_wrong_dimension_is_refused(text: str, kind: str) -> None:
    assert refusal(text, kind).code == "wrong-dimension"


@pytest.mark.parametrize("text", ["", "  ", "\n"])
def test_an_empty_text_is_refused(text: str) -> None:
    assert refusal(text, "flow").code == "empty"


@pytest.mark.parametrize("kind", ["pressure", "head"])
@pytest.mark.parametrize("text", ["1.51325 bara", "1.51325 bar a", "1.51325 bar abs", "1.51325 bar(a)"])
def test_an_absolute_pressure_is_refused_with_its_gauge_pressure(text: str, kind: str) -> None:
    # Standard atmosphere: 101 325 Pa exactly.
    problem = refusal(text, kind)
    assert (problem.code, problem.help) == ("absolute-pressure", "write 0.5 bar")


def test_psia_is_refused_as_absolute() -> None:
    # Standard atmosphere 14.696 psi (NIST SP 811), so 22 psia is 7.304 psi gauge.
    assert refusal("22 psia", "pressure").help == "write 7.304 psi"


def test_refusal_survives_a_process_boundary() -> None:
    problem = refusal("16", "length")
    copy = pickle.loads(pickle.dumps(problem))
    assert (copy.code, copy.message, copy.help) == (problem.code, problem.message, problem.help)


kinds = st.sampled_from(sorted(KINDS))
pieces = st.sampled_from(
    [
        "1",
        "3/4",
        "½",
        "-",
        "±",
        "+-",
        " ",
        ",",
        ".",
        "e5",
        "%",
        "mm",
        "gpm",
        "NPS",
        "/bar",
        "a",
        "abs",
        "°C",
        "1/0",
        "\n",
        "9" * 60,
    ]
)
garbage = st.one_of(st.text(max_size=40), st.lists(pieces, max_size=8).map("".join))


@given(text=garbage, kind=kinds, density=st.sampled_from([None, 1025.0]))
def test_any_text_is_read_finite_or_refused(text: str, kind: str, density: float | None) -> None:
    try:
        reading = read(text, kind, density=density)
    except UnitError as problem:
        said = problem
    else:
        assert math.isfinite(reading.value)
        assert reading.spread is None or 0 <= reading.spread < math.inf
        return
    assert said.code
    assert said.message
