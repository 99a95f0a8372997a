"""A table of what coolers pass at several flows, read backwards: the flow, and the cooler, that a conductance takes.

The rows are C (1 - exp(-UA/C)) of a coil in a stirred tank, with C = 258 W/K for each US gallon a minute of sea water,
to whole W/K: our own calculation, made apart from this program; no published source.
"""

from __future__ import annotations

import math

import pytest

import netsolve

GALLON = 3.785411784e-3 / 60
RATE = 258.0
"""W/K for each gallon a minute."""

FLOWS = (0.25, 0.5, 1.0, 2.0, 3.0, 4.0, 5.0)
TABLE = {
    100: (51, 70, 83, 91, 94, 95, 96),
    200: (62, 102, 139, 166, 176, 182, 185),
    400: (64, 123, 203, 278, 312, 332, 344),
    800: (65, 129, 246, 407, 499, 557, 596),
}
TEXT = """
format: 1
water: {{kind: custom, density: 1000 kg/m3, viscosity: 1 mPa.s, heat_capacity: {capacity} J/kg/K, temperature: 25 degC}}
oils:
  winch: {{volume: 60 L, density: 870 kg/m3, heat_capacity: 1950 J/kg/K, heat: {heat} W, limit: 65 degC, loss: 0 W/K}}
joints:
  meter: {{type: fixed_flow, flow: {flow} gpm, height: 0 m}}
  bucket: {{type: tank, level: 0 m, losses: none}}
runs:
  line:
    from: meter
    to: bucket
    parts:
      - cooler: {{type: heat_exchanger, drop: 1 kPa, at: 10 L/min, bore: 20 mm, cools: winch, ua: {ua} W/K,
                  arrangement: stirred tank, min_flow: from heat}}
"""
CELLS = [(ua, flow, passes) for ua, row in TABLE.items() for flow, passes in zip(FLOWS, row, strict=True)]


def spread(ua: float, flow: float) -> float:
    """By what share the flow moves for each share that the conductance moves."""
    units = ua / (RATE * flow)
    passed = -math.expm1(-units)
    return passed / (passed - units * math.exp(-units))


@pytest.mark.parametrize(("ua", "flow", "passes"), CELLS)
def test_the_least_flow_is_the_one_that_the_table_stands_under(ua: float, flow: float, passes: float):
    """Within 3 %, or what the rounding to a whole W/K leaves open, whichever is more."""
    capacity = RATE / (GALLON * 1000)
    text = TEXT.format(capacity=capacity, heat=40 * passes, flow=flow, ua=ua)
    (row,) = netsolve.solve(netsolve.loads(text))
    found = row.part("cooler").min_flow
    assert found is not None
    rounding = 0.5 / passes * spread(ua, flow) * 1.3
    assert found / GALLON == pytest.approx(flow, rel=max(0.03, rounding))


@pytest.mark.parametrize(("ua", "flow", "passes"), [each for each in CELLS if spread(each[0], each[1]) > 1.1])
def test_the_limit_is_where_it_settles_at_the_flow_of_the_table(ua: float, flow: float, passes: float):
    capacity = RATE / (GALLON * 1000)
    (row,) = netsolve.solve(netsolve.loads(TEXT.format(capacity=capacity, heat=40 * passes, flow=flow, ua=ua)))
    plateau = row.oil("winch").plateau
    assert plateau is not None
    assert plateau - 298.15 == pytest.approx(40, rel=0.03)
