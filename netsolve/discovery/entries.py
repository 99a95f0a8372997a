"""Where components and rules are found: our folders, installed packages, plugin folders. Nothing is imported."""

from __future__ import annotations

import ast
import importlib
import importlib.util
import os
import sys
from collections.abc import Callable, Iterable, Iterator
from dataclasses import dataclass
from importlib import metadata, resources
from pathlib import Path
from types import ModuleType
from typing import Any

from netsolve import __version__

OURS = "netsolve"
"""The origin of what comes with netsolve."""

_NO_PLUGINS = ("conftest", "setup", "noxfile")
"""Files that other programs look for in a folder."""


@dataclass(frozen=True)
class Entry:
    """A name, where it comes from, and how to import its module (or the class itself).

    `file` is the plugin's file, `table` the CSV file of a type without Python, `declared` how a package points at it.
    """

    name: str
    origin: str
    load: Callable[[], Any]
    file: str = ""
    version: str = ""
    table: Callable[[], Path] | None = None
    declared: str = ""


def by_name(entries: Iterable[Entry]) -> dict[str, tuple[Entry, ...]]:
    """The entries of each name, in the order in which they were found."""
    found: dict[str, tuple[Entry, ...]] = {}
    for entry in entries:
        found[entry.name] = (*found.get(entry.name, ()), entry)
    return found


def own(package: str) -> list[Entry]:
    """The modules of one of our own folders."""
    root, folder = package.split(".")
    files = (Path(item.name) for item in resources.files(root).joinpath(folder).iterdir())
    stems = sorted(file.stem for file in files if file.suffix == ".py" and not file.stem.startswith("_"))
    return [Entry(stem, OURS, _importer(f"{package}.{stem}"), version=__version__) for stem in stems]


def _importer(module: str) -> Callable[[], ModuleType]:
    return lambda: importlib.import_module(module)


def installed(group: str) -> list[Entry]:
    """What installed packages declare as entry points of a group; `package:name.csv` is a file of that package."""
    points = sorted(metadata.entry_points(group=group), key=lambda point: (point.name, point.value))
    return [_installed(point) for point in points]


def _installed(point: metadata.EntryPoint) -> Entry:
    name, version = (point.dist.name, point.dist.version) if point.dist else (point.value, "")
    table = (lambda: _file_of(point)) if (point.attr or "").endswith(".csv") else None
    declared = f"entry point '{point.name} = {point.value}'"
    return Entry(point.name, f"installed package {name}", point.load, version=version, table=table, declared=declared)


def _file_of(point: metadata.EntryPoint) -> Path:
    """The file of a package that an entry point names; the package is found, not imported, where it is a top one."""
    spec = importlib.util.find_spec(point.module)
    folders = list(spec.submodule_search_locations or ()) if spec else []
    if not folders:
        raise ModuleNotFoundError(f"No module named '{point.module}' with files in it")
    return Path(folders[0]) / point.attr


def in_folder(folder: Path) -> Iterator[tuple[Entry, bool]]:
    """The plugin files of a folder, and whether each is a rule."""
    for file in sorted(folder.iterdir(), key=lambda file: file.name):
        stem = file.stem
        if stem.startswith(("_", ".", "test_")) or stem in _NO_PLUGINS:
            continue
        if file.suffix == ".py":
            yield Entry(stem, str(file), _runner(file), os.path.abspath(file)), _is_rule(file)
        elif file.suffix.casefold() == ".csv":
            yield Entry(stem, str(file), _runner(file), table=_constant(file)), False


def _constant(file: Path) -> Callable[[], Path]:
    return lambda: file


def _runner(file: Path) -> Callable[[], ModuleType]:
    return lambda: _run(file)


def module_name(file: Path) -> str:
    """Under what name a plugin file is known to Python; a rule takes its code from the end of it."""
    return f"netsolve_plugins.{abs(hash(str(file.resolve()))):x}.{file.stem}"


def _run(file: Path) -> ModuleType:
    """The module of a plugin file, known to `sys.modules` before it runs and forgotten if it fails."""
    name = module_name(file)
    spec = importlib.util.spec_from_file_location(name, file)
    assert spec is not None  # the path ends in .py
    assert spec.loader is not None
    module = importlib.util.module_from_spec(spec)
    sys.modules[name] = module
    try:
        spec.loader.exec_module(module)
    except BaseException:
        del sys.modules[name]
        raise
    return module


def _is_rule(file: Path) -> bool:
    """Whether a class of the file derives from Rule, seen without running the file."""
    try:
        tree = ast.parse(file.read_bytes())
    except (SyntaxError, ValueError, OSError):
        return False
    bases = (base for node in ast.walk(tree) if isinstance(node, ast.ClassDef) for base in node.bases)
    return any(ast.unparse(base).split(".")[-1] == "Rule" for base in bases)
