"""Ten thousand random circuits: do they settle, and in how many steps? `python -m tests.benchmarks.bench_random`.

--count N       how many of each kind, without and with tees, loops and air (10,000)
--first N       the first seed (1,000,000: none that the tests use)
"""

from __future__ import annotations

import argparse
import sys
from concurrent.futures import ProcessPoolExecutor

import numpy as np

from tests.properties.balances import mass_left, solved, unfit
from tests.properties.random_circuits import random_circuit


def tried(seed: int, tees: bool) -> tuple[int, bool, int, float, int]:
    """Seed, whether it settled, iterations, mass left over and edges unfit, both measured apart from the solver."""
    network, solution = solved(random_circuit(seed, tees=tees))
    return (
        seed,
        bool(solution.settled[0]),
        int(solution.iterations[0]),
        mass_left(network, solution),
        len(unfit(network, solution)),
    )


def report(name: str, results: list[tuple[int, bool, int, float, int]]) -> None:
    iterations = np.array([each[2] for each in results])
    unsettled = [each[0] for each in results if not each[1]]
    lines = (
        f"{name}: {len(results)} circuits, {len(unsettled)} unsettled {unsettled[:10] or ''}",
        f"  iterations: median {np.median(iterations):.0f}, 99th percentile {np.percentile(iterations, 99):.0f}, most {iterations.max()}",
        f"  largest mass imbalance over the largest flow: {max(each[3] for each in results if each[1]):.1e}",
        f"  edges out of balance by a separate measure: {sum(each[4] for each in results if each[1])}",
    )
    sys.stdout.write("\n".join(lines) + "\n")
    sys.stdout.flush()


if __name__ == "__main__":
    options = argparse.ArgumentParser(description=__doc__, formatter_class=argparse.RawDescriptionHelpFormatter)
    options.add_argument("--count", type=int, default=10_000)
    options.add_argument("--first", type=int, default=1_000_000)
    chosen = options.parse_args()
    seeds = range(chosen.first, chosen.first + chosen.count)
    with ProcessPoolExecutor(2) as pool:
        for name, tees in (
            ("without tees and vented loops", False),
            ("with tees, vented loops, openings in air", True),
        ):
            report(name, list(pool.map(tried, seeds, [tees] * len(seeds), chunksize=50)))
