"""Conditions and changes as written: the settings of each, and what changes fit, remove, blank and open."""

from __future__ import annotations

from collections.abc import Iterable, Mapping
from dataclasses import dataclass, field

from netsolve.circuit import AS_FOUND, AS_WRITTEN
from netsolve.reading.complaints import Complaints
from netsolve.reading.naming import Names, article, did_you_mean, fold
from netsolve.reading.settings import SettingReader, Settings
from netsolve.reading.shapes import Keys, entries, texts
from netsolve.reading.written import Document, plain
from netsolve.source import Node, Text


@dataclass(frozen=True)
class Condition:
    """A named operating condition."""

    name: str
    settings: Settings


@dataclass(frozen=True)
class Change:
    """A named retrofit, with all that it builds on already in it."""

    name: str
    settings: Settings = field(default_factory=dict)
    fitted: Mapping[str, bool] = field(default_factory=dict)
    blanked: Mapping[str, bool] = field(default_factory=dict)
    at: Text | None = None


@dataclass
class Variants:
    """Reads the conditions and the changes of a document."""

    document: Document
    names: Names
    reader: SettingReader
    complaints: Complaints

    def conditions(self, node: Node | None) -> tuple[Condition, ...]:
        """The conditions; one of its own where none is written."""
        own = Names(self.complaints, dots=True)
        found = []
        for key, value in entries(node, "'conditions'", self.complaints):
            name = own.add("condition", key)
            settings = self.reader.read(value, f"condition '{key.value}'")
            if name is not None:
                found.append(Condition(name, settings))
        return tuple(found) or (Condition(AS_WRITTEN, {}),)

    def changes(self, node: Node | None) -> tuple[Change, ...]:
        """The changes, `as found` first."""
        own = Names(self.complaints, dots=True)
        steps: dict[str, Change] = {}
        also: dict[str, tuple[Text, ...]] = {}
        for key, value in entries(node, "'changes'", self.complaints):
            name = own.add("change", key)
            keys = Keys("change", ("fit", "remove", "blank", "open", "set", "also"))
            given = keys.sorted_out(entries(value, f"change '{key.value}'", self.complaints), self.complaints)
            if name is not None:
                steps[name] = self._step(name, key, given)
                also[name] = texts(given.get("also"), f"'also' of change '{name}'", self.complaints)
        bases = {name: self._bases(others, own) for name, others in also.items()}
        if not self._cycles(bases):
            steps = {name: _joined(steps, bases, name) for name in steps}
        return (Change(AS_FOUND), *steps.values())

    def _step(self, name: str, at: Text, given: Mapping[str, Node]) -> Change:
        fitted = self._switched(given, "part", fit=True, remove=False)
        blanked = self._switched(given, "run", blank=True, open=False)
        settings = self.reader.read(given.get("set"), f"'set' of change '{name}'")
        return Change(name, settings, fitted, blanked, at)

    def _switched(self, given: Mapping[str, Node], what: str, **verbs: bool) -> dict[str, bool]:
        """The parts or runs that two opposite verbs name, with the state each is put in."""
        states: dict[str, tuple[bool, Text]] = {}
        for verb, state in verbs.items():
            for text in texts(given.get(verb), f"'{verb}'", self.complaints):
                found = self._known(text, what, verb)
                if found is None:
                    continue
                before = states.setdefault(found, (state, text))
                if before[0] != state:
                    message = f"'{found}' stands under both {' and '.join(verbs)}"
                    self.complaints.error("contradiction", message, "keep one of them", text.span, before[1].span)
        return {name: state for name, (state, _) in states.items()}

    def _known(self, text: Text, what: str, verb: str) -> str | None:
        found = self.names.find(text.value)
        if found is None and self.names.is_refused(text.value):
            return None
        if found is None or found.what != what:
            help = did_you_mean(text.value, self.names.of(what), f"'{verb}' takes the name of a {what}")
            message = f"there is no {what} '{text.value}'"
            if found is not None:
                message = f"'{found.name}' is {article(found.what)}, and '{verb}' takes a {what}"
                help = f"'{verb}' takes the name of a {what}"
            self.complaints.error(f"unknown-{what}", message, help, text.span)
            return None
        self._note_idle(found.name, verb, text)
        return found.name

    def _note_idle(self, name: str, verb: str, text: Text) -> None:
        part, run = self.document.parts.get(name), self.document.runs.get(name)
        already = ""
        if part is not None:
            state = fold(str(plain(part.placed["fitted"]))) if "fitted" in part.placed else "yes"
            fitted = state not in ("no", "false")
            already = "fitted" if verb == "fit" and fitted else "not fitted" if verb == "remove" and not fitted else ""
        if run is not None:
            already = (
                "blanked" if verb == "blank" and run.blanked else "open" if verb == "open" and not run.blanked else ""
            )
        if already:
            message = f"'{name}' is {already} as written, so '{verb}' changes nothing"
            self.complaints.note("no-change", message, "leave it out", text.span)

    def _bases(self, others: Iterable[Text], own: Names) -> list[tuple[str, Text]]:
        bases = []
        for text in others:
            found = own.find(text.value)
            if found is not None:
                bases.append((found.name, text))
            elif fold(text.value) != AS_FOUND and not own.is_refused(text.value):
                help = did_you_mean(text.value, own.of("change"), "'also' takes the name of a change")
                self.complaints.error("unknown-change", f"there is no change '{text.value}'", help, text.span)
        return bases

    def _cycles(self, bases: Mapping[str, list[tuple[str, Text]]]) -> bool:
        """Tell of the changes that build on themselves; whether there are any."""
        done: set[str] = set()
        told = False
        for start in bases:
            path = [start]
            stack = [iter(bases.get(start, ()))] if start not in done else []
            while stack:
                name, text = next(stack[-1], ("", None))
                if text is None:
                    stack.pop()
                    done.add(path.pop())
                elif name in path:
                    told = True
                    round_trip = " → ".join([*path[path.index(name) :], name])
                    message = f"changes build on each other in a circle: {round_trip}"
                    self.complaints.error("cycle", message, "take one 'also' out", text.span)
                elif name not in done:
                    path.append(name)
                    stack.append(iter(bases.get(name, ())))
        return told


def _joined(steps: Mapping[str, Change], bases: Mapping[str, list[tuple[str, Text]]], name: str) -> Change:
    """A change with all that it builds on; what it says itself comes last."""
    order = _order(bases, name)
    whole = [steps[each] for each in order]
    return Change(
        name,
        {path: setting for each in whole for path, setting in each.settings.items()},
        {part: state for each in whole for part, state in each.fitted.items()},
        {run: state for each in whole for run, state in each.blanked.items()},
        steps[name].at,
    )


def _order(bases: Mapping[str, list[tuple[str, Text]]], name: str) -> list[str]:
    """The changes that one is made of, each after those it builds on, once; itself last."""
    order: list[str] = []
    seen: set[str] = {name}
    stack = [(name, iter(bases[name]))]
    while stack:
        here, rest = stack[-1]
        following = next((base for base, _ in rest if base not in seen), None)
        if following is None:
            order.append(here)
            stack.pop()
        else:
            seen.add(following)
            stack.append((following, iter(bases[following])))
    return order


def note_overruled(conditions: Iterable[Condition], changes: Iterable[Change], complaints: Complaints) -> None:
    """Note where a change sets what a condition sets too: the change wins."""
    changes = tuple(changes)
    for condition in conditions:
        for change in changes:
            for path in condition.settings.keys() & change.settings.keys():
                here, there = change.settings[path], condition.settings[path]
                both = f"condition '{condition.name}' and change '{change.name}' both set '{path}'"
                complaints.note("overruled", f"{both}: the change wins", "", here.key.span, there.key.span)
