"""Heights that nobody wrote: of joints the mean of their neighbours', along a run on straight lines."""

import pytest

from netsolve.read import read_text
from netsolve.reading.heights import part_levels, place_heights

CHAIN = """format: 1
joints:
  low: {type: tank, level: -1 m}
  high: {type: tank, level: 2 m}
  a: {type: manifold}
  b: {type: manifold}
runs:
  one: {from: low, to: a}
  two: {from: a, to: b}
  three: {from: b, to: high}
"""

RUN = """format: 1
joints:
  low: {{type: tank, level: 0 m}}
  high: {{type: tank, level: 1 m}}
runs:
  rise:
    from: low
    to: high
    parts:
{parts}
"""

HOSE = "{type: hose, bore: 16 mm, length: LENGTH}"
LOSS = "{type: loss, bore: 16 mm, k: 1}"


def levels(*parts: str) -> list[tuple[float, float, float]]:
    text = RUN.format(parts="\n".join(f"      - p{number}: {part}" for number, part in enumerate(parts)))
    row = read_text(text).as_found
    return [pytest.approx(level) for level in part_levels(row, row.runs["rise"])]


def hose(length: str, more: str = "") -> str:
    return HOSE.replace("LENGTH", length + more)


def test_joints_between_known_heights_take_the_mean_of_their_neighbours() -> None:
    places = read_text(CHAIN).as_found.places
    # a = (-1 + b)/2 and b = (a + 2)/2: a = 0, b = 1
    assert (places["a"].height, places["b"].height) == (pytest.approx(0.0, abs=1e-9), pytest.approx(1.0))
    assert (places["low"].height, places["high"].height) == (-1.0, 2.0)


def test_a_long_chain_of_joints_is_a_straight_line() -> None:
    count = 400
    joints = "".join(f"  m{number}: {{type: manifold}}\n" for number in range(count))
    runs = "".join(f"  r{number}: {{from: m{number}, to: m{number + 1}}}\n" for number in range(count - 1))
    text = (
        CHAIN.replace("runs:\n", f"{joints}runs:\n{runs}")
        + f"  x: {{from: low, to: m0}}\n  y: {{from: m{count - 1}, to: high}}\n"
    )
    row = read_text(text).as_found
    expected = [-1 + 3 * (number + 1) / (count + 1) for number in range(count)]
    assert [row.places[f"m{number}"].height for number in range(count)] == pytest.approx(expected, abs=1e-6)


def test_joints_out_of_reach_of_any_height_have_none() -> None:
    row = read_text(CHAIN).as_found
    alone = {name: place for name, place in row.places.items() if name in ("a", "b")}
    assert place_heights(alone, [row.runs["two"]]) == {"a": None, "b": None}


def test_hose_shares_the_rise_by_length_and_other_parts_lie_between() -> None:
    assert levels(hose("1 m"), LOSS, hose("3 m")) == [(0, 0.25, 0.25), (0.25, 0.25, 0.25), (0.25, 1, 1)]


def test_parts_without_hose_share_the_rise_by_count() -> None:
    assert levels(LOSS, LOSS, LOSS) == [(0.25,) * 3, (0.5,) * 3, (0.75,) * 3]


def test_the_height_of_a_part_is_where_it_is() -> None:
    part = LOSS.replace("k: 1", "k: 1, height: 3 m")
    assert levels(hose("1 m"), part, hose("3 m")) == [(0, 3, 3), (3, 3, 3), (3, 1, 3)]


def test_the_height_of_a_hose_is_the_top_of_its_rise() -> None:
    assert levels(hose("1 m", ", height: 2 m"), hose("1 m")) == [(0, 0.5, 2), (0.5, 1, 1)]


def test_a_part_that_is_not_fitted_has_no_level_and_a_count_lengthens_a_hose() -> None:
    bypassed = LOSS.replace("k: 1", "k: 1, height: 3 m, fitted: no")
    assert levels(hose("1 m", ", count: 3"), bypassed, hose("1 m")) == [(0, 0.75, 0.75), (0.75, 1, 1)]
