"""A swing valve in slow water: its disc is not held open, which is said."""

from __future__ import annotations

import math

import pytest

from netsolve.problems import Finding
from tests.solved import solved

DENSITY = 1000.0
"""kg/m3, as the water of `solved` is written."""
LIFT = 45 / math.sqrt(DENSITY)
"""m/s. Source: Crane TP-410 (metric), A-27: swing check valve of K = 100 fT, 35/sqrt(density) in ft/s and lb/ft3."""
BORE = 0.019
LITRES = LIFT * math.pi / 4 * BORE**2 * 6e4
"""L/min that run through the valve at that speed."""

BODY = """joints:
  meter: {{type: fixed_flow, flow: {flow} L/min, height: 0 m}}
  bucket: {{type: tank, level: 0 m}}
runs:
  line:
    from: meter
    to: bucket
    parts:
      - flap: {{type: check_valve, style: {style}, bore: 19 mm}}
      - hose: {{type: hose, bore: 19 mm, length: 1 m}}
{more}
"""


def found(flow: float, style: str = "swing", more: str = "") -> list[Finding]:
    row = solved(BODY.format(flow=flow, style=style, more=more))
    return [each for each in row.findings if each.code == "disc_flutter"]


def test_a_swing_valve_in_water_too_slow_to_lift_its_disc_is_noted() -> None:
    (finding,) = found(0.9 * LITRES)
    assert (finding.severity, finding.about, finding.unit) == ("note", "flap", "m/s")
    assert finding.value == pytest.approx(0.9 * LIFT, rel=1e-6)
    assert finding.limit == pytest.approx(LIFT, rel=1e-12)
    assert "at 1.28 m/s; a metal disc wants 1.42 m/s" in finding.message
    assert "Crane TP-410" in finding.basis


def test_in_quicker_water_it_is_not() -> None:
    assert found(1.1 * LITRES) == []


def test_what_has_no_hinged_disc_is_not_noted() -> None:
    assert [found(0.9 * LITRES, style) for style in ("spring", "ball", "duckbill")] == [[], [], []]


def test_a_valve_that_carries_nothing_is_not_noted() -> None:
    text = BODY.format(flow=0, style="swing", more="")
    lower = text.replace("{type: fixed_flow, flow: 0 L/min, height: 0 m}", "{type: tank, level: -1 m}")
    row = solved(lower)
    assert row.part("flap").status == "shut"
    assert [each for each in row.findings if each.code == "disc_flutter"] == []


def test_the_limit_is_a_share_that_the_file_may_set_or_silence() -> None:
    assert found(0.9 * LITRES, more="limits: {disc_flutter: 80 %}") == []
    assert len(found(1.1 * LITRES, more="limits: {disc_flutter: 120 %}")) == 1
    assert found(0.1 * LITRES, more="limits: {disc_flutter: off}") == []


def test_a_part_that_is_not_fitted_is_not_noted() -> None:
    text = BODY.format(flow=0.5 * LITRES, style="swing, fitted: no", more="")
    assert [each for each in solved(text).findings if each.code == "disc_flutter"] == []
