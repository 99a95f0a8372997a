"""A file of readings to records, every problem at its place."""

from __future__ import annotations

from collections.abc import Callable, Iterator, Mapping
from dataclasses import dataclass, field, replace
from pathlib import Path

from netsolve.circuit import AS_FOUND, Circuit
from netsolve.component import Opening
from netsolve.problems import CircuitError
from netsolve.reading.building import Builder, Subject
from netsolve.reading.complaints import Complaints
from netsolve.reading.naming import did_you_mean, fold
from netsolve.reading.shapes import Keys, entries, text, texts
from netsolve.reading.written import keys, plain
from netsolve.source import Items, Node, Table, Text, open_source, parse
from netsolve.study.diagnosis.kinds import KINDS, Kind
from netsolve.study.diagnosis.probe import Probe, Reading, Situation
from netsolve.study.diagnosis.sensible import doubt
from netsolve.water import GRAVITY

_COMMON = ("condition", "change", "settings", "when", "note")
MOST_READINGS = 200

_SHAPE = "write readings: and below it - {bucket: RUN, condition: NAME, volume: 10 L, took: 60 s}"


def read_file(path: str | Path, circuit: Circuit) -> tuple[Reading, ...]:
    """The readings of a file. Raises CircuitError."""
    return _read(_opened(lambda: open_source(path)), circuit)


def read_text(content: str, circuit: Circuit, file: str = "<readings>") -> tuple[Reading, ...]:
    """The readings of a text. Raises CircuitError."""
    return _read(_opened(lambda: parse(content, file)), circuit)


def _opened(source: Callable[[], Table]) -> Table:
    """The table of a file; a file that is none is told what readings look like, not what a circuit does."""
    try:
        return source()
    except CircuitError as error:
        shapeless = ("empty", "not-a-mapping")
        raise CircuitError(
            [replace(each, help=_SHAPE) if each.code in shapeless else each for each in error.problems]
        ) from None


def _read(table: Table, circuit: Circuit) -> tuple[Reading, ...]:
    complaints = Complaints()
    given = Keys("file of readings", ("readings", "note", "about"), "unknown-key").sorted_out(table.entries, complaints)
    node = given.get("readings")
    if not isinstance(node, Items) or not node.values:
        at = node.span if node is not None else table.span
        complaints.error("no-readings", "there are no readings in this file", _SHAPE, at)
        complaints.stop()
    assert isinstance(node, Items)
    if len(node.values) > MOST_READINGS:
        complaints.error("too-many", f"more than {MOST_READINGS} readings", "split the file", node.span)
        complaints.stop()
    reader = _Reader(circuit, complaints)
    found = [reading for each in node.values for reading in reader.reading(each)]
    complaints.stop()
    return tuple(found)


@dataclass
class _Reader:
    """Reads one item of the list after the other."""

    circuit: Circuit
    complaints: Complaints
    builder: Builder = field(init=False)

    def __post_init__(self) -> None:
        self.builder = Builder(self.complaints, self.circuit.gallon)

    def reading(self, node: Node) -> Iterator[Reading]:
        """The reading that an item is; nothing after telling what is wrong with it."""
        if not isinstance(node, Table):
            help = f"write - {{{next(iter(KINDS))}: NAME, …}}"
            self.complaints.error("not-a-table", "a reading is a table", help, node.span)
            return
        kind = self._kind(node)
        if kind is None:
            return
        model = KINDS[kind.value]
        allowed = Keys(f"{kind.value} reading", {**keys(model), kind.value: None, **dict.fromkeys(_COMMON)})
        given = allowed.sorted_out(node.entries, self.complaints)
        about = given.pop(kind.value)
        common = {name: given.pop(name) for name in _COMMON if name in given}
        names = self._names(about, kind.value, model)
        situation = self._situation(common, kind)
        weight = float(self.circuit.as_found.water.density) * GRAVITY
        record = self.builder.build(model, given, subject=Subject(f"this {kind.value}", kind.span))
        if names is None or situation is None or record is None:
            return
        doubted = doubt(self.circuit, situation, kind.value, names)
        if doubted is not None:
            self.complaints.error(*doubted, about.span)
            return
        value, deviation, found = record.measured(weight)
        situation = _set_up(situation, kind.value, names, self._moved(kind.value, names, record.gauge_height()))
        height = None if model.of in ("run", "part") else record.gauge_height()
        yield Reading(
            Probe(kind.value, names, situation, height),
            value,
            deviation,
            found,
            getattr(record, "steady", None),
            record.at_most,
            kind.span,
        )

    def _moved(self, kind: str, names: tuple[str, ...], height: float | None) -> float | None:
        """The height of a hose end, None where it hangs as installed."""
        if kind != "bucket":
            return height
        row = self.circuit.as_found
        installed = row.places[row.runs[names[0]].target.joint].height
        return None if height == installed else height

    def _kind(self, node: Table) -> Text | None:
        """The key that says what kind of reading it is."""
        for key, _ in node.entries:
            if key.value in KINDS:
                return key
        first = node.entries[0][0] if node.entries else None
        known = [*KINDS]
        help = did_you_mean(first.value if first else "", known, f"begin with one of {', '.join(known)}")
        at = first.span if first else node.span
        self.complaints.error("unknown-reading", "it does not say what kind of reading this is", help, at)
        return None

    def _names(self, node: Node, kind: str, model: type[Kind]) -> tuple[str, ...] | None:
        written = texts(node, f"what '{kind}' is of", self.complaints)
        if len(written) != model.count:
            wanted = f"'{kind}' is of {'one' if model.count == 1 else 'two'} {model.of}{'s' if model.count > 1 else ''}"
            help = f"write {kind}: [first, second]" if model.count > 1 else f"write {kind}: name"
            self.complaints.error("not-a-name", wanted, help, node.span)
            return None
        find = {
            "run": self._run,
            "part": self._part,
            "place": self._place,
            "warm": self._warm,
            "oil": self._oil,
        }[model.of]
        found = [find(each, kind) for each in written]
        if None in found:
            return None
        return tuple(name for name in found if name is not None)

    def _run(self, written: Text, kind: str) -> str | None:
        row = self.circuit.as_found
        name = self._known(
            written, {**{n: n for n in row.runs}, **{n: part.run for n, part in row.parts.items()}}, "run"
        )
        if name is None:
            return None
        target = row.places[row.runs[name].target.joint]
        if not isinstance(target.joint, Opening):
            message = f"run '{name}' ends at '{target.name}', where no bucket can be held"
            help = (
                "name a run that ends at an opening, or write opened: and the part behind which the hose was taken off"
            )
            self.complaints.error("no-outlet", message, help, written.span)
            return None
        return name

    def _part(self, written: Text, kind: str) -> str | None:
        return self._known(written, {name: name for name in self.circuit.as_found.parts}, "part")

    def _place(self, written: Text, kind: str) -> str | None:
        return self._known(written, self._places, "place to read a gauge at")

    def _warm(self, written: Text, kind: str) -> str | None:
        """An oil, or a place where the water's temperature can be read."""
        row = self.circuit.as_found
        ends = [f"{name}.{end}" for name in row.parts for end in ("in", "out")]
        names = {name: name for name in (*row.oils, *row.places, *ends)}
        return self._known(written, names, "place to read a temperature at, nor an oil,")

    def _oil(self, written: Text, kind: str) -> str | None:
        oils = self.circuit.as_found.oils
        if not oils:
            message, help = "the circuit has no oils", "write the oil under oils: in the circuit's file"
            self.complaints.error("unknown-name", message, help, written.span)
            return None
        name = self._known(written, {each: each for each in oils}, "oil")
        if name is not None and oils[name].oil.alarm is None:
            message = f"{name} has no alarm in the circuit's file"
            self.complaints.error("no-alarm", message, f"add alarm: 71 degC to {name} under oils", written.span)
            return None
        return name

    @property
    def _places(self) -> dict[str, str]:
        """Every place that there is: ports of joints, joints without, inlets and outlets of parts."""
        row = self.circuit.as_found
        ports = [
            f"{name}.{port}" for name, place in row.places.items() for port in place.joint.paths and place.joint.ports
        ]
        joints = [name for name, place in row.places.items() if not place.joint.paths]
        ends = [f"{name}.{end}" for name in row.parts for end in ("in", "out")]
        return {name: name for name in (*ports, *joints, *ends)}

    def _known(self, written: Text, names: Mapping[str, str], what: str) -> str | None:
        folded = {fold(name): name for name in names}
        typed = ".".join(piece.strip() for piece in written.value.split("."))
        if fold(typed) not in folded:
            otherwise = f"for example {next(iter(names))}"
            if what.startswith("place"):
                otherwise = "write part.in, part.out, joint.port, or the joint where it has no ports of its own"
            help = did_you_mean(typed, names, otherwise)
            self.complaints.error("unknown-name", f"there is no {what} called '{written.value}'", help, written.span)
            return None
        return names[folded[fold(typed)]]

    def _situation(self, common: Mapping[str, Node], kind: Text) -> Situation | None:
        condition = self._one_of(common.get("condition"), self.circuit.conditions, "condition")
        change = self._one_of(common.get("change"), self.circuit.changes, "change")
        still = kind.value in ("blow", "contents")
        if "condition" not in common and len(self.circuit.conditions) > 1 and not still:
            help = f"add condition: {self.circuit.conditions[0]}"
            self.complaints.error(
                "missing-parameter", f"this {kind.value} does not say when it was read", help, kind.span
            )
            return None
        settings = self._settings(common.get("settings"), condition or "", change or AS_FOUND)
        if settings is None or ("condition" in common and condition is None) or ("change" in common and change is None):
            return None
        return Situation(condition or self.circuit.conditions[0], change or AS_FOUND, settings)

    def _one_of(self, node: Node | None, names: tuple[str, ...], what: str) -> str | None:
        if node is None:
            return None
        folded = {fold(name): name for name in names}
        written = text(node, f"the {what}", self.complaints)
        if fold(written) not in folded:
            help = did_you_mean(written, names, f"there are {', '.join(names)}")
            self.complaints.error(f"unknown-{what}", f"there is no {what} '{written}'", help, node.span)
            return None
        return folded[fold(written)]

    def _settings(self, node: Node | None, condition: str, change: str) -> tuple[tuple[str, str], ...] | None:
        found = tuple((key.value, str(plain(value))) for key, value in entries(node, "'settings'", self.complaints))
        if not found:
            return ()
        try:
            self.circuit.row(condition or self.circuit.conditions[0], change, dict(found))
        except CircuitError as error:
            assert node is not None  # there are settings
            for problem in error.problems:
                self.complaints.error(problem.code, problem.message, problem.help, node.span)
            return None
        return found


def _set_up(situation: Situation, kind: str, names: tuple[str, ...], height: float | None) -> Situation:
    """The situation with the hose end where the bucket was held, or the hose that was taken off."""
    if kind == "opened":
        return Situation(situation.condition, situation.change, situation.settings, opened=names[0], height=height)
    if kind == "bucket" and height is not None:
        return Situation(situation.condition, situation.change, situation.settings, end=names[0], height=height)
    return situation
