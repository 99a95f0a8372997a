"""What a plugin may import is listed once, and every name of it is explained where it stands."""

from __future__ import annotations

import ast
import importlib
import inspect
from pathlib import Path

import pytest

import netsolve.plugin

MODULES = {
    alias.asname or alias.name: node.module or ""
    for node in ast.parse(inspect.getsource(netsolve.plugin)).body
    if isinstance(node, ast.ImportFrom)
    for alias in node.names
}


def explained(module: str) -> dict[str, str]:
    """The names that a module defines, with the texts that stand in or below them."""
    tree = ast.parse(Path(importlib.import_module(module).__file__ or "").read_text(encoding="utf-8"))
    found: dict[str, str] = {}
    for node, after in zip(tree.body, [*tree.body[1:], None], strict=True):
        if isinstance(node, ast.FunctionDef | ast.ClassDef):
            found[node.name] = ast.get_docstring(node) or ""
        elif isinstance(node, ast.Assign | ast.AnnAssign):
            target = node.targets[0] if isinstance(node, ast.Assign) else node.target
            is_text = isinstance(after, ast.Expr) and isinstance(after.value, ast.Constant)
            found[ast.unparse(target)] = str(after.value.value) if is_text else ""
    return found


def test_every_name_that_is_there_is_listed() -> None:
    assert sorted(netsolve.plugin.__all__) == sorted(MODULES)


@pytest.mark.parametrize("name", netsolve.plugin.__all__)
def test_every_name_is_explained(name: str) -> None:
    home = getattr(netsolve.plugin, name).__module__ if callable(getattr(netsolve.plugin, name)) else MODULES[name]
    texts = explained(home if home.startswith("netsolve.") else MODULES[name])
    assert len(texts[name]) > 20


PRESSURES = [name for name in netsolve.plugin.__all__ if name.endswith(("_drop", "_slope"))] + ["rated", "velocity"]


@pytest.mark.parametrize("name", PRESSURES)
def test_every_law_says_its_unit(name: str) -> None:
    first = (inspect.getdoc(getattr(netsolve.plugin, name)) or "").splitlines()[0]
    assert any(unit in first for unit in ("Pa", "m/s"))
