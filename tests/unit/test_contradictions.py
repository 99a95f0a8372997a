"""Fixed flows that no pressures can answer to are told as what they are: water with no way in or out."""

from __future__ import annotations

import pytest

import netsolve
from netsolve.problems import CircuitError
from netsolve.views.wording import not_settled

BEHIND = """\
format: 1
circuit: a metered feed and its drain
joints:
  feed: {type: fixed_flow, flow: 20 L/min}
  overboard: {type: discharge, height: 0.1 m, bore: 20 mm}
runs:
  drain:
    from: feed
    to: overboard
    parts:
      - hose: {type: hose, bore: 20 mm, length: 2 m}
changes:
  blanked: {blank: drain}
"""

IN_SERIES = """\
format: 1
circuit: two metering pumps in series
joints:
  first pump: {type: fixed_flow, flow: 20 L/min, height: 0 m}
  second pump: {type: fixed_flow, flow: -15 L/min, height: 0 m}
runs:
  between:
    from: first pump
    to: second pump
    parts:
      - hose: {type: hose, bore: 20 mm, length: 2 m}
"""


def test_a_feed_whose_only_run_is_blanked_is_told_as_water_without_a_way_out() -> None:
    result = netsolve.solve(netsolve.loads(BEHIND))
    open_, blanked = result.rows
    assert open_.settled
    assert not blanked.settled
    finding = blanked.findings[0]
    assert (finding.code, finding.about) == ("unsettled", "feed")
    assert finding.message == "20 L/min (5.28 gpm) is fed in at 'feed' and has no way out"
    assert result.to_dict()["rows"][1]["unsettled"]["joint"] == "feed"
    assert result.to_dict()["rows"][1]["unsettled"]["flow_m3_s"] == pytest.approx(20 / 60e3)
    assert not_settled(blanked, "metric").startswith("no flow can answer to this: 20 L/min")


def test_a_draw_without_a_way_in_is_told_so() -> None:
    result = netsolve.solve(netsolve.loads(BEHIND.replace("flow: 20", "flow: -20")), changes=["blanked"])
    (row,) = result.rows
    assert row.findings[0].message == "20 L/min (5.28 gpm) is drawn at 'feed' and has no way in"


def test_two_different_metering_pumps_in_series_are_a_problem_at_the_one_that_moves_more() -> None:
    with pytest.raises(CircuitError) as told:
        netsolve.loads(IN_SERIES)
    (problem,) = told.value.problems
    assert (problem.code, problem.at.line) == ("no-opening", 4)
    assert problem.message == "5 L/min (1.32 gpm) is fed in at 'first pump' and has no way out"


def test_equal_flows_in_series_still_want_an_opening_for_their_pressure() -> None:
    with pytest.raises(CircuitError) as told:
        netsolve.loads(IN_SERIES.replace("-15", "-20"))
    (problem,) = told.value.problems
    assert "nothing fixes the pressure" in problem.message
