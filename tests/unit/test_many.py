"""Very many rows from columns of settings are the rows made one by one."""

from collections.abc import Iterator
from concurrent.futures import Executor, ProcessPoolExecutor, ThreadPoolExecutor
from contextlib import contextmanager

import distributed
import numpy as np
import pytest

import netsolve
import netsolve.solver
from netsolve.assemble import assemble
from netsolve.problems import CircuitError
from netsolve.solver import solve
from netsolve.study.many import solve_many
from netsolve.units import written

CIRCUIT = netsolve.load("circuits/two_coolers.yaml")
KINDS = {
    "main.speed": ("rotation", 10, 50),
    "winch hose.bore": ("length", 0.010, 0.019),
    "feed hose.bore": ("length", 0.015, 0.025),
    "gearbox cooler.drop": ("head", 3e3, 20e3),
    "winch outlet.height": ("length", 0.05, 0.5),
    "weed strainer.cv": ("number", 10, 60),
    "tee-off.angle": ("angle", 0.8, 2.3),
    "water.temperature": ("temperature", 275, 303),
    "exhaust.back_pressure_at_rated": ("pressure", 1e3, 9e3),
}
LOOP = """
format: 1
circuit: a loop between a tank and the open air
joints:
  tank: {type: tank, level: 0 m, pressure: 12 kPa, losses: none}
  loop: {type: vented_loop, height: 0.9 m, vent: works}
  overboard: {type: discharge, height: 0.1 m, losses: none}
runs:
  up: {from: tank, to: loop.in, parts: [{up hose: {type: rated_loss, drop: 10 kPa, at: 10 L/min, bore: 16 mm}}]}
  down: {from: loop.out, to: overboard, parts: [{down hose: {type: rated_loss, drop: 10 kPa, at: 10 L/min, bore: 16 mm}}]}
"""


def columns(count: int) -> dict[str, np.ndarray]:
    draw = np.random.default_rng(7)
    return {path: draw.uniform(low, high, count) for path, (_, low, high) in KINDS.items()}


def one_by_one(values: dict[str, np.ndarray], change: str = "as found") -> np.ndarray:
    count = len(next(iter(values.values())))
    rows = [
        CIRCUIT.row(
            "survey", change, {path: written(float(each[place]), KINDS[path][0]) for path, each in values.items()}
        )
        for place in range(count)
    ]
    return solve(assemble(rows)).flow


@pytest.mark.parametrize("path", KINDS)
def test_one_column_is_the_rows_made_one_by_one(path: str):
    values = {path: columns(9)[path]}
    many = solve_many(CIRCUIT, values, condition="survey")
    assert one_by_one(values) == pytest.approx(many.solution.flow, rel=1e-6, abs=1e-12)


@pytest.mark.parametrize(
    ("path", "kind", "values"),
    [
        ("winch hose.count", "number", (1.0, 2.0, 3.0)),
        ("winch outlet.height", "length", (-0.3, 0.2, 0.6)),
        ("raw-water pump.height", "length", (-0.3, 0.2)),
    ],
)
def test_what_is_more_than_a_field_of_a_law_counts_too(path: str, kind: str, values: tuple[float, ...]):
    rows = [CIRCUIT.row("survey", "as found", {path: written(value, kind)}) for value in values]
    many = solve_many(CIRCUIT, {path: values}, condition="survey")
    assert solve(assemble(rows)).flow == pytest.approx(many.solution.flow, rel=1e-6, abs=1e-12)


def test_the_crest_of_a_vented_loop_counts_too():
    circuit, heights = netsolve.loads(LOOP), (0.3, 0.6, 0.9)
    rows = [circuit.row("as written", "as found", {"loop.height": f"{height} m"}) for height in heights]
    many = solve_many(circuit, {"loop.height": heights})
    assert solve(assemble(rows)).flow == pytest.approx(many.solution.flow, rel=1e-6, abs=1e-12)
    assert many.flow("up")[0] > 1.1 * many.flow("up")[2]


def test_texts_that_are_alike_in_all_rows_are_set_too():
    speeds = columns(5)["main.speed"]
    alike = {"winch hose.wall": "corrugated"}
    rows = [CIRCUIT.row("survey", "as found", alike | {"main.speed": f"{speed} rev/s"}) for speed in speeds]
    many = solve_many(CIRCUIT, {"main.speed": speeds}, condition="survey", alike=alike)
    assert solve(assemble(rows)).flow == pytest.approx(many.solution.flow, rel=1e-6, abs=1e-12)
    assert (
        many.flow("winch hose") < solve_many(CIRCUIT, {"main.speed": speeds}, condition="survey").flow("winch hose")
    ).all()


def test_all_columns_at_once_are_the_rows_made_one_by_one():
    many = solve_many(CIRCUIT, columns(40), condition="survey", change="balancing orifice")
    assert many.settled.all()
    assert one_by_one(columns(40), "balancing orifice") == pytest.approx(many.solution.flow, rel=1e-6, abs=1e-12)


def test_a_setting_that_is_no_proportion_is_made_row_by_row():
    values = {"winch hose.bends": np.array([0.0, 2.0, 5.0]), "main.speed": np.array([20.0, 30.0, 40.0])}
    many = solve_many(CIRCUIT, values | {"raw-water pump.drive_ratio": np.array([1.0, 0.9, 1.1])}, condition="survey")
    texts = [
        {"winch hose.bends": f"{b}", "main.speed": f"{s} rev/s", "raw-water pump.drive_ratio": f"{r}"}
        for b, s, r in zip((0, 2, 5), (20, 30, 40), (1, 0.9, 1.1), strict=True)
    ]
    rows = [CIRCUIT.row("survey", "as found", each) for each in texts]
    assert solve(assemble(rows)).flow == pytest.approx(many.solution.flow, rel=1e-6)


@contextmanager
def cluster(workers: int) -> Iterator[Executor]:
    """The executor of a cluster of `distributed`'s kind, here of threads on this machine."""
    with (
        distributed.LocalCluster(
            n_workers=workers, threads_per_worker=1, processes=False, dashboard_address=None
        ) as made,
        distributed.Client(made) as client,
        client.get_executor() as executor,
    ):
        yield executor


@pytest.mark.parametrize("pool", [ThreadPoolExecutor, ProcessPoolExecutor, cluster])
def test_an_executor_gives_the_same_answers(pool, monkeypatch):
    monkeypatch.setattr(netsolve.solver, "BLOCK", 2048)
    values = {"main.speed": columns(5000)["main.speed"]}
    alone, told = solve_many(CIRCUIT, values, condition="survey"), []
    with pool(2) as executor:
        dealt = solve_many(CIRCUIT, values, condition="survey", executor=executor, done=told.append)
    assert (alone.flow("winch cooler") == dealt.flow("winch cooler")).all()
    assert 5000 == sum(told)
    assert max(told) <= 2048


def test_the_rows_of_a_file_are_dealt_to_an_executor_too():
    told = []
    with ProcessPoolExecutor(1) as executor:
        dealt = netsolve.solve(CIRCUIT, executor=executor, done=told.append)
    assert dealt.to_dict() == netsolve.solve(CIRCUIT).to_dict()
    assert told == [len(dealt.rows)]


def test_what_cannot_be_is_refused_as_in_a_file():
    with pytest.raises(CircuitError, match="there is no 'wnch hose' to set"):
        solve_many(CIRCUIT, {"wnch hose.bore": [0.01, 0.02]})
    with pytest.raises(CircuitError, match="must be above 0"):
        solve_many(CIRCUIT, {"winch hose.bore": [-0.01, 0.02]})
    with pytest.raises(ValueError, match="not all of one length"):
        solve_many(CIRCUIT, {"winch hose.bore": [0.01, 0.02], "main.speed": [30.0]})
