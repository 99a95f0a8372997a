"""The heat of very many rows from columns of settings is that of the rows made one by one."""

from __future__ import annotations

from collections.abc import Callable

import numpy as np
import pytest

import netsolve
from netsolve.answer import answer
from netsolve.assemble import assemble
from netsolve.result import RowResult
from netsolve.study.axes import Axis
from netsolve.study.many import Many, solve_many
from netsolve.study.sweep import sweep
from netsolve.units import written
from netsolve.warmed import solve_rows

TANK = netsolve.load("circuits/winch_tank.yaml")
KINDS = {
    "winch oil.heat": ("power", 500.0, 9e3),
    "winch oil.volume": ("volume", 0.03, 0.2),
    "winch oil.loss": ("conductance", 0.0, 20.0),
    "winch oil.air": ("temperature", 280.0, 320.0),
    "winch oil.start": ("temperature", 275.0, 310.0),
    "winch oil.alarm": ("temperature", 320.0, 350.0),
    "tank coil.ua": ("conductance", 20.0, 400.0),
    "engine cooler.heat": ("power", 1e4, 2e5),
    "exhaust.gas_flow": ("mass flow", 0.05, 0.4),
    "exhaust.gas_temperature": ("temperature", 400.0, 750.0),
    "water.temperature": ("temperature", 275.0, 303.0),
    "feed hose.bore": ("length", 0.010, 0.019),
    "main.speed": ("rotation", 10.0, 30.0),
}
ASKED: dict[str, tuple[Callable[[Many], np.ndarray], Callable[[RowResult], float | None]]] = {
    "plateau": (lambda many: many.plateau("winch oil"), lambda row: row.oil("winch oil").plateau),
    "alarm": (lambda many: many.time_to_alarm("winch oil"), lambda row: row.oil("winch oil").time_to_alarm),
    "stopped": (lambda many: many.time_without_water("winch oil"), lambda row: row.oil("winch oil").time_without_water),
    "taken": (lambda many: many.cooler_duty("winch oil"), lambda row: row.oil("winch oil").cooler_duty),
    "duty": (lambda many: many.duty("tank coil"), lambda row: row.part("tank coil").duty),
    "inlet": (lambda many: many.inlet_temperature("feed hose"), lambda row: row.part("feed hose").inlet_temperature),
    "outlet": (lambda many: many.outlet_temperature("tank coil"), lambda row: row.part("tank coil").outlet_temperature),
    "joint": (lambda many: many.temperature("overboard"), lambda row: row.joint("overboard").temperature),
    "mixed": (lambda many: many.mixed_temperature("exhaust"), lambda row: row.joint("exhaust").mixed_temperature),
}


def columns(count: int) -> dict[str, np.ndarray]:
    draw = np.random.default_rng(11)
    return {path: draw.uniform(low, high, count) for path, (_, low, high) in KINDS.items()}


def one_by_one(values: dict[str, np.ndarray]) -> list[RowResult]:
    """Every row by itself: made, assembled, solved and put together alone."""
    found = []
    for place in range(len(next(iter(values.values())))):
        texts = {path: written(float(each[place]), KINDS[path][0]) for path, each in values.items()}
        row = TANK.row("towing", "as found", texts)
        network = assemble([row])
        found.append(answer(TANK, *solve_rows(network)).rows[0])
    return found


def same(many: Many, rows: list[RowResult]) -> None:
    for whole, single in ASKED.values():
        wanted = [np.nan if (value := single(row)) is None else value for row in rows]
        got = whole(many)
        assert np.where(np.isinf(got), np.nan, got) == pytest.approx(np.array(wanted), rel=2e-6, nan_ok=True)


@pytest.mark.parametrize("path", KINDS)
def test_one_column_is_the_rows_made_one_by_one(path: str):
    values = {path: columns(5)[path]}
    same(solve_many(TANK, values, condition="towing"), one_by_one(values))


def test_all_columns_together_are_the_rows_made_one_by_one():
    values = columns(12)
    many = solve_many(TANK, values, condition="towing")
    assert not many.network.rows  # they were spread out, not made
    same(many, one_by_one(values))


def test_the_columns_move_what_they_are_asked_for():
    """The tests above would say little if nothing depended on the columns."""
    many = solve_many(TANK, columns(24), condition="towing")
    for whole, _ in ASKED.values():
        got = whole(many)
        assert len(set(got[np.isfinite(got)].tolist())) > 4


def test_an_unknown_oil_is_a_key_error():
    many = solve_many(TANK, {"tank coil.ua": [50.0, 60.0]})
    with pytest.raises(KeyError):
        many.plateau("gear oil")


def test_a_circuit_without_heat_has_no_temperatures():
    many = solve_many(netsolve.load("circuits/pot_hauler.yaml"), {"main.speed": [20.0, 30.0]})
    assert np.isnan(many.temperature("sea")).all()


def test_a_sweep_of_columns_has_their_temperatures_in_its_rows():
    axis = Axis({"tank coil.ua": (50.0, 100.0)}, {"tank coil.ua": "conductance"})
    rows = sweep(TANK, [axis], [("towing", "as found")])
    many = solve_many(TANK, {"tank coil.ua": [50.0, 100.0]}, condition="towing")
    assert [row.oil("winch oil").plateau for row in rows] == many.plateau("winch oil").tolist()
