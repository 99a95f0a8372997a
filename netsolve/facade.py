"""The line run end to end: load a circuit, solve it, compare its changes."""

from __future__ import annotations

import sys
import traceback
from collections.abc import Callable, Iterable, Iterator, Mapping, Sequence
from dataclasses import replace
from functools import partial
from pathlib import Path
from typing import TYPE_CHECKING, Any, TypeVar

from netsolve.circuit import AS_FOUND, Circuit
from netsolve.problems import CircuitError, Problem

if TYPE_CHECKING:
    from concurrent.futures import Executor

    from netsolve.problems import Span
    from netsolve.reading.on_the_spot import OnTheSpot
    from netsolve.registry import Registry
    from netsolve.result import Result
    from netsolve.study.axes import Axis
    from netsolve.study.comparison import Effect
    from netsolve.study.margin import Margin, Margins
    from netsolve.study.sweep import Sweep

Answer = TypeVar("Answer")
Answers = TypeVar("Answers", bound="Result")


def load(path: str | Path, *, registry: Registry | None = None, on_the_spot: OnTheSpot | None = None) -> Circuit:
    """The circuit in a YAML file; CircuitError with every problem at its place where it cannot be used.

    What is made `on_the_spot` is its last change.
    """
    from netsolve.source import open_source

    table = open_source(Path(path))
    return _checked(on_the_spot.written_into(table) if on_the_spot else table, registry, Path(path).resolve().parent)


def loads(text: str | bytes, *, registry: Registry | None = None) -> Circuit:
    """The circuit in a YAML text; CircuitError with every problem at its place where it cannot be used."""
    from netsolve.source import parse

    return _checked(parse(text), registry, None)


def _checked(table: object, registry: Registry | None, folder: Path | None) -> Circuit:
    from netsolve.graph import check
    from netsolve.read import read
    from netsolve.registry import Registry

    circuit = read(table, registry or Registry.built_in(), folder)  # type: ignore[arg-type]
    problems = check(circuit)
    if problems:
        raise CircuitError(problems)
    return circuit


def solve(
    circuit: Circuit,
    *,
    conditions: Sequence[str] | None = None,
    changes: Sequence[str] | None = None,
    registry: Registry | None = None,
    system: str | None = None,
    executor: Executor | None = None,
    done: Callable[[int], None] | None = None,
) -> Result:
    """Every row of the circuit, or those of some conditions and changes, solved and judged, settled or not.

    `system` (`metric` or `us`) is the one that sentences use; the circuit's own where none is given. Any `executor` of
    `concurrent.futures`' kind is dealt blocks of rows; `done` is told the number of rows of each block. KeyError where
    a condition or change does not exist; CircuitError where a component or rule from elsewhere fails.
    """
    from netsolve.answer import answer
    from netsolve.assemble import assemble
    from netsolve.findings import judge, with_limits
    from netsolve.warmed import solve_rows

    _known(conditions, circuit.conditions, "condition")
    _known(changes, circuit.changes, "change")
    rows = [
        row
        for row in circuit.rows
        if (conditions is None or row.condition in conditions) and (changes is None or row.change in changes)
    ]
    kinds = _rules(circuit, registry)

    def run() -> Result:
        warmed = solve_rows(assemble(rows), executor=executor, done=done)
        return judge(answer(circuit, *warmed), with_limits(kinds, circuit.limits), system=system)

    return _blamed(circuit, kinds, run)


def sweep(
    circuit: Circuit,
    settings: Mapping[str, Any],
    *,
    conditions: Sequence[str] | None = None,
    changes: Sequence[str] | None = None,
    registry: Registry | None = None,
    system: str | None = None,
) -> Sweep:
    """Rows over values: `{"main.speed": ["700 rpm", "2600 rpm"], "feed hose.bore": [0.0127, 0.0159]}`, SI or text.

    Every combination in every condition under every change, or in some. Settings that move together share a key,
    `"feed hose.bore, return hose.bore"`. KeyError where a condition or change does not exist; CircuitError where a
    setting or a value of it cannot be; ValueError where a setting has no value.
    """
    from netsolve.study.axes import axes_of

    return swept(
        circuit,
        axes_of(circuit, settings),
        conditions=conditions,
        changes=changes,
        registry=registry,
        system=system,
    )


def swept(
    circuit: Circuit,
    axes: Sequence[Axis],
    *,
    conditions: Sequence[str] | None = None,
    changes: Sequence[str] | None = None,
    registry: Registry | None = None,
    system: str | None = None,
) -> Sweep:
    """The sweep over axes that have been read."""
    from netsolve.findings import judge, with_limits
    from netsolve.study.sweep import sweep as sweep_axes

    situations = situations_of(circuit, conditions, changes)
    kinds = _rules(circuit, registry)
    judged = partial(judge, rules=with_limits(kinds, circuit.limits), system=system)
    return _blamed(circuit, kinds, lambda: sweep_axes(circuit, axes, situations, judged))


def margin(
    circuit: Circuit, *, conditions: Sequence[str] | None = None, changes: Sequence[str] | None = None
) -> tuple[Margin, ...]:
    """How far each part may foul, wear or close before the first need is missed, the least margin first.

    Of the circuit as found, or under some changes; in every condition, or in some. KeyError where one does not exist.
    """
    return margins(circuit, conditions=conditions, changes=changes).margins


def margins(
    circuit: Circuit, *, conditions: Sequence[str] | None = None, changes: Sequence[str] | None = None
) -> Margins:
    """The margins, and the needs that are missed already."""
    from netsolve.study.margin import margin as margins_of

    _known(conditions, circuit.conditions, "condition")
    _known(changes, circuit.changes, "change")
    return _blaming(circuit, (), lambda: margins_of(circuit, conditions or circuit.conditions, changes or (AS_FOUND,)))


def guarded(circuit: Circuit, run: Callable[[], Answer]) -> Answer:
    """What a study of the circuit returns; CircuitError at the line that asks for a component that raises in it."""
    return _blaming(circuit, (), run)


def situations_of(
    circuit: Circuit, conditions: Sequence[str] | None, changes: Sequence[str] | None
) -> list[tuple[str, str]]:
    """Every condition under every change, or some of them. KeyError where one does not exist."""
    _known(conditions, circuit.conditions, "condition")
    _known(changes, circuit.changes, "change")
    return [
        (row.condition, row.change)
        for row in circuit.rows
        if (conditions is None or row.condition in conditions) and (changes is None or row.change in changes)
    ]


def _rules(circuit: Circuit, registry: Registry | None) -> Sequence[type[Any]]:
    """Every rule but those that the circuit silences; CircuitError with each that cannot be used."""
    from netsolve.registry import PluginError, Registry

    known, kinds, problems = registry or Registry.built_in(), [], []
    for code in sorted(known.rule_entries):
        if circuit.limits.get(code) == "off":
            continue
        try:
            kinds.append(known.rule(code))
        except PluginError as error:
            help = f"mend the rule, take it out, or write limits: {{{code}: off}}"
            problems.append(Problem("plugin-failed", str(error), help))
    if problems:
        raise CircuitError(problems)
    return kinds


def _blamed(circuit: Circuit, rules: Sequence[type[Any]], run: Callable[[], Answers]) -> Answers:
    """The result, whose rows too are put together with the blame given to whom it belongs."""
    from netsolve.result import Rows

    result = _blaming(circuit, rules, run)
    made = result.rows
    return replace(result, rows=Rows(len(made), lambda index: _blaming(circuit, rules, lambda: made[index])))


def _blaming(circuit: Circuit, rules: Sequence[type[Any]], run: Callable[[], Answer]) -> Answer:
    """What it returns; CircuitError at the line that asks for it where a component or rule from elsewhere raises."""
    try:
        return run()
    except (Exception, SystemExit) as error:
        problem = _plugin_problem(circuit, rules, error)
        if problem is None:
            raise
        raise CircuitError([problem]) from error


def _plugin_problem(circuit: Circuit, rules: Sequence[type[Any]], error: BaseException) -> Problem | None:
    from netsolve.discovery.blame import blame

    files = {frame.filename for frame in traceback.extract_tb(error.__traceback__)}
    theirs = tuple(_from_elsewhere(circuit, rules))
    guilty = [each for each in theirs if getattr(sys.modules.get(each[0]), "__file__", None) in files]
    for module, name, at in (*guilty, *theirs)[:1]:
        told = blame(f"{name} fails", error, module)
        return Problem("plugin-failed", told, "mend the plugin, or leave it out", at)
    return None


def _from_elsewhere(circuit: Circuit, rules: Iterable[type[Any]]) -> Iterator[tuple[str, str, Span | None]]:
    """Module, name and place of every component and rule that does not come with netsolve."""
    row = circuit.as_found
    used: list[tuple[str, type[Any], Span | None]] = []
    used += [(each.type, type(each.component), each.at) for each in row.parts.values()]
    used += [(each.type, type(each.joint), each.at) for each in row.places.values()]
    used += [(rule.code, rule, None) for rule in rules]
    yield from ((kind.__module__, f"'{name}'", at) for name, kind, at in used if not _is_ours(kind.__module__))


def _is_ours(module: str) -> bool:
    return module.startswith(("netsolve.components.", "netsolve.rules."))


def _known(wanted: Sequence[str] | None, names: Sequence[str], kind: str) -> None:
    for name in wanted or ():
        if name not in names:
            raise KeyError(f"no {kind} is called '{name}'; there are: {', '.join(names)}")


def compare(result: Result) -> tuple[Effect, ...]:
    """The effect of each change on each need in each condition, against `as found`."""
    from netsolve.study.comparison import compare as compare_rows

    return compare_rows(result)


__all__ = ["AS_FOUND", "Problem", "compare", "load", "loads", "margin", "solve", "sweep"]
