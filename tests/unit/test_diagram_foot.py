"""The foot of the picture: the values in use that nobody wrote, in a few lines."""

from __future__ import annotations

from dataclasses import replace

from netsolve.circuit import Assumed
from netsolve.result import Result
from netsolve.views.diagram import diagram
from tests.unit.answers import answer, row
from tests.unit.test_diagram import drawn, texts

ROUGH = "feed hose", "return hose", "suction hose"


def assuming(result: Result, *assumed: Assumed) -> Result:
    return replace(result, circuit=replace(result.circuit, assumed=assumed))


def slip(part: str, parameter: str = "slip") -> Assumed:
    return Assumed(part, parameter, 1.2e-6, "1/Pa", "an estimate", "ratio per pressure")


def rough(part: str) -> Assumed:
    return Assumed(part, "roughness", 1e-5, "m", "the middle of 0.005 to 0.02 mm", "length")


def test_alike_values_stand_together_at_the_foot_without_their_sources() -> None:
    shown = texts(drawn(assuming(answer(row()), *(rough(name) for name in ROUGH), slip("raw-water pump"))))
    foot = "Assumed: roughness 0.01 mm of feed hose, return hose, suction hose; slip 12 %/bar of raw-water pump"
    assert foot in shown
    assert "the middle of" not in shown


def test_a_part_that_is_not_fitted_assumes_nothing_until_a_change_fits_it() -> None:
    result = assuming(answer(row(), row(change="screen", without=())), slip("check valve", "cracking"))
    assert "Assumed" not in texts(drawn(result))
    assert "Assumed: cracking 12 %/bar of check valve" in texts(drawn(result, change="screen"))


def test_the_foot_has_three_lines_at_most_and_says_how_many_more_there_are() -> None:
    many = [slip("raw-water pump", f"parameter_{n}") for n in range(40)]
    picture = drawn(assuming(answer(row()), *many))
    shown = texts(picture)
    foot = shown[shown.index("Assumed: ") :].split(": see solve")[0]
    named, more = foot.count("12 %/bar"), int(foot.rpartition("and ")[2].removesuffix(" more"))
    assert named > 3
    assert named + more == 40
    lines = {float(text.attrib["y"]) for text in picture.iter("{http://www.w3.org/2000/svg}text")}
    gauges = 2  # lines about the gauges stand before the three
    assert 3 == sum(y > _lowest_box(picture) for y in lines) - gauges


def _lowest_box(picture: object) -> float:
    """The y of the lowest joint's last line, below which only the foot is."""
    texts = [(float(each.attrib["y"]), each.text or "") for each in picture.iter("{http://www.w3.org/2000/svg}text")]  # type: ignore[attr-defined]
    return max(y for y, words in texts if "kPa" in words and "kPa of" not in words)


def test_values_too_long_to_name_are_counted() -> None:
    assert "Assumed: 1 value: see solve" in texts(drawn(assuming(answer(row()), rough("x" * 900))))


def test_a_circuit_that_assumes_nothing_and_lies_at_the_waterline_has_no_foot_and_no_frame() -> None:
    found = row()
    level = {name: replace(joint, height=0.0) for name, joint in found.joints.items()}
    dot = diagram(assuming(answer(replace(found, joints=level))))
    assert "Assumed" not in dot
    assert "Gauges" not in dot
    assert "subgraph" not in dot


def test_the_foot_is_the_same_every_time() -> None:
    result = assuming(answer(row()), slip("raw-water pump"), *(rough(name) for name in ROUGH))
    assert diagram(result) == diagram(result)
