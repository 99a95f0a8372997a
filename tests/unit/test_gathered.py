"""What rules find is told once for all rows, with the rows in which it holds; what they lack is told once."""

from __future__ import annotations

import netsolve
from netsolve.result import Result
from netsolve.views.gathered import brought, count, gathered, lacking, where, worst_of
from tests.commands import POT_HAULER, edited


def solved(text: str = POT_HAULER.read_text(encoding="utf-8")) -> Result:
    return netsolve.solve(netsolve.loads(text))


RESULT = solved()


def rows_of(result: Result, code: str, about: str) -> str:
    return where([row for row, _ in gathered(result)[code, about]], result)


def test_a_thing_found_in_several_rows_is_told_as_it_is_where_it_is_worst() -> None:
    found = gathered(RESULT)["tube_speed_high", "oil cooler"]
    speeds = [each.value or 0.0 for _, each in found]
    assert len(speeds) == 8
    assert worst_of(found).value == max(speeds)


def test_the_rows_are_named_in_few_words() -> None:
    assert rows_of(RESULT, "suction_hose_speed", "suction hose") == "not at idle"
    assert rows_of(RESULT, "strainer_opening", "mesh screen") == "under screen, screen and check valve"
    assert rows_of(RESULT, "hull_shut_off", "overboard") == ""
    assert rows_of(RESULT, "branch_valve", "oil cooler branch") == "not under cooler branch closed"
    assert rows_of(RESULT, "water_diverted", "overboard").startswith("idle, as found; full, as found; ")


def test_the_gravest_comes_first() -> None:
    bare = solved(edited("      - seacock:        {type: seacock, bore: 38 mm}\n", ""))
    first = next(iter(gathered(bare)))
    assert first == ("hull_shut_off", "sea")
    assert count(bare) == "1 danger, 1 fault"
    assert count(RESULT) == ""


def test_what_a_rule_lacks_is_said_in_one_row_alone() -> None:
    lacks = [(each.code, each.about, each.lacks) for row in RESULT for each in row.findings if each.lacks]
    assert len(lacks) == len(set(lacks)) > 0
    assert lacking(RESULT)["opening"] == ["weed strainer"]


def test_a_value_that_is_given_lacks_no_more() -> None:
    given = solved(edited("cv: 50, bore: 38 mm", "cv: 50, bore: 38 mm, opening: 3 mm"))
    assert "opening" not in lacking(given)


def test_silencing_a_rule_silences_what_it_lacks() -> None:
    text = edited("\nengines:", "\nlimits: {strainer_opening: off}\n\nengines:")
    assert {"opening", "passage"} & set(lacking(solved(text))) == set()


def test_what_a_change_brings_is_told_and_not_what_was_there_before() -> None:
    news = brought(RESULT)
    assert ("screen", "strainer_opening", "mesh screen") in news
    assert {code for _, code, _ in news} & {"tube_speed_high", "suction_hose_speed"} == set()
    assert [each for each in news if each[0] == "as found"] == []
