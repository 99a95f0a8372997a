"""Which components and rules there are, by name; a module is imported when it is asked for, not before."""

from __future__ import annotations

import ast
import importlib
import importlib.util
import os
import re
import sys
import traceback
from collections.abc import Callable, Iterable, Mapping
from dataclasses import dataclass, field
from importlib import metadata, resources
from pathlib import Path
from types import ModuleType
from typing import Any

from netsolve.aliases import ALIASES
from netsolve.component import Component, Joint
from netsolve.declare import Quantity, declared
from netsolve.spellings import KINDS

CONTRACT = 1
"""The version of the component contract that this program keeps."""

OURS = "netsolve"
"""The origin of what comes with netsolve."""

RESERVED = (
    "type", "note", "fitted", "count", "min_flow", "max_flow",
    "copy", "json", "schema", "dict", "validate", "check", "ports", "sources",
)  # fmt: skip
"""No parameter may be called so: what every part or joint carries, and what every class has."""

Kind = type[Component] | type[Joint]


class PluginError(Exception):
    """A component or rule that cannot be used; the text is one sentence with the plugin's file and line."""


@dataclass(frozen=True)
class Entry:
    """A name, where it comes from, and how to import its module (or the class itself)."""

    name: str
    origin: str
    load: Callable[[], Any]
    file: str = ""


@dataclass(frozen=True)
class Registry:
    """The components and rules at hand. A value: `with_folder` gives another one."""

    components: Mapping[str, tuple[Entry, ...]]
    rule_entries: Mapping[str, tuple[Entry, ...]]
    _loaded: dict[str, Kind | PluginError] = field(default_factory=dict, compare=False, repr=False)

    @classmethod
    def built_in(cls) -> Registry:
        """What comes with netsolve, then what is installed under the entry points."""
        return cls(
            _by_name([*_package("netsolve.components"), *_installed("netsolve.components")]),
            _by_name([*_package("netsolve.rules"), *_installed("netsolve.rules")]),
        )

    def with_folder(self, path: str | os.PathLike[str]) -> Registry:
        """This registry and the plugin files of a folder; PluginError where a name is taken or there is no folder."""
        folder = Path(path)
        if not folder.is_dir():
            raise PluginError(f"there is no folder '{folder}' to take plugins from")
        components, rules = dict(self.components), dict(self.rule_entries)
        for file in sorted(folder.glob("*.py")):
            if file.stem.startswith("_"):
                continue
            known = rules if _is_rule(file) else components
            if file.stem in known:
                raise _twice(file.stem, [*known[file.stem], _file_entry(file)])
            known[file.stem] = (_file_entry(file),)
        return Registry(components, rules)

    def names(self) -> tuple[str, ...]:
        """Every component's name, sorted; nothing is imported."""
        return tuple(sorted(self.components))

    def origin(self, name: str) -> str:
        """Where a component comes from, in words; KeyError where there is none of that name."""
        return self.components[name][0].origin

    def component(self, name: str) -> Kind:
        """The class of a type. Raises KeyError for an unknown name, PluginError where it cannot be used."""
        if name not in self._loaded:
            self._loaded[name] = self._load(name)
        found = self._loaded[name]
        if isinstance(found, PluginError):
            raise found
        return found

    def _load(self, name: str) -> Kind | PluginError:
        entries = self.components[name]
        if len(entries) > 1:
            return _twice(name, entries)
        try:
            return _checked(name, _found(entries[0], (Component, Joint)), entries[0].origin)
        except PluginError as error:
            return error

    def rules(self) -> tuple[type[Any], ...]:
        """The classes of every rule, by name; PluginError where one cannot be used."""
        return tuple(self.rule(name) for name in sorted(self.rule_entries))

    def rule(self, name: str) -> type[Any]:
        """The class of a rule. Raises KeyError for an unknown name, PluginError where it cannot be used."""
        from netsolve.rule import Rule

        entries = self.rule_entries[name]
        if len(entries) > 1:
            raise _twice(name, entries)
        return _found(entries[0], (Rule,))  # type: ignore[no-any-return]

    def suggest(self, name: str) -> str:
        """What to write instead of a type that there is not."""
        from difflib import get_close_matches  # only a mistake needs it

        folded = re.sub(r"[\s-]+", "_", name.strip().casefold())
        if folded in self.components:
            return f"did you mean '{folded}'?"
        meant = [type for type in ALIASES.get(folded, ()) if type in self.components]
        if meant:
            return f"write type: {' or '.join(meant)}"
        near = get_close_matches(folded, [*self.components, *ALIASES], 1)
        if near and near[0] in self.components:
            return f"did you mean '{near[0]}'?"
        if near:
            return self.suggest(near[0])
        return "'netsolve components' lists the types"


def _by_name(entries: Iterable[Entry]) -> dict[str, tuple[Entry, ...]]:
    found: dict[str, tuple[Entry, ...]] = {}
    for entry in entries:
        found[entry.name] = (*found.get(entry.name, ()), entry)
    return found


def _package(package: str) -> list[Entry]:
    """The modules of one of our own folders, without importing any of them."""
    root, folder = package.split(".")
    files = (Path(item.name) for item in resources.files(root).joinpath(folder).iterdir())
    stems = sorted(file.stem for file in files if file.suffix == ".py" and not file.stem.startswith("_"))
    return [Entry(stem, OURS, _importer(f"{package}.{stem}")) for stem in stems]


def _importer(module: str) -> Callable[[], ModuleType]:
    return lambda: importlib.import_module(module)


def _installed(group: str) -> list[Entry]:
    points = sorted(metadata.entry_points(group=group), key=lambda point: (point.name, point.value))
    return [Entry(point.name, f"installed package {_distribution(point)}", point.load) for point in points]


def _distribution(point: metadata.EntryPoint) -> str:
    return point.dist.name if point.dist else point.value


def _file_entry(file: Path) -> Entry:
    return Entry(file.stem, str(file), lambda: _run(file), os.path.abspath(file))


def _run(file: Path) -> ModuleType:
    """The module of a plugin file, known to `sys.modules` before it runs and forgotten if it fails."""
    name = f"netsolve_plugins.{abs(hash(str(file.resolve()))):x}.{file.stem}"  # a rule takes its code from the end
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


def _twice(name: str, entries: Iterable[Entry]) -> PluginError:
    origins = " and ".join(entry.origin for entry in entries)
    return PluginError(f"'{name}' is there twice: from {origins}")


def _found(entry: Entry, bases: tuple[type[Any], ...]) -> Any:
    """The class that a module is there for: named as its file, or the only one that it defines."""
    try:
        loaded = entry.load()
    except (Exception, SystemExit) as error:
        raise PluginError(blame(f"'{entry.name}' cannot be loaded", error, entry.file)) from error
    if isinstance(loaded, type):
        found = [loaded] if issubclass(loaded, bases) else []
    else:
        found = _classes(loaded, entry.name, bases)
    if len(found) == 1:
        return found[0]
    wanted = f"one {' or '.join(base.__name__ for base in bases)} class is wanted"
    raise PluginError(f"'{entry.name}' from {entry.origin}: {wanted}, it has {len(found)}")


def _classes(module: Any, name: str, bases: tuple[type[Any], ...]) -> list[type[Any]]:
    own = [
        each
        for each in vars(module).values()
        if isinstance(each, type) and issubclass(each, bases) and each.__module__ == module.__name__
    ]
    named = [each for each in own if each.__name__ == "".join(word.title() for word in name.split("_"))]
    return named or own


def _checked(name: str, kind: Kind, origin: str) -> Kind:
    if kind.contract != CONTRACT:
        told = f"'{name}' from {origin} keeps contract {kind.contract}, this netsolve knows {CONTRACT}"
        raise PluginError(told)
    if origin != OURS and (fault := _fault(kind)):
        raise PluginError(f"'{name}' from {origin}: {fault}")
    return kind


def _fault(kind: Kind) -> str:
    """What is wrong with the parameters of a class from elsewhere; nothing for a sound one."""
    for key, spec in declared(kind).items():
        if key in RESERVED:
            return f"its parameter '{key}' has a reserved name: give it another"
        if isinstance(spec, Quantity) and spec.kind not in KINDS:
            return f"its '{key}' is of the kind '{spec.kind}', which there is not"
    return ""


def blame(what: str, error: BaseException, where: str = "") -> str:
    """One sentence: what failed, the file and line at which it did, the exception.

    `where` is the plugin's module or file: the line is one of it, if the error went through it.
    """
    file = getattr(sys.modules.get(where), "__file__", None) or where
    told = (str(error).splitlines() or [""])[0]
    if isinstance(error, SyntaxError):
        line = f", line {error.lineno}" if error.lineno else ""
        return f"{what}: {error.filename or file}{line}: {type(error).__name__}: {error.msg}"
    frames = traceback.extract_tb(error.__traceback__)
    at = [frame for frame in frames if frame.filename == file] or [
        frame for frame in frames if not _is_ours(frame.filename)
    ]
    place = f"{at[-1].filename}, line {at[-1].lineno}: " if at else ""
    return f"{what}: {place}{type(error).__name__}: {told}".rstrip(": ")


def _is_ours(file: str) -> bool:
    """Whether a frame belongs to the machinery around a plugin rather than to the plugin."""
    importing = Path(importlib.__file__ or "").parent
    return file.startswith("<frozen") or Path(file).parent in (Path(__file__).parent, importing)
