"""How fast a large circuit file is read and checked: `python -m tests.benchmarks.bench_reading`.

--parts N        parts in the file (10,000)
--seconds S      status 1 where `netsolve check` takes longer (4)
"""

from __future__ import annotations

import argparse
import os
import platform
import subprocess
import sys
import tempfile
import time
from collections.abc import Callable
from pathlib import Path
from typing import TypeVar

from netsolve.graph import check
from netsolve.problems import CircuitError
from netsolve.read import read
from netsolve.registry import Registry
from netsolve.source import parse
from tests.large import large

Thing = TypeVar("Thing")

EVERY = 50
"""One line in so many is spoilt in the file with faults."""


def timed(what: str, work: Callable[[], Thing]) -> Thing:
    """What the work gives, after printing how long it took."""
    started = time.perf_counter()
    made = work()
    print(f"{what:42} {time.perf_counter() - started:6.2f} s")
    return made


def spoilt(text: str) -> tuple[str, list[tuple[int, int]]]:
    """The text with a bad bore in one of so many hoses, and the places (line, column) of those bores."""
    lines, places = text.splitlines(), []
    for index, line in enumerate(lines):
        if index % EVERY == 0 and "type: hose" in line:
            lines[index] = line.replace("bore: ", "bore: -", 1)
            places.append((index + 1, line.index("bore: ") + len("bore: ") + 1))
    return "\n".join(lines) + "\n", places


def told(text: str) -> list[tuple[int, int]]:
    """The places of the problems in a text."""
    try:
        read(parse(text), Registry.built_in())
    except CircuitError as error:
        return [(problem.at.line, problem.at.column) for problem in error.problems if problem.at]
    return []


def command(text: str) -> float:
    """How long the command takes from start to end, s, the best of three."""
    with tempfile.TemporaryDirectory() as folder:
        file = Path(folder, "large.yaml")
        file.write_text(text, encoding="utf-8")
        spans = []
        for _ in range(3):
            started = time.perf_counter()
            subprocess.run([sys.executable, "-m", "netsolve", "check", str(file)], check=True, capture_output=True)
            spans.append(time.perf_counter() - started)
    return min(spans)


def main() -> int:
    options = argparse.ArgumentParser(description=__doc__.splitlines()[0] if __doc__ else "")
    options.add_argument("--parts", type=int, default=10_000)
    options.add_argument("--seconds", type=float, default=4.0)
    chosen = options.parse_args()
    print(f"Python {platform.python_version()} on {os.cpu_count()} cores, {chosen.parts} parts in two conditions")
    text = large(chosen.parts)
    table = timed("text to plain data with places", lambda: parse(text))
    circuit = timed("plain data to a circuit", lambda: read(table, Registry.built_in()))
    assert timed("the shape of its graph", lambda: check(circuit)) == ()
    bad, expected = spoilt(text)
    found = timed(f"a file with {len(expected)} faults, each at its place", lambda: told(bad))
    assert found == expected, "a fault is not at its place"
    whole = command(text)
    print(f"{'netsolve check, the whole command':42} {whole:6.2f} s, at most {chosen.seconds:g}")
    return 0 if whole <= chosen.seconds else 1


if __name__ == "__main__":
    sys.exit(main())
