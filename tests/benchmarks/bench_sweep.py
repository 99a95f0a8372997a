"""How long a sweep of 10,000 rows takes beside a solve of one: `python -m tests.benchmarks.bench_sweep`."""

from __future__ import annotations

import subprocess
import sys
import time
from pathlib import Path

FILE = Path(__file__).parents[2] / "circuits" / "pot_hauler.yaml"
ONE = ("--condition", "cruise", "--change", "as found")
GRID = (
    *("--vary", "main.speed = 700 .. 2600 rpm, 100 points"),
    *("--vary", "feed hose.bore = 10 .. 25 mm, 100 points"),
)


def span(*arguments: str) -> float:
    """The shortest of three runs of the command, s."""
    spans = []
    for _ in range(3):
        start = time.perf_counter()
        subprocess.run([sys.executable, "-m", "netsolve", *arguments], check=True, capture_output=True)
        spans.append(time.perf_counter() - start)
    return min(spans)


if __name__ == "__main__":
    alone = span("solve", str(FILE), *ONE)
    print(f"solve of one row                                              {alone:.2f} s")
    for name, more in (("a table", ()), ("a CSV file", ("--csv", "/dev/null"))):
        took = span("sweep", str(FILE), *GRID, *ONE, *more)
        print(f"sweep of 10,000 rows to {name:10}, more than that, wanted under 2 {took - alone:.2f} s")
