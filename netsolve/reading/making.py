"""Makes one part, joint, engine or water of a row from what is written of it and from settings."""

from __future__ import annotations

from collections.abc import Mapping
from dataclasses import dataclass, field
from functools import cached_property
from typing import Any

from netsolve import units
from netsolve.circuit import Charge, Engine, Part, Place
from netsolve.component import Component, Joint, Opening
from netsolve.contract.cooling import Cooling, Oil
from netsolve.contract.declare import Declared, Quantity, declared
from netsolve.contract.waters import Liquid
from netsolve.reading.bores import wants_bore
from netsolve.reading.building import Builder, Subject, tell_missing
from netsolve.reading.heights import written_height
from netsolve.reading.settings import Setting
from netsolve.reading.written import FROM_HEAT, Document, Placement, Written, beside, driven, keys, needs_density, plain
from netsolve.source import Node, Text
from netsolve.water import Water

NOTHING: Mapping[str, Any] = {}

STAND_IN = Engine(speed=1.0, rated_speed=1.0)


@dataclass(frozen=True)
class Setup:
    """What parts and joints depend on besides their own parameters."""

    engines: Mapping[str, Engine]
    water: Water | None
    bores: Mapping[str, tuple[float, str]] = field(default_factory=dict)

    def density(self, model: type[Declared]) -> float | None:
        """The density of the water (kg/m3), where it matters to the record."""
        return None if self.water is None or not needs_density(model) else float(self.water.density)

    def engine(self, written: Written) -> Engine | None:
        """The engine that it belongs to; a stand-in where what is wrong with that engine has been told."""
        return None if written.engine is None else self.engines.get(written.engine, STAND_IN)


@dataclass
class Maker:
    """Makes the pieces of rows; what is made once of the same settings is made no second time."""

    document: Document
    builder: Builder
    _waters: dict[Liquid, Water | None] = field(default_factory=dict)
    _parts: dict[Any, Part | None] = field(default_factory=dict)

    def engine(self, written: Written, settings: Mapping[str, Setting]) -> Engine | None:
        """The engine under settings."""
        return self.builder.build(Engine, _given(written.given, settings), subject=_subject(written, settings))

    def engine_spreads(self, written: Written, settings: Mapping[str, Setting]) -> Mapping[str, float]:
        """The half widths behind the values of an engine that has been built."""
        engine = self.engine(written, settings)
        return NOTHING if engine is None else self._spreads(engine, written.given, settings, None)

    def charge(self, written: Written, settings: Mapping[str, Setting]) -> Charge | None:
        """The oil under settings."""
        given = _given(written.given, settings)
        oil = self.builder.build(Oil, given, subject=_subject(written, settings))
        spreads = {} if oil is None else self._spreads(oil, written.given, settings, None)
        return None if oil is None else Charge(written.name, oil, spreads, written.note, written.at.span)

    def liquid(self, settings: Mapping[str, Setting]) -> Liquid | None:
        """The record of the water under settings."""
        written = self.document.water
        if written.model is None:
            return None
        given, subject = _given(written.given, settings), _subject(written, settings)
        found: Any = self.builder.build(written.model, given, subject=subject)
        return found  # type: ignore[no-any-return]

    def water(self, settings: Mapping[str, Setting]) -> Water | None:
        """The water under settings."""
        liquid = self.liquid(settings)
        if liquid is not None and liquid not in self._waters:
            self._waters[liquid] = self._properties(liquid, settings)
        return self._waters[liquid] if liquid is not None else None

    def _properties(self, liquid: Liquid, settings: Mapping[str, Setting]) -> Water | None:
        try:
            return liquid.water()
        except ValueError as error:
            given = _given(self.document.water.given, settings)
            node = given.get("temperature", self.document.water.at)
            self.builder.complaints.error("out-of-range", str(error), "for example 14 degC", node.span)
            return None

    def part(self, written: Written, settings: Mapping[str, Setting], setup: Setup) -> Part | None:
        """The part under settings, or None after a fault."""
        model = written.model
        if model is None or not issubclass(model, Component):
            return None
        engine = setup.engine(written) if driven(model) else None
        speeds = None if engine is None else (engine.speed, engine.rated_speed)
        key = (written.name, tuple(settings.values()), speeds, setup.density(model))
        if key not in self._parts:
            self._parts[key] = self._part(written, model, settings, setup)
        return self._parts[key]

    def _part(
        self, written: Written, model: type[Component], settings: Mapping[str, Setting], setup: Setup
    ) -> Part | None:
        common = {name: setting for name, setting in settings.items() if name in beside(model)}
        own = {name: setting for name, setting in settings.items() if name not in common}
        engine, density = setup.engine(written), setup.density(model)
        subject = _subject(written, settings, self._engine_help(written, model, engine))
        given = _given(written.given, own)
        driving = self._from_engine(model, given, engine)
        values = given | driving
        component = self.builder.build(model, values, subject=subject, density=density)
        further = _given(written.placed, common)
        placement = self.builder.build(Placement, _belonging(further, model, Placement), subject=subject)
        warmth = _belonging(further, model, Cooling)
        cooling = self.builder.build(Cooling, warmth, subject=subject) if warmth else None
        if component is None or placement is None or not self._is_driven(component, model, subject):
            return None
        if (warmth and cooling is None) or not self._is_whole(written, cooling, subject):
            return None
        if placement.min_flow == FROM_HEAT and not self._has_limit(written, subject):
            return None
        return Part(
            written.name,
            written.type,
            written.run,
            component,
            placement.fitted,
            placement.height,
            int(placement.count),
            None if placement.min_flow == FROM_HEAT else placement.min_flow,
            placement.max_flow,
            written.note,
            {
                **self._spreads(component, written.given, own, density),
                **self._spreads(placement, written.placed, common, density),
            }
            or NOTHING,
            cooling,
            written.cools,
            self._spreads(cooling, written.placed, common, None) if cooling else NOTHING,
            written.at.span,
            written.engine if driving else None,
            need_from_heat=placement.min_flow == FROM_HEAT,
        )

    def _is_whole(self, written: Written, cooling: Cooling | None, subject: Subject) -> bool:
        """Whether a cooler says both what it cools and how well; what is missing is told."""
        passes = cooling is not None and cooling.passes_heat
        outside = cooling is not None and cooling.outside is not None
        if written.cools == "":
            return True  # the oil that it names has been told of
        if written.cools is not None and not passes:
            message, help = f"'{written.name}' cools {written.cools}, but not how well", "add ua: 100 W/K"
        elif passes and written.cools is None and not outside:
            message = f"'{written.name}' passes heat, but from nothing"
            help = "add cools: NAME, with NAME under oils, or outside: 12 degC for a keel cooler"
        else:
            return True
        self.builder.complaints.error("missing-parameter", message, help, subject.at)
        return False

    def _has_limit(self, written: Written, subject: Subject) -> bool:
        """Whether a part whose need comes from heat cools an oil with a limit or an alarm; what is missing is told."""
        oil = self.document.oils.get(written.cools or "")
        if oil is not None and {"limit", "alarm"} & set(oil.given):
            return True
        if written.cools == "":
            return False  # the oil that it names has been told of
        message = f"min_flow of '{written.name}' is to come from heat, but it cools no oil"
        help = "write cools: NAME and ua: 100 W/K, with NAME under oils, or a flow for min_flow"
        if oil is not None:
            message = f"min_flow of '{written.name}' is to come from heat, but {oil.name} has neither limit nor alarm"
            help = f"add limit: 66 degC to {oil.name} under oils"
        self.builder.complaints.error("missing-parameter", message, help, subject.at)
        return False

    def _is_driven(self, component: Component, model: type[Component], subject: Subject) -> bool:
        """Whether an engine gave what it should have, unless the part stands still; what is missing is told."""
        lacking = [name for name in driven(model) if name in keys(model) and getattr(component, name) is None]
        if not lacking or not getattr(component, "running", True):
            return True
        tell_missing(lacking[0], model, subject, self.builder.complaints)
        return False

    def place(self, written: Written, settings: Mapping[str, Setting], setup: Setup) -> Place | None:
        """The joint under settings, its height still as written; None after a fault."""
        model = written.model
        if model is None or not issubclass(model, Joint):
            return None
        engine = setup.engine(written)
        subject = _subject(written, settings, self._engine_help(written, model, engine))
        given = _given(written.given, settings)
        values: dict[str, Node | float] = given | self._from_engine(model, given, engine)
        if wants_bore(model, given) and written.name in setup.bores:
            values["bore"] = setup.bores[written.name][0]
        joint = self.builder.build(model, values, subject=subject, density=setup.density(model))
        if joint is None:
            return None
        spreads = self._spreads(joint, written.given, settings, setup.density(model))
        driver = written.engine if engine is not None and driven(model) else None
        place = Place(written.name, written.type, joint, None, written.note, written.at.span, spreads, driver)
        return place if self._is_placed(place, model, values, subject) else None

    def _is_placed(
        self, place: Place, model: type[Joint], values: Mapping[str, Node | float], subject: Subject
    ) -> bool:
        """Whether an opening has a height and, where it needs one, a bore; what is missing is told."""
        if not issubclass(model, Opening):
            return True
        if written_height(place) is None:
            tell_missing(model.datum, model, subject, self.builder.complaints)
            return False
        lossless = getattr(place.joint, "losses", "") == "none"
        if wants_bore(model, values) and not lossless and place.name in self._joined:
            told, help = f"'{place.name}' has no 'bore'", "add bore: 16 mm, as no part of its run has one"
            self.builder.complaints.error("missing-parameter", told, help, subject.at)
            return False
        return True

    @cached_property
    def _joined(self) -> set[str]:
        """The joints at the end of a run whose parts all have a known type; else a bore may be missing for that."""
        runs = self.document.runs.values()
        sound = [run for run in runs if all(self.document.parts[name].model for name in run.parts)]
        return {end.joint for run in sound for end in (run.source, run.target)}

    def _from_engine(self, model: type[Declared], given: Mapping[str, Node], engine: Engine | None) -> dict[str, float]:
        """What the engine gives to a part that does not say itself."""
        found: dict[str, float] = {}
        for name, spec in driven(model).items():
            value = getattr(engine, spec.engine, None)
            if value is None or (name in given and plain(given[name]) != "none"):
                continue
            found[name] = value * self._times(model, spec.times, given) if spec.times else value
        return found

    def _times(self, model: type[Declared], name: str, given: Mapping[str, Node]) -> float:
        """The value of the field that multiplies the engine's."""
        value = model.model_fields[name].default
        if name in given:
            try:
                value = declared(model)[name].read(plain(given[name]), self.builder.reading(model))
            except ValueError:
                return 1.0  # told of when the record is built
        return float(value) if isinstance(value, int | float) else 1.0

    def _engine_help(self, written: Written, model: type[Declared], engine: Engine | None) -> str:
        """What to write so that an engine drives this."""
        if not driven(model):
            return ""
        if not self.document.engines:
            return "add engines: {main: {speed: 2600 rpm, rated_speed: 2600 rpm}}, or give it a speed of its own"
        if engine is None:
            return f"write {' or '.join(f'engine: {name}' for name in self.document.engines)}"
        lacking = [spec.engine for spec in driven(model).values() if getattr(engine, spec.engine) is None]
        return f"add {lacking[0]}: 2600 rpm to engine '{written.engine}'" if lacking else ""

    def _spreads(
        self, record: Declared, written: Mapping[str, Node], settings: Mapping[str, Setting], density: float | None
    ) -> Mapping[str, float]:
        """The half widths written behind values, by parameter."""
        found = {}
        for key, node in _given(written, settings).items():
            if not (_may_spread(node) or _may_spread(written.get(key))):
                continue
            for name, spec in _read_from(record, key):
                text = _with_spread(node, written.get(key), spec, getattr(record, name))
                spread = self.builder.spread(spec, text, density) if text else None
                if spread is not None:
                    found[name] = spread
        return found or NOTHING


def _may_spread(node: Node | None) -> bool:
    return isinstance(node, Text) and ("±" in node.value or "+" in node.value)


def _with_spread(node: Node, written: Node | None, spec: Quantity, value: float | None) -> str:
    """A value with the ± behind it, or a setting's with that of the part itself; empty without any.

    A setting keeps none where such parts have a usual one, for it is of another part then, nor at an end of what there
    may be: an engine stopped, a valve fully open.
    """
    if not isinstance(node, Text) or node.value.strip() in spec.words:
        return ""
    own = units.parted(node.value, spec.kind)[1]
    if own or spec.spread or not isinstance(written, Text) or value in (None, 0.0, spec.at_least, spec.at_most):
        return node.value if own else ""
    kept = units.parted(written.value, spec.kind)[1]
    return f"{node.value} ± {kept}" if kept else ""


def _belonging(given: Mapping[str, Any], model: type[Declared], record: type[Declared]) -> dict[str, Any]:
    """Those of the values beside a component's own that belong to one record."""
    return {key: node for key, node in given.items() if beside(model)[key] is record}


def _read_from(record: Declared, key: str) -> list[tuple[str, Quantity]]:
    """The quantities of a record that were read from what is written under a key."""
    fields = type(record).model_fields
    return [
        (name, spec)
        for name, spec in declared(type(record)).items()
        if isinstance(spec, Quantity)
        and name in record.model_fields_set
        and key in (fields[name].alias or name, spec.written_as)
    ]


def _given(written: Mapping[str, Node], settings: Mapping[str, Setting]) -> dict[str, Any]:
    return {**written, **{name: setting.node for name, setting in settings.items()}}


def _subject(written: Written, settings: Mapping[str, Setting], engine_help: str = "") -> Subject:
    """Whom faults are told of, at the last setting where there is one, else where it is written."""
    at = list(settings.values())[-1].key if settings else written.at
    return Subject(written.name, at.span, engine_help)
