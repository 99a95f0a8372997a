"""The table and the picture that stand beside each circuit; `python -m tests.circuits.kept` writes them anew."""

from __future__ import annotations

import sys
from collections.abc import Iterator
from pathlib import Path

from click.testing import CliRunner

from netsolve.cli import main

FOLDER = Path(__file__).parents[2] / "circuits"
CIRCUITS = sorted(FOLDER.glob("*.yaml"))
PICTURED = {"pot_hauler": "screen and check valve", "two_coolers": "bigger winch hose"}
"""Circuits of which a change is drawn too, before → after."""


def table(path: Path) -> str:
    """What `netsolve solve` prints for the circuit at 80 columns."""
    run = CliRunner().invoke(main, ["solve", str(path)], env={"COLUMNS": "80"})
    assert run.exit_code == 0, run.output
    return "\n".join(line.rstrip() for line in run.stdout.splitlines()) + "\n"


def pictures(path: Path, folder: Path) -> Iterator[Path]:
    """Draw the circuit into a folder: the worst row as found, and a change where one is meant."""
    yield _drawn(path, folder / f"{path.stem}.svg", [])
    if path.stem in PICTURED:
        yield _drawn(path, folder / f"{path.stem}_changed.svg", ["--change", PICTURED[path.stem]])


def _drawn(path: Path, picture: Path, options: list[str]) -> Path:
    run = CliRunner().invoke(main, ["draw", str(path), "-o", str(picture), *options])
    assert run.exit_code == 0, run.output
    return picture


if __name__ == "__main__":
    for each in CIRCUITS:
        each.with_suffix(".txt").write_text(table(each), encoding="utf-8")
        for made in pictures(each, FOLDER):
            sys.stdout.write(f"{made.name}\n")
