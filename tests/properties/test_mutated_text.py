"""Circuit files as a tired writer leaves them: whatever is done to the text, it is refused at a place or it is solved."""

from __future__ import annotations

import json
import re

from hypothesis import given, settings
from hypothesis import strategies as st

import netsolve
from tests.commands import CIRCUITS

TEXTS = [path.read_text(encoding="utf-8") for path in sorted(CIRCUITS.glob("*.yaml"))]
NUMBER = re.compile(r"(?<![\w.])-?\d+(?:\.\d+)?")
NUMBERS = (
    "0",
    "-1",
    "1e-9",
    "1e9",
    "1e308",
    "0.001",
    "7",
    "1000",
    "nan",
    "1/0",
    "3/4",
    "5,5",
    "1e-300",
    "99999999999999999999",
)
SIGNS = "{}[]:,#&*!|>'\"%@`-?~\\\t\0\x85\u2028\u202e\ufeff½°±→é"
ODD = (*SIGNS, " #", "\n", "---\n", "<<: ", "!x ", "&a ", "*a ")


@st.composite
def mutated(draw: st.DrawFn) -> str:
    """A circuit's text after a few slips: lines lost, doubled, swapped or moved in, numbers and characters changed."""
    text = draw(st.sampled_from(TEXTS))
    for _ in range(draw(st.integers(1, 3))):
        slip = draw(st.sampled_from((lines_changed, number_changed, character_inserted, word_moved)))
        text = slip(draw, text)
    return text


def lines_changed(draw: st.DrawFn, text: str) -> str:
    lines = text.splitlines(keepends=True)
    one, other = (draw(st.integers(0, len(lines) - 1)) for _ in range(2))
    how = draw(st.sampled_from(("delete", "double", "swap", "indent", "copy")))
    if how == "delete":
        del lines[one]
    elif how == "double":
        lines.insert(one, lines[one])
    elif how == "swap":
        lines[one], lines[other] = lines[other], lines[one]
    elif how == "indent":
        lines[one] = draw(st.sampled_from((" ", "  ", "\t"))) + lines[one]
    else:
        lines.insert(one, lines[other])
    return "".join(lines)


def number_changed(draw: st.DrawFn, text: str) -> str:
    found = list(NUMBER.finditer(text))
    if not found:
        return text
    match = draw(st.sampled_from(found))
    new: str = draw(st.sampled_from(NUMBERS))
    return text[: match.start()] + new + text[match.end() :]


def character_inserted(draw: st.DrawFn, text: str) -> str:
    at = draw(st.integers(0, len(text)))
    odd: str = draw(st.sampled_from(ODD))
    return text[:at] + odd + text[at:]


def word_moved(draw: st.DrawFn, text: str) -> str:
    """One value put in the place of another: a unit, a name or a type where it does not belong."""
    values = list(re.finditer(r"(?<=: )[^,{}\[\]\n]+", text))
    if not values:
        return text
    source, target = (draw(st.sampled_from(values)) for _ in range(2))
    return text[: target.start()] + source.group() + text[target.end() :]


@settings(max_examples=120, deadline=None)
@given(text=mutated())
def test_a_mutated_circuit_is_refused_with_a_place_or_solved_without_a_warning(text: str) -> None:
    try:
        circuit = netsolve.loads(text)
    except netsolve.CircuitError as error:
        assert error.problems
        assert all(problem.at is not None for problem in error.problems)
        return
    data = netsolve.solve(circuit).to_dict()
    assert len(data["rows"]) == len(circuit.rows)
    assert json.dumps(data, allow_nan=False)
    for row in data["rows"]:
        assert row["settled"] == ("parts" in row)
