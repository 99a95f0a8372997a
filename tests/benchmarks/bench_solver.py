"""How fast the solver is, each ratio with both sides measured in this run: `python -m tests.benchmarks.bench_solver`.

--rows N        rows of the pot-hauler's circuit in one call (100,000)
--edges N       runs of the largest grid and tree (100,000)
"""

from __future__ import annotations

import argparse
import platform
import resource
import sys
import time
from collections.abc import Callable
from concurrent.futures import ProcessPoolExecutor
from pathlib import Path

import numpy as np
import scipy
from scipy.sparse import coo_array
from scipy.sparse.linalg import splu

import netsolve
from netsolve.assemble import assemble
from netsolve.circuit import AS_FOUND, AS_WRITTEN, End, Part, Place, Row, Run
from netsolve.components.loss import Loss
from netsolve.components.manifold import Manifold
from netsolve.components.tank import Tank
from netsolve.solver import solve
from netsolve.solving.law import Law
from netsolve.solving.schur import Schur
from netsolve.study.many import solve_many
from netsolve.water import sea_water
from tests.benchmarks import script

FOLDER = Path(__file__).parents[2] / "circuits"
CIRCUIT = netsolve.load(FOLDER / "pot_hauler.yaml")
DRAWN = {
    "main.speed": ("speed", 12, 43),
    "feed hose.length": ("feed_length", 1, 6),
    "oil cooler.bore": ("coil_bore", 0.012, 0.016),
    "weed strainer.cv": ("strainer_cv", 20, 60),
    "overboard.height": ("outlet_height", 0.05, 0.3),
    "engine cooler.drop": ("cooler_drop", 15e3, 40e3),
}


def best(work: Callable[[], object], times: int = 3) -> float:
    """The shortest of some runs, s."""
    spans = []
    for _ in range(times):
        start = time.perf_counter()
        work()
        spans.append(time.perf_counter() - start)
    return min(spans)


def columns(count: int) -> dict[str, np.ndarray]:
    draw = np.random.default_rng(1)
    return {path: draw.uniform(low, high, count) for path, (_, low, high) in DRAWN.items()}


def many(count: int) -> None:
    """Rows per second in one process, against the script row by row; and with a pool."""
    values = columns(count)
    boats = [script.Boat(**{DRAWN[path][0]: float(each[row]) for path, each in values.items()}) for row in range(300)]
    plain = best(lambda: [script.solve(boat) for boat in boats]) / len(boats)
    flows = np.array([script.solve(boat)[2] for boat in boats])
    told = solve_many(CIRCUIT, values, condition="cruise")
    apart = np.abs(told.flow("oil cooler")[: len(boats)] / flows - 1)
    ours = best(lambda: solve_many(CIRCUIT, values, condition="cruise"), 2) / count
    say("one row by the script", plain * 1e3, "ms")
    say(f"one of {count:,} rows, one process", ours * 1e6, "µs")
    say("ratio, wanted 50 or more", plain / ours, "times")
    say("rows that settled", 100 * told.settled.mean(), "%")
    say("median difference of the branch from the script's (other coil and friction laws)", 100 * np.median(apart), "%")
    with ProcessPoolExecutor(2) as pool:
        dealt = best(lambda: solve_many(CIRCUIT, values, condition="cruise", executor=pool), 1) / count
    say("one row with a pool of two processes", dealt * 1e6, "µs")
    one_row()


def one_row() -> None:
    """One row beside the script, by turns and in processor time, so that a busy machine weighs on both alike."""
    network, boat = assemble([CIRCUIT.row("cruise", AS_FOUND, {})]), script.Boat()
    spans = []
    for _ in range(100):
        turns = (lambda: [solve(network) for _ in range(5)], lambda: [script.solve(boat) for _ in range(25)])
        spans.append([processor(turn) / count for turn, count in zip(turns, (5, 25), strict=True)])
    alone, _ = np.median(spans, axis=0)
    say("one row, already assembled", alone * 1e3, "ms")
    say("ratio to the script, wanted 6 or less", float(np.median([ours / theirs for ours, theirs in spans])), "times")


def processor(work: Callable[[], object]) -> float:
    """The processor time of one run, s."""
    start = time.process_time()
    work()
    return time.process_time() - start


def grid(edges: int) -> Row:
    """A square grid of losses with a tank in two corners: rich in loops."""
    side = max(2, round((edges / 2) ** 0.5))
    names = [[f"j{x} {y}" for y in range(side)] for x in range(side)]
    ends = [(names[x][y], names[x + 1][y]) for x in range(side - 1) for y in range(side)]
    ends += [(names[x][y], names[x][y + 1]) for x in range(side) for y in range(side - 1)]
    return _row([name for column in names for name in column], ends, {names[0][0]: 20.0, names[-1][-1]: 0.0})


def tree(edges: int) -> Row:
    """A binary tree: a tank at the root, tanks at the leaves."""
    names = [f"j{place}" for place in range(edges + 1)]
    ends = [(names[(place - 1) // 2], names[place]) for place in range(1, edges + 1)]
    leaves = dict.fromkeys(names[edges // 2 + 1 :], 0.0)
    return _row(names, ends, {names[0]: 20.0, **leaves})


def _row(names: list[str], ends: list[tuple[str, str]], tanks: dict[str, float]) -> Row:
    draw = np.random.default_rng(2)
    bores, ks = draw.uniform(0.01, 0.05, len(ends)), 10 ** draw.uniform(0, 2, len(ends))
    manifold = Manifold(height=0.0)
    places = {
        name: Place(name, "tank", Tank(level=tanks[name], losses="none"), tanks[name])
        if name in tanks
        else Place(name, "manifold", manifold, 0.0)
        for name in names
    }
    runs, parts = {}, {}
    for number, ((start, stop), bore, k) in enumerate(zip(ends, bores, ks, strict=True)):
        run, part = f"r{number}", f"p{number}"
        parts[part] = Part(part, "loss", run, Loss(bore=float(bore), k=float(k)))
        runs[run] = Run(run, End(start, run), End(stop, run), (part,))
    return Row(AS_WRITTEN, AS_FOUND, parts, places, runs, {}, sea_water(288.15, 35.0))


def factorisation(row: Row) -> float:
    """The time of one sparse factorisation of this circuit's Schur matrix, s."""
    network = assemble([row])
    law, schur = Law.of(network), Schur.of(network)
    flow = np.full((1, len(network.edges)), 1e-4)
    conductance = law.conductance(flow, law.curves(flow)[1], law.covered(np.zeros((1, len(network.nodes)))))
    weights = np.concatenate([conductance.source, conductance.target, conductance.coupled], axis=1)
    values = schur.sign * weights[0, schur.weight]
    size = len(schur.free)
    matrix = coo_array((values, (schur.row, schur.column)), shape=(size, size)).tocsc()
    return best(lambda: splu(matrix))


def large(edges: int) -> None:
    for name, make, wanted in (("grid", grid, 15), ("tree", tree, 30)):
        spans = {}
        for count in (edges // 100, edges // 10, edges):
            row = make(count)
            solution = solve(assemble([row]))
            assert solution.settled.all()
            spans[len(row.runs)] = best(lambda row=row: solve(assemble([row])))
        factor = factorisation(row)
        runs = list(spans)
        say(
            f"{name} of {runs[-1]:,} runs, assembled and solved in {solution.iterations[0]} iterations",
            spans[runs[-1]],
            "s",
        )
        say(
            f"{name}: sparse factorisations' worth of time, wanted {wanted} or fewer", spans[runs[-1]] / factor, "times"
        )
        growth = np.log(spans[runs[-1]] / spans[runs[0]]) / np.log(runs[-1] / runs[0])
        say(f"{name}: time grows as n to the power of, wanted 1.3 or less", growth, "")
    say("largest memory, wanted under 3", resource.getrusage(resource.RUSAGE_SELF).ru_maxrss / 1e6, "GB")


def say(what: str, value: float, unit: str) -> None:
    sys.stdout.write(f"{what:90} {value:10.3g} {unit}\n")
    sys.stdout.flush()


if __name__ == "__main__":
    options = argparse.ArgumentParser(description=__doc__, formatter_class=argparse.RawDescriptionHelpFormatter)
    options.add_argument("--rows", type=int, default=100_000)
    options.add_argument("--edges", type=int, default=100_000)
    chosen = options.parse_args()
    sys.stdout.write(
        f"{platform.machine()}, Python {platform.python_version()}, numpy {np.__version__}, scipy {scipy.__version__}\n"
    )
    many(chosen.rows)
    large(chosen.edges)
