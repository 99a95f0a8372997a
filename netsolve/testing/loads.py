"""A plugin as a circuit would get it, and what it promises as it loads."""

from __future__ import annotations

import ast
import inspect
import os
from typing import Any

from netsolve.loading import loading
from netsolve.registry import Registry

_OPEN = ("netsolve", "netsolve.plugin", "netsolve.testing")


def plugin(name: str, folder: str | os.PathLike[str] | None = None) -> type[Any]:
    """The component, joint or rule of a name, from what is installed or from a folder of plugins.

    AssertionError where it does not load, is slow to import, prints on import, or imports more of netsolve than
    `netsolve.plugin`, which alone is kept as it is.
    """
    registry = Registry.built_in()
    if folder is not None:
        registry = registry.with_folder(folder)
    if name not in registry.components and name not in registry.rule_entries:
        raise AssertionError(f"there is no component or rule '{name}': its name is its file's, or its entry point's")
    get = registry.component if name in registry.components else registry.rule
    found = loading(lambda: get(name))
    if found.kind is None or found.complaint:
        told = found.complaint
        raise AssertionError(told if found.error else f"'{name}' {told}")
    for module in _reaching(found.kind):
        raise AssertionError(f"'{name}' imports {module}: import from netsolve.plugin, which alone is kept as it is")
    return found.kind


def _reaching(kind: type[Any]) -> list[str]:
    """The modules of netsolve that its own module imports besides those that are open to it."""
    try:
        tree = ast.parse(inspect.getsource(inspect.getmodule(kind) or kind))
    except (OSError, TypeError):  # a type without Python
        return []
    named = [node.module or "" for node in ast.walk(tree) if isinstance(node, ast.ImportFrom) and not node.level]
    named += [alias.name for node in ast.walk(tree) if isinstance(node, ast.Import) for alias in node.names]
    return [name for name in named if name.split(".")[0] == "netsolve" and name not in _OPEN]
