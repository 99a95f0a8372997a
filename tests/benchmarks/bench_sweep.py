"""How long a sweep of 10,000 rows takes beside a solve of one: `python -m tests.benchmarks.bench_sweep`.

It counts the time of the processor, so that whatever else the machine does is left out.
"""

from __future__ import annotations

import resource
import subprocess
import sys
from collections.abc import Sequence
from pathlib import Path

FILE = Path(__file__).parents[2] / "circuits" / "pot_hauler.yaml"
ONE = ("--condition", "cruise", "--change", "as found")
GRID = (
    *("--vary", "main.speed = 700 .. 2600 rpm, 100 points"),
    *("--vary", "feed hose.bore = 10 .. 25 mm, 100 points"),
)


def span(*arguments: str) -> float:
    """The shortest of three runs of the command, s of the processor."""
    return min(_once(arguments) for _ in range(3))


def _once(arguments: Sequence[str]) -> float:
    before = resource.getrusage(resource.RUSAGE_CHILDREN)
    subprocess.run([sys.executable, "-m", "netsolve", *arguments], check=True, capture_output=True)
    after = resource.getrusage(resource.RUSAGE_CHILDREN)
    return after.ru_utime + after.ru_stime - before.ru_utime - before.ru_stime


if __name__ == "__main__":
    alone = span("solve", str(FILE), *ONE)
    print(f"{'solve of one row':65} {alone:.2f} s")
    for name, more in (("a table", ()), ("a CSV file", ("--csv", "/dev/null"))):
        took = span("sweep", str(FILE), *GRID, *ONE, *more)
        said = f"sweep of 10,000 rows to {name}, more than that, wanted under 2"
        print(f"{said:65} {took - alone:.2f} s")
