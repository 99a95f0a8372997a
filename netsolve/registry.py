"""Which components and rules there are, by name; a module is imported when it is asked for, not before."""

from __future__ import annotations

import os
import re
from collections.abc import Iterable, Mapping
from dataclasses import dataclass, field
from pathlib import Path
from typing import Any

from netsolve.component import Component, Joint
from netsolve.discovery.aliases import ALIASES
from netsolve.discovery.blame import blame
from netsolve.discovery.entries import OURS, Entry, by_name, in_folder, installed, own

Kind = type[Component] | type[Joint]


class PluginError(Exception):
    """A component or rule that cannot be used; the text is one sentence with the plugin's file and line."""


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
            by_name([*own("netsolve.components"), *installed("netsolve.components")]),
            by_name([*own("netsolve.rules"), *installed("netsolve.rules")]),
        )

    def with_folder(self, path: str | os.PathLike[str]) -> Registry:
        """This registry and the plugin files of a folder; PluginError where a name is taken or there is no folder."""
        folder = Path(path)
        if not folder.is_dir():
            raise PluginError(f"there is no folder '{folder}' to take plugins from")
        components, rules = dict(self.components), dict(self.rule_entries)
        for entry, is_rule in in_folder(folder):
            known = rules if is_rule else components
            if entry.name in known:
                raise _twice(entry.name, [*known[entry.name], entry])
            known[entry.name] = (entry,)
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
            if entries[0].table is not None:
                return self._of_table(entries[0])
            kind: Kind = _checked(entries[0], _found(entries[0], (Component, Joint)))
            return kind
        except PluginError as error:
            return error

    def _of_table(self, entry: Entry) -> Kind:
        """The class that a file of points describes."""
        from netsolve.discovery.table_type import type_of
        from netsolve.text.csv_table import CsvError

        assert entry.table is not None
        try:
            return type_of(entry.table(), entry.name, self.component)
        except CsvError as error:
            line = f", line {error.at.line}" if error.at else ""
            raise PluginError(f"'{entry.name}' from {entry.origin}{line}: {error.message}; {error.help}") from error
        except KeyError as error:
            told = f"its type {error} is none: 'netsolve components' lists them"
            raise PluginError(f"'{entry.name}' from {entry.origin}: {told}") from error
        except (ValueError, OSError, ImportError) as error:
            raise PluginError(f"'{entry.name}' from {entry.origin}: {error}") from error
        except PluginError:
            raise
        except Exception as error:  # the component that the points are of may be a plugin too
            raise PluginError(blame(f"'{entry.name}' cannot be made", error, entry.file)) from error

    def rules(self) -> tuple[type[Any], ...]:
        """The classes of every rule, by name; PluginError where one cannot be used."""
        return tuple(self.rule(name) for name in sorted(self.rule_entries))

    def rule(self, name: str) -> type[Any]:
        """The class of a rule. Raises KeyError for an unknown name, PluginError where it cannot be used."""
        from netsolve.rule import Rule

        entries = self.rule_entries[name]
        if len(entries) > 1:
            raise _twice(name, entries)
        kind: type[Any] = _checked(entries[0], _found(entries[0], (Rule,)))
        if kind.code != name:
            told = f"its findings would bear the code '{kind.code}': call its file {name}.py"
            raise PluginError(f"'{name}' from {entries[0].origin}: {told}")
        return kind

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
        return "'netsolve components' lists the types; one of your own needs --plugins FOLDER"


def _twice(name: str, entries: Iterable[Entry]) -> PluginError:
    origins = " and ".join(entry.origin for entry in entries)
    return PluginError(f"'{name}' is there twice: from {origins}")


def _found(entry: Entry, bases: tuple[type[Any], ...]) -> Any:
    """The class that a module is there for, or the class itself where an entry point names it."""
    try:
        loaded = entry.load()
    except (Exception, SystemExit) as error:
        place = f"{entry.origin}, {entry.declared}" if entry.declared else ""
        raise PluginError(blame(f"'{entry.name}' cannot be loaded", error, entry.file, place)) from error
    if not isinstance(loaded, type):
        return _only(entry, loaded, bases)
    if not issubclass(loaded, bases):
        raise PluginError(f"'{entry.name}' from {entry.origin}: {loaded.__name__} is no {_names(bases)}")
    return loaded


def _names(bases: tuple[type[Any], ...]) -> str:
    return " or ".join(base.__name__ for base in bases)


def _only(entry: Entry, module: Any, bases: tuple[type[Any], ...]) -> Any:
    """The one class of a module, named as it; names that begin with _ are its own affair."""
    from netsolve.rule import Rule

    found = [each for each in _classes(module, (Component, Joint, Rule)) if not each.__name__.startswith("_")]
    where = f"'{entry.name}' from {entry.origin}"
    if len(found) != 1:
        told = f"it has {len(found)}{': ' if found else ''}{', '.join(each.__name__ for each in found)}"
        help = "; give each a file of its own, or begin a helper's name with _" if found else ""
        raise PluginError(f"{where}: one {_names(bases)} class is wanted, {told}{help}")
    kind, wanted = found[0], "".join(word.title() for word in entry.name.split("_"))
    if not issubclass(kind, bases):
        raise PluginError(f"{where}: a {_names(bases)} class is wanted, {kind.__name__} is none")
    if kind.__name__.casefold() != wanted.casefold():
        told = f"its class is called {kind.__name__}: call it {wanted}, as its name says"
        raise PluginError(f"'{entry.name}' from {_place(entry, kind)}: {told}")
    return kind


def _classes(module: Any, bases: tuple[type[Any], ...]) -> list[type[Any]]:
    return [
        each
        for each in vars(module).values()
        if isinstance(each, type) and issubclass(each, bases) and each.__module__ == module.__name__
    ]


def _checked(entry: Entry, kind: Any) -> Any:
    """The class, if what it says of itself is sound; our own are held to that by the tests."""
    if entry.origin == OURS:
        return kind
    from netsolve.discovery.promises import broken

    for fault in broken(kind):
        raise PluginError(f"'{entry.name}' from {_place(entry, kind)}: {fault}")
    return kind


def _place(entry: Entry, kind: type[Any]) -> str:
    """Where a class stands: its origin, with the line of it, and the file where that is not the origin."""
    import inspect

    try:
        line = inspect.getsourcelines(kind)[1]
        file = inspect.getsourcefile(kind)
    except (OSError, TypeError):
        return entry.origin
    return f"{entry.origin}, line {line}" if entry.file else f"{entry.origin}, {file}, line {line}"
