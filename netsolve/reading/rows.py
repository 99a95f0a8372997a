"""Rows: every part, joint, engine and run under each condition and change; rows share what does not differ."""

from __future__ import annotations

from collections.abc import Iterable, Mapping
from dataclasses import dataclass, field, replace
from functools import cached_property
from typing import Any

from netsolve.circuit import Charge, Engine, Part, Place, Row, Run
from netsolve.contract.waters import Liquid
from netsolve.reading.bores import end_bore
from netsolve.reading.building import Builder
from netsolve.reading.changes import Change, Condition
from netsolve.reading.heights import place_heights, written_height
from netsolve.reading.making import NOTHING, Maker, Setup
from netsolve.reading.settings import Setting
from netsolve.reading.written import Document, driven, needs_density
from netsolve.water import Water

Overlay = Mapping[str, Mapping[str, Setting]]
"""Settings by the name they are of, then by parameter."""


@dataclass
class Sheet:
    """The document and its builder; makes rows, and remembers what they share."""

    document: Document
    builder: Builder
    _refits: dict[tuple[int, bool], Part] = field(default_factory=dict)
    _heights: dict[Any, Mapping[str, float | None]] = field(default_factory=dict)

    @cached_property
    def maker(self) -> Maker:
        return Maker(self.document, self.builder)

    @cached_property
    def engines(self) -> dict[str, Engine]:
        """The engines as written, less those with a fault."""
        found = {name: self.maker.engine(each, NOTHING) for name, each in self.document.engines.items()}
        return {name: engine for name, engine in found.items() if engine is not None}

    @cached_property
    def oils(self) -> dict[str, Charge]:
        """The oils as written, less those with a fault."""
        found = {name: self.maker.charge(each, NOTHING) for name, each in self.document.oils.items()}
        return {name: charge for name, charge in found.items() if charge is not None}

    @cached_property
    def liquid(self) -> Liquid | None:
        """The record of the water as written."""
        return self.maker.liquid(NOTHING)

    @cached_property
    def water(self) -> Water | None:
        """The water as written."""
        return self.maker.water(NOTHING)

    @property
    def density(self) -> float | None:
        """The density of the water as written, kg/m3."""
        return None if self.water is None else float(self.water.density)

    @cached_property
    def parts(self) -> dict[str, Part]:
        """The parts as written, less those with a fault."""
        setup = Setup(self.engines, self.water)
        built = {name: self.maker.part(each, NOTHING, setup) for name, each in self.document.parts.items()}
        return {name: part for name, part in built.items() if part is not None}

    @cached_property
    def bores(self) -> dict[str, tuple[float, str]]:
        """By opening: the bore of its run's end as written, and the part that it is of."""
        found: dict[str, tuple[float, str]] = {}
        for run in self.document.runs.values():
            parts = [self.parts[name] for name in run.parts if name in self.parts]
            for end, at_inlet in ((run.source, True), (run.target, False)):
                bore = end_bore(parts if at_inlet else parts[::-1], at_inlet=at_inlet)
                if bore is not None:
                    found.setdefault(end.joint, bore)
        return found

    @cached_property
    def places(self) -> dict[str, Place]:
        """The joints as written, less those with a fault; heights that nobody wrote are filled in."""
        setup = Setup(self.engines, self.water, self.bores)
        built = {name: self.maker.place(each, NOTHING, setup) for name, each in self.document.joints.items()}
        return self._levelled({name: place for name, place in built.items() if place is not None})

    def row(self, condition: Condition, change: Change, more: Iterable[Setting] = ()) -> Row | None:
        """The circuit under a condition, a change and further settings; the last wins. None after a fault."""
        overlay = _overlay([*condition.settings.values(), *change.settings.values(), *more])
        water = self.maker.water(overlay["water"]) if "water" in overlay else self.water
        engines = self._varied_engines(overlay)
        oils = self._varied_oils(overlay)
        if water is None or engines is None or oils is None:
            return None
        setup = Setup(engines, water, self.bores)
        touched = self._touched(overlay, setup)
        parts = self._varied_parts(overlay, change, touched, setup)
        places = self._varied_places(overlay, touched, setup)
        if parts is None or places is None:
            return None
        liquid = self.maker.liquid(overlay["water"]) if "water" in overlay else self.liquid
        return Row(
            condition.name,
            change.name,
            parts,
            places,
            self.runs(change),
            engines,
            water,
            liquid,
            oils,
            self._engine_spreads(overlay),
        )

    def runs(self, change: Change) -> Mapping[str, Run]:
        """The runs under a change."""
        runs = self.document.runs
        varied = {
            name: replace(runs[name], blanked=blanked)
            for name, blanked in change.blanked.items()
            if name in runs and runs[name].blanked != blanked
        }
        return {**runs, **varied} if varied else runs

    def _touched(self, overlay: Overlay, setup: Setup) -> dict[str, None]:
        """The names of what differs from what is written, but for `fitted`."""
        touched: dict[str, None] = dict.fromkeys(overlay)
        for name, engine in setup.engines.items():
            if engine is not self.engines[name]:
                touched |= dict.fromkeys(self._driven.get(name, ()))
        if setup.water is not self.water:
            touched |= dict.fromkeys(self._under_water)
        return touched

    @cached_property
    def _driven(self) -> dict[str, list[str]]:
        """Parts and joints by the engine that drives them."""
        found: dict[str, list[str]] = {}
        for each in (*self.document.parts.values(), *self.document.joints.values()):
            if each.engine is not None and each.model is not None and driven(each.model):
                found.setdefault(each.engine, []).append(each.name)
        return found

    @cached_property
    def _under_water(self) -> list[str]:
        """Parts and joints whose values may depend on the density of the water."""
        both = (*self.document.parts.values(), *self.document.joints.values())
        return [each.name for each in both if each.model is not None and needs_density(each.model)]

    def _varied_engines(self, overlay: Overlay) -> dict[str, Engine] | None:
        varied = dict(self.engines)
        for name, written in self.document.engines.items():
            if name in overlay:
                engine = self.maker.engine(written, overlay[name])
                if engine is None:
                    return None
                varied[name] = engine
        return varied

    def _engine_spreads(self, overlay: Overlay) -> Mapping[str, Mapping[str, float]]:
        """By engine: how far off its values may be."""
        return {
            name: spreads
            for name, written in self.document.engines.items()
            if (spreads := self.maker.engine_spreads(written, overlay.get(name, NOTHING)))
        }

    def _varied_oils(self, overlay: Overlay) -> Mapping[str, Charge] | None:
        varied: dict[str, Charge] = {}
        for name, written in self.document.oils.items():
            if name in overlay:
                charge = self.maker.charge(written, overlay[name])
                if charge is None:
                    return None
                varied[name] = charge
        return self.oils | varied if varied else self.oils

    def _varied_parts(
        self, overlay: Overlay, change: Change, touched: Iterable[str], setup: Setup
    ) -> Mapping[str, Part] | None:
        varied: dict[str, Part] = {}
        for name in dict.fromkeys((*touched, *change.fitted)):
            written = self.document.parts.get(name)
            if written is None:
                continue
            part = self.maker.part(written, overlay.get(name, NOTHING), setup)
            if part is None:
                return None
            varied[name] = self._refitted(part, change.fitted.get(name, part.fitted))
        return self.parts | varied if varied else self.parts

    def _refitted(self, part: Part, fitted: bool) -> Part:
        """The part, fitted or not; the maker keeps every part, so that no id is used again."""
        if part.fitted == fitted:
            return part
        return self._refits.setdefault((id(part), fitted), replace(part, fitted=fitted))

    def _varied_places(self, overlay: Overlay, touched: Iterable[str], setup: Setup) -> Mapping[str, Place] | None:
        varied: dict[str, Place] = {}
        for name in touched:
            written = self.document.joints.get(name)
            if written is None:
                continue
            place = self.maker.place(written, overlay.get(name, NOTHING), setup)
            if place is None:
                return None
            varied[name] = place
        return self._levelled(self.places | varied) if varied else self.places

    def _levelled(self, places: dict[str, Place]) -> dict[str, Place]:
        """The joints with the heights that nobody wrote."""
        key = tuple(written_height(place) for place in places.values())
        heights = self._heights.get(key)
        if heights is None:
            heights = self._heights[key] = place_heights(places, self.document.runs.values())
        return {
            name: place if place.height == heights[name] else replace(place, height=heights[name])
            for name, place in places.items()
        }


def _overlay(settings: Iterable[Setting]) -> dict[str, dict[str, Setting]]:
    overlay: dict[str, dict[str, Setting]] = {}
    for setting in settings:
        overlay.setdefault(setting.target, {})[setting.parameter] = setting
    return overlay
