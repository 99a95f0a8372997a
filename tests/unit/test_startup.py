"""What a command does not need it does not load: `--help` answers at once."""

import subprocess
import sys
from pathlib import Path

import pytest

ROOT = Path(__file__).parents[2]
SLOW_SOLVERS = ("scipy.sparse", "scipy.linalg", "scipy.optimize")
SEEN = """
import sys
sys.argv = ["netsolve", *{arguments!r}]
from netsolve.cli import main
try:
    main()
except SystemExit as end:
    assert not end.code, end.code
print("LOADED", *sorted(sys.modules), file=sys.stderr)
"""


def loaded(*arguments: str) -> set[str]:
    """The modules loaded once a command has run."""
    run = subprocess.run(
        [sys.executable, "-c", SEEN.format(arguments=arguments)], capture_output=True, text=True, cwd=ROOT, check=True
    )
    return set(run.stderr.rpartition("LOADED ")[2].split())


@pytest.mark.parametrize("command", ["--help", "--version", "schema"])
def test_help_version_and_schema_load_neither_graphs_nor_units_nor_solvers(command: str):
    assert set() == loaded(command) & {"networkx", "pint", *SLOW_SOLVERS}


def test_check_loads_no_solver():
    modules = loaded("check", "circuits/pot_hauler.yaml")
    assert set() == modules & set(SLOW_SOLVERS)
    assert {"networkx", "pint"} <= modules


def test_help_is_lighter_still():
    assert set() == loaded("--help") & {"numpy", "pydantic", "yaml", "rich", "netsolve.read"}
