"""Regular expressions for editors against what is read."""

from __future__ import annotations

import math
import re

import pytest

from netsolve.units import KINDS, examples, pattern, read


@pytest.mark.parametrize("kind", KINDS)
def test_examples_can_be_read_and_match_the_pattern(kind: str) -> None:
    assert len(examples(kind)) >= 2
    for text in examples(kind):
        assert math.isfinite(read(text, kind, density=1000.0).value)
        assert re.search(pattern(kind), text)


@pytest.mark.parametrize("kind", KINDS)
def test_pattern_matches_every_spelling(kind: str) -> None:
    missed = [unit for unit in KINDS[kind].units if not re.search(pattern(kind), f"1-1/2 {unit} ± 5 %")]
    assert missed == []


@pytest.mark.parametrize(
    ("text", "kind", "fits"),
    [
        ("NPS 3/4", "length", True),
        ("1½ in", "length", True),
        ("2 m", "head", True),
        ("0.2 m³", "volume", True),
        ("16", "length", False),
        ("16 gpm", "length", False),
        ("1,5 L/min", "flow", False),
        ("12", "flow", False),
        ("0.46", "ratio", True),
        ("8 mm", "number", False),
    ],
)
def test_pattern_tells_right_from_wrong(text: str, kind: str, fits: bool) -> None:
    assert (re.search(pattern(kind), text) is not None) is fits
