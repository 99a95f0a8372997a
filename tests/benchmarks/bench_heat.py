"""What heat adds to the time of a batch of rows: `python -m tests.benchmarks.bench_heat`.

The same circuit and rows with all that has to do with heat and without it, in turn; the shortest of several runs of
each, in the time of the processor, so that whatever else the machine does is left out.
"""

from __future__ import annotations

import time
from collections.abc import Callable, Mapping
from dataclasses import replace
from pathlib import Path

import numpy as np

import netsolve
from netsolve.answer import answer
from netsolve.assemble import assemble
from netsolve.circuit import Circuit, Row
from netsolve.study.uncertain import solve_columns
from netsolve.warmed import solve_rows

FILE = Path(__file__).parents[2] / "circuits" / "winch_tank.yaml"
OIL = "winch oil"
ROWS, FULL, RUNS = 10_000, 300, 7


def without_heat(row: Row) -> Row:
    """The row as one in which nothing is said of heat."""
    parts = {name: replace(part, cooling=None, cools=None) for name, part in row.parts.items()}
    return replace(row, parts=parts, oils={})


def columns(count: int) -> Mapping[tuple[str, str], np.ndarray]:
    """Values of what is hydraulic, the same for both sides."""
    draw = np.random.default_rng(5)
    return {
        ("feed hose", "bore"): draw.uniform(0.014, 0.022, count),
        ("suction hose", "length"): draw.uniform(1.0, 4.0, count),
        ("engine cooler", "drop"): draw.uniform(1e4, 5e4, count),
    }


def told(name: str, plain: Callable[[], None], warm: Callable[[], None], wanted: str = "") -> None:
    """Time both in turn and print what the one adds to the other."""
    spans: dict[str, list[float]] = {"without": [], "with": []}
    for _ in range(RUNS):
        for side, work in (("without", plain), ("with", warm)):
            begin = time.process_time()
            work()
            spans[side].append(time.process_time() - begin)
    before, after = min(spans["without"]), min(spans["with"])
    print(f"{name:50} {before:.3f} s, with heat {after:.3f} s: {after / before - 1:+.0%}{wanted}")


def many(row: Row, values: Mapping[tuple[str, str], np.ndarray]) -> None:
    """Solve the rows of columns, and ask for what is to be known of them."""
    found = solve_columns(row, values)
    found.flow("tank coil")
    if row.oils:
        found.plateau(OIL)
        found.time_to_alarm(OIL)


def full(circuit: Circuit, rows: list[Row]) -> None:
    """Solve rows and put each of them together."""
    list(answer(circuit, *solve_rows(assemble(rows))).rows)


if __name__ == "__main__":
    circuit = netsolve.load(FILE)
    warm = circuit.row("towing", "as found", {})
    plain, values = without_heat(warm), columns(ROWS)
    told(
        f"{ROWS:,} rows of columns, flow (and plateau, alarm)", lambda: many(plain, values), lambda: many(warm, values)
    )
    uas = np.linspace(50.0, 200.0, FULL)
    hot = [circuit.row("towing", "as found", {"tank coil.ua": f"{ua:.3f} W/K"}) for ua in uas]
    cold = [without_heat(row) for row in hot]
    told(
        f"{FULL} rows to full results", lambda: full(circuit, cold), lambda: full(circuit, hot), ", wanted under +30 %"
    )
