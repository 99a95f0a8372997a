"""The published checks themselves: how many there are, that each says where it is from, and that each is used."""

from __future__ import annotations

import importlib
import inspect
from collections import Counter
from collections.abc import Iterator
from pathlib import Path
from types import ModuleType
from typing import Any

import pytest
import yaml

HERE = Path(__file__).parent
FILES = sorted((HERE / "data").glob("*.yaml"))
CERTAINTIES = ("read-from-a-secondary-source", "from memory", "derived")
"""How a certainty begins; what is left open may follow."""


def contents(path: Path) -> dict[str, Any]:
    loaded: dict[str, Any] = yaml.safe_load(path.read_text(encoding="utf-8"))
    return loaded


CHECKS = [check for path in FILES for check in contents(path)["checks"]]


def modules() -> Iterator[ModuleType]:
    for path in sorted(HERE.glob("test_*.py")):
        if path.stem != Path(__file__).stem:
            yield importlib.import_module(f"tests.published.{path.stem}")


def has_test_of_each_value(module: ModuleType) -> bool:
    wanted = {"compute", "inputs", "key", "expected"}
    return any(
        name.startswith("test_") and wanted <= set(inspect.signature(member).parameters)
        for name, member in inspect.getmembers(module, inspect.isfunction)
    )


def test_at_least_120_checks_are_used() -> None:
    assert len({check["id"] for check in CHECKS}) >= 120


def test_no_check_stands_twice() -> None:
    assert [name for name, times in Counter(check["id"] for check in CHECKS).items() if times > 1] == []


@pytest.mark.parametrize("path", FILES, ids=lambda path: path.stem)
def test_data_say_where_they_are_from(path: Path) -> None:
    assert len(contents(path)["source"].strip()) > 10


@pytest.mark.parametrize("check", CHECKS, ids=lambda check: check["id"])
def test_check_says_how_certain_it_is_and_how_close_it_must_come(check: dict[str, Any]) -> None:
    assert check["title"].strip()
    assert check["certainty"].startswith(CERTAINTIES)
    assert check["expected"]
    for value in check["expected"].values():
        assert value["rel_tol"] > 0 or value["abs_tol"] > 0
        if value["rel_tol"] > 0.05 or value.get("abs_tol", 0) > 0.05:
            assert value["why"].strip()


def test_every_check_is_computed_once_by_a_test() -> None:
    used = Counter[str]()
    for module in modules():
        assert has_test_of_each_value(module), module.__name__
        used.update(list(module.COMPUTED))
    assert used == Counter(check["id"] for check in CHECKS)
