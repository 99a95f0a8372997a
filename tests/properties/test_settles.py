"""Circuits odder than anyone would build settle, to balances measured apart from the solver."""

import numpy as np
import pytest

from netsolve.solver import solve
from netsolve.solving.schur import _solved
from tests.properties.balances import mass_left, solved, unfit
from tests.properties.random_circuits import random_circuit

COUNT = 120


@pytest.mark.parametrize("tees", [False, True], ids=["plain", "with tees, loops and air"])
def test_random_circuits_settle_in_few_steps(tees: bool):
    iterations = []
    for seed in range(COUNT):
        network, solution = solved(random_circuit(seed, tees=tees))
        assert solution.settled.all(), f"seed {seed}"
        assert mass_left(network, solution) <= 2e-9, f"seed {seed}"
        assert [] == unfit(network, solution), f"seed {seed}"
        iterations.append(solution.iterations[0])
    assert np.median(iterations) <= (14 if tees else 9)
    assert np.percentile(iterations, 99) <= (30 if tees else 18)


def test_the_measure_of_balances_finds_a_wrong_flow():
    network, solution = solved(random_circuit(4))
    worst = int(np.abs(solution.flow[0]).argmax())
    solution.flow[0, worst] *= 1.001
    assert mass_left(network, solution) > 1e-4
    assert unfit(network, solution) != []


def test_the_answer_does_not_depend_on_where_the_search_begins():
    for seed in range(25):
        network, solution = solved(random_circuit(seed))
        other = solved_from(network, scale=0.01)
        scale = np.abs(solution.flow).max()
        assert solution.flow == pytest.approx(other.flow, abs=1e-7 * scale + 1e-9), f"seed {seed}"


def solved_from(network, *, scale: float):
    from dataclasses import replace

    from netsolve.solver import solve

    return solve(replace(network, speed_area=network.speed_area * scale))


@pytest.mark.parametrize("seed", [1003674, 1004035, 1009782])
def test_crests_that_keep_changing_sides_settle_all_the_same(seed: int):
    network, solution = solved(random_circuit(seed, tees=True))
    assert solution.settled.all()
    assert mass_left(network, solution) <= 2e-9
    assert [] == unfit(network, solution)


def test_steps_that_tees_lead_astray_begin_anew_without_being_mended(monkeypatch: pytest.MonkeyPatch):
    network, solution = solved(random_circuit(1001322, tees=True))
    assert solution.settled.all()
    assert [] == unfit(network, solution)
    for second_try in ("_with_plain_steps", "_by_softer_crests"):
        monkeypatch.setattr(f"netsolve.solver.{second_try}", lambda *args: None)
    _, astray = solved(random_circuit(1001322, tees=True))
    assert not astray.settled.any()


def test_a_row_whose_system_is_singular_stops_no_other():
    matrices = np.array([[[2.0, 0.0], [0.0, 4.0]], [[1.0, 1.0], [1.0, 1.0]]])
    solved_ = _solved(matrices, np.array([[2.0, 4.0], [1.0, 0.0]]))
    assert [1.0, 1.0] == solved_[0].tolist()
    assert np.isnan(solved_[1]).all()


def test_a_network_solved_again_is_solved_alike_and_its_rows_alone_as_among_others():
    network, together = solved(random_circuit(1000007, tees=True))
    again = solve(network)
    assert (again.flow == together.flow).all()
    three = network.take(np.zeros(3, dtype=np.intp))
    assert np.abs(solve(three).flow - together.flow).max() <= 1e-9 * np.abs(together.flow).max()
