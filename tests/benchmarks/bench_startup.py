"""How long the commands take to start, against the imports that they cannot do without: `python -m tests.benchmarks.bench_startup`.

Both sides are measured in this run, the shortest of several; give it a quiet machine and an installed netsolve.
"""

from __future__ import annotations

import subprocess
import sys
import time
from pathlib import Path

FOLDER = Path(__file__).parents[2] / "circuits"
CHECKED = "import yaml, pydantic, click, pint"
SOLVED = "import scipy.sparse.linalg, networkx, pint, pydantic, yaml, rich"
TIMES = 9


def shortest(*command: str) -> float:
    """The wall time of a command, s."""
    spans = []
    for _ in range(TIMES):
        start = time.perf_counter()
        subprocess.run([sys.executable, *command], check=True, stdout=subprocess.DEVNULL, stderr=subprocess.DEVNULL)
        spans.append(time.perf_counter() - start)
    return min(spans)


def thirty_parts(folder: Path) -> Path:
    """The two coolers' circuit with fifteen parts more."""
    text = (FOLDER / "two_coolers.yaml").read_text(encoding="utf-8")
    more = "".join(f"      - more {n}: {{type: hose, bore: 19 mm, length: 0.1 m}}\n" for n in range(15))
    path = folder / "thirty.yaml"
    path.write_text(text.replace("      - isolating valve:", f"{more}      - isolating valve:"), encoding="utf-8")
    return path


if __name__ == "__main__":
    import tempfile

    with tempfile.TemporaryDirectory() as folder:
        file = str(thirty_parts(Path(folder)))
        rows = (
            ("check of 30 parts", ("-m", "netsolve", "check", file), CHECKED, 2.0),
            ("solve of 30 parts", ("-m", "netsolve", "solve", file), SOLVED, 1.5),
        )
        for name, command, imports, wanted in rows:
            ours, theirs = shortest(*command), shortest("-c", imports)
            sys.stdout.write(
                f"{name}: {ours:.3f} s, '{imports}' {theirs:.3f} s: {ours / theirs:.2f} times, wanted {wanted} or less\n"
            )
        sys.stdout.write(f"--help: {shortest('-m', 'netsolve', '--help'):.3f} s\n")
