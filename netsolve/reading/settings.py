"""Settings: `name.parameter: value`, as conditions and changes make them."""

from __future__ import annotations

from collections.abc import Callable, Iterable, Mapping
from dataclasses import dataclass

from pydantic_core import PydanticCustomError

from netsolve.contract.declare import Quantity, Reading, Spec, Word, declared
from netsolve.reading.building import Builder, in_its_file, in_words, spot
from netsolve.reading.complaints import Complaints
from netsolve.reading.naming import Names, did_you_mean, fold
from netsolve.reading.shapes import Keys, entries
from netsolve.reading.written import Document, Written, beside, keys, plain
from netsolve.source import Node, Text

NOT_SETTINGS = {
    "type": "write a second part and a change that fits it instead",
    "kind": "write a second file",
    "fitted": "use a change: {fit: NAME} or {remove: NAME}",
    "blanked": "use a change: {blank: RUN} or {open: RUN}",
    "from": "write a second run, blanked: yes, and a change that opens it",
    "to": "write a second run, blanked: yes, and a change that opens it",
    "direction": "write it in the run",
    "engine": "write it in the part",
    "cools": "write it in the part",
    "parts": "use a change: {fit: NAME} or {remove: NAME}",
    "note": "leave it out",
}


@dataclass(frozen=True)
class Setting:
    """One `name.parameter: value`, with its places."""

    target: str
    parameter: str
    node: Node
    key: Text

    @property
    def path(self) -> str:
        return f"{self.target}.{self.parameter}"


Settings = Mapping[str, Setting]
"""Settings by their path."""


@dataclass
class SettingReader:
    """Reads settings, and sees to it that each is of something that there is and has a value that it may have."""

    document: Document
    names: Names
    builder: Builder
    density: float | None
    complaints: Complaints

    def read(self, node: Node | None, what: str) -> Settings:
        """The settings in a table."""
        found: dict[str, Setting] = {}
        for key, value in entries(node, what, self.complaints):
            setting = self._setting(key, value)
            if setting is None:
                continue
            first = found.setdefault(setting.path, setting)
            if first is not setting:
                message = f"'{setting.path}' is set twice"
                self.complaints.error("duplicate-name", message, "keep one", key.span, first.key.span)
        return found

    def _setting(self, key: Text, node: Node) -> Setting | None:
        if self.names.is_refused(key.value):
            return None
        name, dot, parameter = (piece.strip() for piece in key.value.partition("."))
        if not dot or not parameter or "." in parameter:
            message = f"a setting is written name.parameter, not '{key.value}'"
            self.complaints.error("bad-setting", message, "for example main.speed: 700 rpm", key.span)
            return None
        target = self._target(name, key)
        if target is None or target.model is None:
            return None
        if parameter in NOT_SETTINGS and parameter not in keys(target.model):
            message = f"'{parameter}' is not a setting"
            self.complaints.error("not-a-setting", message, NOT_SETTINGS[parameter], key.span)
            return None
        allowed = {**keys(target.model), **{key: keys(each)[key] for key, each in beside(target.model).items()}}
        spec = allowed.get(parameter)
        if spec is None:
            shown = {name for name in allowed if name != "fitted"}
            wrong = Text(parameter, key.quoted, key.place)
            Keys(target.type, [name for name in allowed if name in shown]).tell_unknown(wrong, self.complaints)
            return None
        self._check_value(target, parameter, spec, node)
        return Setting(target.name, parameter, node, key)

    def _target(self, name: str, key: Text) -> Written | None:
        if fold(name) == "water":
            return self.document.water
        found = self.names.find(name)
        if found is None:
            known = [*self.names.of("part", "joint", "engine", "oil"), "water"]
            help = did_you_mean(name, known, "settings are of parts, joints, engines, oils and water")
            self.complaints.error("unknown-name", f"there is no '{name}' to set", help, key.span)
            return None
        if found.what == "run":
            message = f"'{found.name}' is a run, and runs have no settings"
            help = "use a change: {blank: RUN} or {open: RUN}, or set a part of it"
            self.complaints.error("not-a-setting", message, help, key.span)
        return self.document.find(found.name)

    def _check_value(self, target: Written, parameter: str, spec: Spec, node: Node) -> None:
        """Tell of a value that the parameter cannot have; what does not fit together is seen when rows are built."""
        assert target.model is not None  # the caller has seen to it
        model = beside(target.model).get(parameter, target.model)
        if plain(node) == "none" and _optional(model, parameter, spec):
            return
        read = [spec, *(each for each in declared(model).values() if _written_as(each) == parameter)]
        fault = _fault([each.read for each in read], plain(node), self.builder.reading(model, self.density))
        if fault is None:
            return
        context = fault.context or {}
        places = in_its_file(context, spot(node, context.get("index"), context.get("column")))
        message = f"{in_words(parameter)} of {target.name}: {context.get('message', fault.type)}"
        self.complaints.error(fault.type, message, context.get("help", ""), *places)


def _fault(readers: Iterable[Callable[..., object]], value: object, reading: Reading) -> PydanticCustomError | None:
    """The fault that the first reader finds, if none of them can read the value."""
    first = None
    for read in readers:
        try:
            read(value, reading)
        except PydanticCustomError as error:
            first = first or error
        else:
            return None
    return first


def _written_as(spec: Spec) -> str:
    return spec.written_as if isinstance(spec, Quantity) else ""


def _optional(model: type[object], parameter: str, spec: Spec) -> bool:
    fields = getattr(model, "model_fields", {})
    field = next((each for name, each in fields.items() if (each.alias or name) == parameter), None)
    return field is not None and field.default is None and not (isinstance(spec, Word) and "none" in spec.choices)
