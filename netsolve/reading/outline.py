"""A document to what is written of each part, joint, engine and run: shapes, names, types and connections."""

from __future__ import annotations

from collections.abc import Iterable, Mapping
from dataclasses import dataclass, field

from netsolve.circuit import Engine, Run
from netsolve.component import Component, Joint
from netsolve.contract.cooling import Cooling, Oil
from netsolve.contract.declare import Declared, flag, word
from netsolve.contract.waters import KINDS, SeaWater
from netsolve.reading.building import Builder, Subject
from netsolve.reading.complaints import Complaints
from netsolve.reading.ends import Ends
from netsolve.reading.items import Item, part_item
from netsolve.reading.naming import Names, article, did_you_mean, tidy
from netsolve.reading.shapes import Keys, entries, gathered, text
from netsolve.reading.written import Document, Written, beside, driven, keys
from netsolve.registry import Kind, PluginError, Registry
from netsolve.source import Items, Node, Table, Text

MAX_PARTS = 200_000

RUN_KEYS = ("from", "to", "parts", "blanked", "direction", "note")


class RunWords(Declared):
    """What a run says of itself besides its ends and parts."""

    blanked: bool = flag("whether it is closed off", default=False)
    direction: str = word("which way water may flow", "forward", "either", default="forward")


@dataclass
class Outline:
    """Reads the sections of a document; what is wrong goes to the complaints."""

    registry: Registry
    complaints: Complaints
    builder: Builder
    names: Names = field(init=False)

    def __post_init__(self) -> None:
        self.names = Names(self.complaints)

    def document(self, sections: Mapping[str, Node], start: Text, gallon: str | None) -> Document:
        """Everything written; `start` is where a circuit without water is told of."""
        engines = self._engines(sections.get("engines"))
        oils = self._oils(sections.get("oils"))
        joints = self._joints(sections.get("joints"), engines)
        parts: dict[str, Written] = {}
        runs: dict[str, Run] = {}
        ends = Ends(self.names, joints, self.complaints)
        written = entries(sections.get("runs"), "'runs'", self.complaints)
        for key, node in gathered(written, ("from", "to"), self.complaints):
            run = self._run(key, node, ends=ends, parts=parts, engines=engines)
            if run is not None:
                runs[run.name] = run
        ends.check_ports(runs)
        return Document(self._water(sections.get("water"), start), engines, joints, parts, runs, gallon, oils)

    def _engines(self, node: Node | None) -> dict[str, Written]:
        written = entries(node, "'engines'", self.complaints)
        return self._records("engine", Engine, gathered(written, ("speed", "rated_speed"), self.complaints))

    def _oils(self, node: Node | None) -> dict[str, Written]:
        written = entries(node, "'oils'", self.complaints)
        return self._records("oil", Oil, gathered(written, ("volume", "heat", "start", "alarm"), self.complaints))

    def _records(self, what: str, model: type[Declared], pairs: Iterable[tuple[Text, Node]]) -> dict[str, Written]:
        """What a section says of things of one sort, by name."""
        found: dict[str, Written] = {}
        for key, value in pairs:
            name = self.names.add(what, key)
            allowed = Keys(what, {**keys(model), "note": None})
            given = allowed.sorted_out(entries(value, f"{what} '{key.value}'", self.complaints), self.complaints)
            note = text(given.pop("note", None), "a note", self.complaints)
            if name is not None:
                found[name] = Written(name, what, what, model, given, key, note=note)
        return found

    def _water(self, node: Node | None, start: Text) -> Written:
        at = node if isinstance(node, Text) else start
        pairs = entries(node, "'water'", self.complaints)
        kind = next((value for key, value in pairs if key.value == "kind"), None)
        model: type[Declared] | None = SeaWater
        type = text(kind, "the kind of water", self.complaints).strip().casefold() or "sea"
        if isinstance(node, Table):
            at = pairs[0][0] if pairs else start
            model = self._liquid(type, kind, at)
        if model is None:
            return Written("water", "water", type, None, {}, at)
        allowed = Keys(f"{type} water", {**keys(model), "kind": None})
        given = allowed.sorted_out(pairs, self.complaints)
        given.pop("kind", None)
        return Written("water", "water", f"{type} water", model, given, at)

    def _liquid(self, type: str, kind: Node | None, at: Text) -> type[Declared] | None:
        if kind is None:
            self.complaints.error("missing-parameter", "'water' has no 'kind'", "add kind: sea", at.span)
        elif type not in KINDS:
            help = did_you_mean(type, KINDS, f"write kind: {', '.join(KINDS)}")
            self.complaints.error("unknown-word", f"'{type}' is not a kind of water", help, kind.span)
        return KINDS.get(type) if kind is not None else None

    def _joints(self, node: Node | None, engines: Mapping[str, Written]) -> dict[str, Written]:
        joints: dict[str, Written] = {}
        written = entries(node, "'joints'", self.complaints)
        for key, value in gathered(written, ("type",), self.complaints):
            name = self.names.add("joint", key)
            pairs = entries(value, f"joint '{key.value}'", self.complaints)
            found = self._written("joint", Item(key, pairs), engines, run="")
            if name is not None and found is not None:
                joints[name] = found
        return joints

    def _run(
        self, key: Text, node: Node, *, ends: Ends, parts: dict[str, Written], engines: Mapping[str, Written]
    ) -> Run | None:
        name = self.names.add("run", key)
        shown = tidy(key.value)
        allowed = Keys("run", RUN_KEYS)
        given = allowed.sorted_out(entries(node, f"run '{shown}'", self.complaints), self.complaints)
        mine = self._parts(given.pop("parts", None), shown, engines)
        parts.update(mine)
        note = text(given.pop("note", None), "a note", self.complaints)
        source = ends.end(given.pop("from", None), "from", key)
        target = ends.end(given.pop("to", None), "to", key)
        words = self.builder.build(RunWords, given, subject=Subject(f"run {shown}", key.span))
        if name is None or source is None or target is None or words is None:
            return None
        either = words.direction == "either"
        return Run(name, source, target, tuple(mine), words.blanked, either=either, note=note, at=key.span)

    def _parts(self, node: Node | None, run: str, engines: Mapping[str, Written]) -> dict[str, Written]:
        parts: dict[str, Written] = {}
        values: tuple[Node, ...] = node.values if isinstance(node, Items) else ()
        if isinstance(node, Table) or (isinstance(node, Text) and node.value.strip()):
            message = f"the parts of run '{run}' are a list"
            self.complaints.error("not-a-list", message, "begin each part with '- '", node.span)
        if len(values) > MAX_PARTS:
            self.complaints.error("too-large", f"more than {MAX_PARTS} parts", "split the circuit", values[0].span)
            return {}
        for value in values:
            item = part_item(value, self.complaints)
            if item is None:
                continue
            name = self.names.add("part", item.name)
            found = self._written("part", item, engines, run=run)
            if name is not None and found is not None:
                parts[name] = found
        return parts

    def _written(self, what: str, item: Item, engines: Mapping[str, Written], *, run: str) -> Written | None:
        name = tidy(item.name.value)
        given = {key.value: value for key, value in item.pairs}
        if "type" not in given:
            help = "write type: hose, say" if what == "part" else "write type: tee, say"
            self.complaints.error("missing-parameter", f"'{name}' has no 'type'", help, item.name.span)
            return Written(name, what, "", None, {}, item.name, run=run)
        type = text(given["type"], f"the type of '{name}'", self.complaints).strip()
        model = self._model(what, type, given["type"])
        if model is None:
            return Written(name, what, type, None, {}, item.name, run=run)
        common = beside(model)
        named = {"engine": None} if driven(model) else {}
        named |= {"cools": None} if Cooling in common.values() else {}
        allowed = Keys(type, {**keys(model), **common, "type": None, "note": None, **named})
        sorted_out = allowed.sorted_out(item.pairs, self.complaints)
        note = text(sorted_out.pop("note", None), "a note", self.complaints)
        engine = self._engine(sorted_out.pop("engine", None), name, engines)
        cools = self._oil(sorted_out.pop("cools", None), name)
        del sorted_out["type"]
        placed = {key: sorted_out.pop(key) for key in common if key in sorted_out}
        return Written(name, what, type, model, sorted_out, item.name, placed, engine, cools, run=run, note=note)

    def _oil(self, node: Node | None, name: str) -> str | None:
        """The oil that a cooler cools; an empty name where there is none such, which is told."""
        if node is None:
            return None
        wanted = text(node, f"the oil that '{name}' cools", self.complaints)
        found = self.names.find(wanted)
        if found is not None and found.what == "oil":
            return found.name
        if not self.names.is_refused(wanted):
            help = did_you_mean(wanted, self.names.of("oil"), "write it under oils")
            self.complaints.error("unknown-name", f"there is no oil '{wanted}'", help, node.span)
        return ""

    def _engine(self, node: Node | None, name: str, engines: Mapping[str, Written]) -> str | None:
        """The engine it belongs to: the one named, or the only one. An empty name where the one named is told of."""
        if node is None:
            return next(iter(engines)) if len(engines) == 1 else None
        wanted = text(node, f"the engine of '{name}'", self.complaints)
        found = self.names.find(wanted)
        if found is not None and found.what == "engine":
            return found.name
        if not self.names.is_refused(wanted):
            help = did_you_mean(wanted, engines, "write it under engines")
            self.complaints.error("unknown-name", f"there is no engine '{wanted}'", help, node.span)
        return ""

    def _model(self, what: str, type: str, at: Node) -> Kind | None:
        """The class of a type that may stand here."""
        if type not in self.registry.components:
            message = f"there is no type '{type}'" if type else "the type is empty"
            self.complaints.error("unknown-type", message, self.registry.suggest(type), at.span)
            return None
        try:
            model = self.registry.component(type)
        except PluginError as error:
            self.complaints.error("plugin-failed", str(error), "mend the plugin, or use another type", at.span)
            return None
        if issubclass(model, Component) == (what == "part") and issubclass(model, Joint) == (what == "joint"):
            return model
        message = f"{article(type)} is a joint, not a part of a run"
        help = "write it under joints, and end a run there"
        if what == "joint":
            message, help = (
                f"{article(type)} is a part of a run, not a joint",
                "write it in the parts of a run",
            )
        self.complaints.error("wrong-place", message, help, at.span)
        return None
