"""The duckbill keeps its promises, passes through its table, and holds back what has too little pressure."""

from pathlib import Path

import numpy as np
import pytest

from netsolve.plugin import NO_FLOW, Water
from netsolve.testing import check_component, plugin, solved

HERE = Path(__file__).parent
DuckbillValve = plugin("duckbill_valve")  # as it is installed

SEA = Water(density=1025.0, viscosity=1.2e-3, heat_capacity=4000.0, conductivity=0.6, vapour_pressure=1700.0)


def test_it_keeps_every_promise_of_a_component():
    check_component(DuckbillValve)


def test_it_takes_what_its_table_says():
    drops = DuckbillValve(size="19 mm").pressure_drop(np.array([10, 20, 34]) / 60e3, SEA)
    assert drops == pytest.approx([3.0e3, 5.2e3, 12.0e3])


def test_it_lets_nothing_back():
    assert DuckbillValve(size="25 mm").pressure_drop(-0.9 * NO_FLOW, SEA) == pytest.approx(-0.9e5)  # almost 1 bar


def test_it_opens_under_a_full_bucket_and_not_under_a_low_one():
    result = solved(HERE / "duckbill_valve.yaml")
    full, low = (result["as written", change] for change in ("as found", "low bucket"))
    assert full.parts["valve"].status == "open"
    assert low.parts["valve"].status == "shut"
    assert low.runs["line"].verdict == "dry"
