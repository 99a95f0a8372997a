"""What a class promises by what it says of itself: a sentence, with its cure, for each promise that it breaks."""

from __future__ import annotations

import inspect
from collections.abc import Iterable, Iterator
from difflib import get_close_matches
from typing import Any

from netsolve.component import CONTRACT, Component, Crest, Joint, Opening
from netsolve.contract.declare import Quantity, Spec, Table, Word, declared
from netsolve.quantities.spellings import KINDS
from netsolve.rule import SEVERITIES, Rule

ROLES = (
    "shut_off", "multi_turn", "strainer", "cooler", "pump", "centrifugal", "one_way", "vent", "restrictor", "hose",
    "flow_alarm", "inlet", "outlet", "exhaust", "surface",
)  # fmt: skip
"""What a component or a joint may be to the rules."""

RESERVED = (
    "type", "note", "fitted", "count", "min_flow", "max_flow",
    "copy", "json", "schema", "dict", "validate", "check", "ports", "sources",
)  # fmt: skip
"""No parameter may be called so: what every part or joint carries, and what every class has."""

_BASES = (Component, Joint, Rule)


def broken(kind: type[Any]) -> Iterator[str]:
    """What a component, joint or rule breaks by its declaration; nothing of it is called."""
    if kind.contract != CONTRACT:
        yield (
            f"keeps contract {kind.contract}, this netsolve knows {CONTRACT}: "
            + ("install a newer netsolve" if kind.contract > CONTRACT else "install a newer version of the plugin")
        )
        return
    if not (vars(kind).get("__doc__") or "").strip():
        yield "has no docstring: its first line is what the catalogue says of it"
    for name, spec in declared(kind).items():
        yield from _parameter(name, spec)
        yield from _default(name, spec, kind.model_fields[name].default)
    yield from _of_rule(kind) if issubclass(kind, Rule) else _of_part_or_joint(kind)
    yield from _missing(kind)
    yield from _signatures(kind)
    for name in set(kind.model_fields) - set(declared(kind)):
        yield f"declares '{name}' as no parameter: write it as quantity(), word(), flag() or table()"


def _of_rule(kind: type[Rule]) -> Iterator[str]:
    if kind.severity not in SEVERITIES:
        yield f"has the severity '{kind.severity}': take one of {', '.join(SEVERITIES)}"
    if not kind.basis.strip():
        yield "names no basis: say where its threshold is from, or 'common practice, no source'"


def _of_part_or_joint(kind: type[Component] | type[Joint]) -> Iterator[str]:
    for word in ("sources", "roles", "ports", "paths"):
        if not isinstance(getattr(kind, word), tuple):
            yield f"gives its {word} as no tuple: write {word} = (…,), with a comma behind the last"
            return
    if not kind.sources or not all(source.strip() for source in kind.sources):
        yield "names no sources: say which handbook and table its law is from, or 'common practice, no source'"
    for role in kind.roles:
        if role not in ROLES:
            yield f"has the role '{role}', which no rule knows: {near(role, ROLES)}"
    yield from _ports(kind)
    if issubclass(kind, Component) and kind.velocity_bore:
        bore = declared(kind).get(kind.velocity_bore)
        if not (isinstance(bore, Quantity) and bore.kind == "length"):
            yield "names no length in velocity_bore: name the field whose bore the speed is reported in, or ''"


def _ports(kind: type[Component] | type[Joint]) -> Iterator[str]:
    if issubclass(kind, Component):
        if (kind.ports, kind.paths) != (Component.ports, Component.paths):
            yield "changes its ports: an inline part has in and out and one path; make it a Joint"
        return
    if len(set(kind.ports)) < len(kind.ports):
        yield "names a port twice: give each port a name of its own"
    for path in kind.paths:
        if len(path) != 2 or path[0] == path[1] or not set(path) <= set(kind.ports):
            yield f"has the path {path}: a path is a pair of two of its ports, {', '.join(kind.ports) or 'named first'}"


def _missing(kind: type[Any]) -> Iterator[str]:
    """The one method without which there is nothing."""
    if issubclass(kind, Component) and not ({"pressure_drop", "quadratic", "friction"} & _defined(kind, Component)):
        yield "has no pressure_drop: define pressure_drop(self, flow, water), Pa from m3/s"
    if issubclass(kind, Opening) and "pressure" not in _defined(kind, Opening):
        yield "has no pressure: define pressure(self, flow, water), the total gauge pressure at its end in Pa"
    lossy = issubclass(kind, Joint) and bool(kind.paths) and not issubclass(kind, Crest)
    if lossy and "pressure_drop" not in _defined(kind, Joint):
        yield "has paths but no pressure_drop: define pressure_drop(self, flow, water), one drop for each path"
    if issubclass(kind, Rule) and "findings" not in _defined(kind, Rule):
        yield "has no findings: define findings(self, row), which yields self.finding(…)"


def _defined(kind: type[Any], base: type[Any]) -> set[str]:
    """What the classes between a kind and its base define."""
    between = kind.__mro__[: kind.__mro__.index(base)]
    return {name for each in between for name in vars(each)}


def _signatures(kind: type[Any]) -> Iterator[str]:
    """Methods of the contract must take what they are called with."""
    for base in (each for each in kind.__mro__ if each.__module__ in ("netsolve.component", "netsolve.rule")):
        for name, wanted in vars(base).items():
            if name.startswith("_") or not inspect.isfunction(wanted):
                continue
            mine = inspect.getattr_static(kind, name)
            if mine is not wanted and not _takes(mine, wanted):
                told = f"its {name} takes {_arguments(mine)}" if callable(mine) else f"its {name} is no method"
                yield f"{told}: write def {name}{_arguments(wanted)}"


def _takes(mine: Any, wanted: Any) -> bool:
    """Whether a method can be called as that of the contract is."""
    if not inspect.isfunction(mine):
        return False
    kinds = [each.kind for each in inspect.signature(wanted).parameters.values()]
    count = sum(kind in (inspect.Parameter.POSITIONAL_ONLY, inspect.Parameter.POSITIONAL_OR_KEYWORD) for kind in kinds)
    try:
        inspect.signature(mine).bind(*[None] * count)
    except TypeError:
        return False
    return True


def _arguments(function: Any) -> str:
    return f"({', '.join(inspect.signature(function).parameters)})"


def _parameter(name: str, spec: Spec) -> Iterator[str]:
    if name in RESERVED:
        yield f"its parameter '{name}' has a reserved name: give it another"
    if not spec.doc.strip():
        yield f"its '{name}' has no doc: say what to read off the part, and the usual range"
    if isinstance(spec, Quantity):
        yield from _kind(name, spec.kind)
        worst = spec.worst
        if worst is not None and not _within(spec, worst):
            yield f"its '{name}' has the worst value {worst:g}, which it may not take: give one within its bounds"
    if isinstance(spec, Table):
        for column, column_kind in spec.columns.items():
            yield from _kind(f"{name}.{column}", column_kind)
    if isinstance(spec, Word) and len(set(spec.choices)) < 2:
        yield f"its '{name}' leaves no choice: name two words or more"


def _default(name: str, spec: Spec, default: Any) -> Iterator[str]:
    """A value that is taken where none is written is not checked again by anybody."""
    is_number = isinstance(default, int | float) and not isinstance(default, bool)
    if isinstance(spec, Quantity) and is_number and not _within(spec, float(default)):
        yield f"its '{name}' has the default {default:g}, which it may not take: give one within its bounds, in SI"
    if isinstance(spec, Quantity) and isinstance(default, str):
        yield f"its '{name}' has the text '{default}' for a default: write it as a number in SI"
    if isinstance(spec, Word) and isinstance(default, str) and default not in spec.choices:
        yield f"its '{name}' has the default '{default}', which is none of {', '.join(spec.choices)}"


def _kind(name: str, kind: str) -> Iterator[str]:
    if kind not in KINDS:
        yield f"its '{name}' is of the kind '{kind}', which there is not: {near(kind, KINDS)}"


def near(text: str, names: Iterable[str]) -> str:
    """What to write instead of a word that there is not."""
    found = get_close_matches(text, list(names), 1)
    return f"did you mean '{found[0]}'?" if found else f"take one of {', '.join(sorted(names))}"


def _within(spec: Quantity, value: float) -> bool:
    if spec.above is not None and value <= spec.above:
        return False
    if spec.below is not None and value >= spec.below:
        return False
    return (spec.at_least is None or value >= spec.at_least) and (spec.at_most is None or value <= spec.at_most)
