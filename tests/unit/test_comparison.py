"""What `compare` says of each need; the flows are those of the invented rows."""

from __future__ import annotations

from dataclasses import replace

import pytest

from netsolve.study.comparison import Effect, compare, effects_to_dict
from tests.unit.answers import LITRE, answer, blanked, pot_hauler, row, unsettled, written


def oil_cooler(effects: tuple[Effect, ...]) -> Effect:
    return next(effect for effect in effects if effect.about == "oil cooler")


def test_every_need_is_compared_in_every_condition_of_every_change() -> None:
    effects = [(each.change, each.condition, each.about) for each in compare(pot_hauler())]
    change = "screen and check valve"
    expected = [(change, where, what) for where in ("idle", "full") for what in ("engine cooler", "oil cooler")]
    assert expected == effects


def test_an_effect_is_the_row_with_the_change_minus_the_row_as_found() -> None:
    effect = oil_cooler(compare(pot_hauler()))
    assert (5.3 * LITRE, 4.9 * LITRE) == (effect.before, effect.after)
    assert effect.difference == pytest.approx(-0.4 * LITRE)
    assert ("starved", "starved") == (effect.verdict_before, effect.verdict_after)


def test_an_unsettled_row_gives_no_flow_and_no_difference_but_is_listed() -> None:
    effect = oil_cooler(compare(answer(row(), unsettled(change="screen"))))
    assert (4.9 * LITRE, None, None) == (effect.before, effect.after, effect.difference)
    assert ("starved", "unsettled") == (effect.verdict_before, effect.verdict_after)


def test_needs_are_listed_from_the_circuit_where_neither_row_settled() -> None:
    result = answer(unsettled(), unsettled(change="screen"))
    bare = written(row())
    result = replace(result, circuit=replace(result.circuit, rows=(bare, replace(bare, change="screen"))))
    expected = [("engine cooler", "unsettled"), ("oil cooler", "unsettled")]
    assert expected == [(each.about, each.verdict_after) for each in compare(result)]


def test_a_part_in_a_blanked_run_loses_all_its_flow() -> None:
    effect = oil_cooler(compare(answer(row(), blanked(row(change="closed"), "oil cooler branch"))))
    assert (0.0, -4.9 * LITRE, "shut") == (effect.after, effect.difference, effect.verdict_after)


def test_a_part_that_is_removed_has_no_flow_to_subtract() -> None:
    removed = row(change="no cooler", without=("oil cooler",))
    effect = oil_cooler(compare(answer(row(), removed)))
    assert (None, None, None) == (effect.after, effect.difference, effect.verdict_after)


def test_rows_of_a_sweep_are_compared_with_the_row_of_the_same_settings() -> None:
    narrow, wide = {"feed hose.bore": 0.0127}, {"feed hose.bore": 0.0159}
    rows = (
        replace(row(litres=4.0), settings=narrow),
        replace(row(litres=6.0), settings=wide),
        replace(row(litres=5.0, change="screen"), settings=wide),
    )
    assert oil_cooler(compare(answer(*rows))).before == 6.0 * LITRE


def test_effects_as_plain_data_have_the_promised_keys() -> None:
    (effect, *_) = effects_to_dict(compare(pot_hauler()))["effects"]
    expected = [
        "change",
        "condition",
        "about",
        "before",
        "after",
        "difference",
        "verdict_before",
        "verdict_after",
        "percent",
        "others",
    ]
    assert expected == list(effect)
