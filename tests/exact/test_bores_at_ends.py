"""An opening without a bore borrows that of its run's end; beside a run that has none to lend, too."""

from __future__ import annotations

import pytest

import netsolve

CIRCUIT = """
format: 1
circuit: two rated coolers, one of them behind a hose
water: {kind: fresh, temperature: 15 degC}
joints:
  high: {type: tank, level: 3 m}
  low: {type: tank, level: 0 m}
runs:
  without a bore:
    from: high
    to: low
    parts:
      - cooler: {type: heat_exchanger, drop: 20 kPa, at: 30 L/min}
  with a bore:
    from: high
    to: low
    parts:
      - hose: {type: loss, k: 2, bore: 20 mm}
"""


def test_a_run_without_a_bore_is_solved_beside_one_that_has_it() -> None:
    """By hand: the cooler alone takes 3 m of water, so (29.4 kPa / 20 kPa)^1/2 of its rated flow."""
    (row,) = netsolve.solve(netsolve.loads(CIRCUIT))
    assert row.settled
    flow = row.runs["without a bore"].flow
    assert flow is not None
    assert 30 / 60e3 * (999.1 * 9.80665 * 3 / 20e3) ** 0.5 == pytest.approx(flow, rel=2e-3)
