"""The rules of the trade as plain text for a terminal, from their declarations."""

from __future__ import annotations

from collections.abc import Iterator, Sequence
from textwrap import fill
from typing import Any

from netsolve.cautions import CAUTIONS
from netsolve.contract.declare import Quantity, declared
from netsolve.rule import SEVERITIES, Rule
from netsolve.views.catalogue import WIDTH, summary


def listed(rules: Sequence[type[Rule]]) -> str:
    """Every rule with its sentence, its thresholds and what they rest on, the gravest severity first."""
    blocks = []
    for severity in SEVERITIES:
        told = [_entry(rule) for rule in rules if rule.severity == severity]
        if told:
            blocks.append("\n".join([severity, *told]))
    return "\n\n".join(blocks) + "\n\n'netsolve rules CODE' prints one, with how to set or silence it."


def _entry(rule: type[Rule]) -> str:
    limits = ", ".join(f"{name} {value}" for name, value, _ in thresholds(rule))
    lines = [_indented(summary(rule), 4), *([_indented(f"limits: {limits}", 4)] if limits else [])]
    return "\n".join([f"  {rule.code}", *lines, _indented(f"basis: {rule.basis}", 4)])


def page(rule: type[Rule]) -> str:
    """One rule: its sentence, severity, thresholds, basis, cautions, and what to write to set or silence it."""
    lines = [f"{rule.code}: {rule.severity}", _indented(summary(rule), 2), ""]
    for name, value, doc in thresholds(rule):
        lines.append(_indented(f"{name} {value}: {doc}", 2))
    lines += [_indented(f"basis: {rule.basis}", 2), ""]
    lines += [_indented(f"{CAUTIONS[hazard].title}: {CAUTIONS[hazard].short}", 2) for hazard in rule.hazards]
    return "\n".join([*lines, *([""] if rule.hazards else []), *_settings(rule)])


def _settings(rule: type[Rule]) -> Iterator[str]:
    yield "in a circuit file"
    given = thresholds(rule)
    single = [value for name, value, _ in given if name == "limit" or len(given) == 1]
    if single:
        yield f"  limits: {{{rule.code}: {single[0]}}}"
    if len(given) > 1:
        several = ", ".join(f"{name}: {value}" for name, value, _ in given)
        yield _indented(f"limits: {{{rule.code}: {{{several}}}}}", 2)
    yield f"  limits: {{{rule.code}: off}}"


def thresholds(rule: type[Rule]) -> list[tuple[str, str, str]]:
    """Name, default as people read it, and meaning of each threshold."""
    found = []
    for name, spec in declared(rule).items():
        default = rule.model_fields[name].default
        value = spec.display(default) if isinstance(spec, Quantity) else str(default)
        found.append((name, value, spec.doc))
    return found


def as_dict(rule: type[Rule]) -> dict[str, Any]:
    """One rule as plain data, thresholds in SI."""
    limits = [
        {"name": name, "value": rule.model_fields[name].default, "kind": getattr(spec, "kind", ""), "meaning": spec.doc}
        for name, spec in declared(rule).items()
    ]
    told = {"code": rule.code, "severity": rule.severity, "sentence": summary(rule), "basis": rule.basis}
    return told | {"thresholds": limits, "cautions": list(rule.hazards)}


def _indented(text: str, by: int) -> str:
    return fill(text, WIDTH, initial_indent=" " * by, subsequent_indent=" " * (by + 2))
