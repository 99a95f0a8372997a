"""How long a picture of a 30-part circuit takes once everything is imported; `python -m tests.benchmarks.bench_drawing`."""

from __future__ import annotations

import sys
import time

import netsolve
from netsolve.result import Result
from netsolve.views.picture import picture
from netsolve.views.report import report
from netsolve.views.scene import scene

BRANCHES, LONGEST = 5, 0.3
"""Branches of six parts; seconds within which the picture must be there."""


def circuit(branches: int) -> str:
    """A tank that feeds so many branches of six parts, each with a need."""
    lines = ["format: 1", "circuit: branches", "joints:", "  sea: {type: tank, level: 4 m}"]
    lines += ["  header: {type: manifold, height: 1 m}"]
    lines += [f"  out {n}: {{type: tank, level: 0 m}}" for n in range(branches)]
    lines += ["runs:", "  feed: {from: sea, to: header}"]
    for n in range(branches):
        hoses = ", ".join(f"{{hose {n}{m}: {{type: hose, bore: {16 + m} mm, length: 2 m}}}}" for m in range(5))
        cooler = f"{{cooler {n}: {{type: loss, k: 20, bore: 16 mm, min_flow: {10 + 4 * n} L/min}}}}"
        lines.append(f"  branch {n}: {{from: header, to: out {n}, parts: [{hoses}, {cooler}]}}")
    return "\n".join(lines) + "\n"


def fastest(result: Result, what: str) -> float:
    """Seconds of the fastest of five."""
    times = []
    for _ in range(5):
        start = time.perf_counter()
        report(result) if what == "report" else picture(scene(result), what)
        times.append(time.perf_counter() - start)
    return min(times)


if __name__ == "__main__":
    solved = netsolve.solve(netsolve.loads(circuit(BRANCHES)))
    list(solved)
    for kind in ("svg", "png", "report"):
        sys.stdout.write(f"{kind}: {1000 * fastest(solved, kind):.0f} ms for {len(solved.states[0].parts)} parts\n")
    sys.exit(0 if fastest(solved, "svg") < LONGEST else 1)
