"""Gives the tests here the published values in data/, one file to a source, one test to a value.

A test that asks for `compute` gets every value of the checks in its module's COMPUTED (check id to function);
one that asks only for `inputs` and `expected` gets those of the ids in its module's TABLES.
"""

from __future__ import annotations

from pathlib import Path
from typing import Any

import pytest
import yaml

DATA = Path(__file__).parent / "data"


def pytest_generate_tests(metafunc: pytest.Metafunc) -> None:
    if "expected" not in metafunc.fixturenames:
        return
    checks = {check["id"]: (path.stem, check) for path in sorted(DATA.glob("*.yaml")) for check in _read(path)}
    computed = "compute" in metafunc.fixturenames
    wanted = metafunc.module.COMPUTED if computed else metafunc.module.TABLES
    rows, names = [], []
    for name in wanted:
        source, check = checks[name]
        for key, expected in check["expected"].items():
            rows.append((wanted[name], check["inputs"], key, expected) if computed else (check["inputs"], expected))
            names.append(f"{source}-{name}-{key}")
    arguments = "compute, inputs, key, expected" if computed else "inputs, expected"
    metafunc.parametrize(arguments, rows, ids=names)


def _read(path: Path) -> list[dict[str, Any]]:
    checks: list[dict[str, Any]] = yaml.safe_load(path.read_text(encoding="utf-8"))["checks"]
    return checks
