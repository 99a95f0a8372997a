"""The question that `--find` and `--for` ask: among which values of what, and what is wanted of which flow."""

from __future__ import annotations

from collections.abc import Sequence

import numpy as np

from netsolve import units
from netsolve.arrays.stack import Floats
from netsolve.circuit import Circuit
from netsolve.contract.declare import Quantity
from netsolve.problems import CircuitError, Problem, Span
from netsolve.reading.naming import did_you_mean, fold
from netsolve.study.allowed import POINTS, search_values
from netsolve.study.axes import Axis, setting_at
from netsolve.study.find import WARM, Alike, Flow, Warm, Wish
from netsolve.study.settable import Settable
from netsolve.study.spread_out import not_rising
from netsolve.study.typed import Typed, paths_alone, split_up, telling
from netsolve.units import UnitError


def read_find(text: str) -> Typed:
    """The pieces of `--find`: paths, and where it is given the range to look in."""
    typed = split_up("--find", text) if "=" in text else paths_alone("--find", text)
    if typed.texts and typed.count is None:
        help = f"write --find '{', '.join(typed.paths)} = {typed.texts[0]} .. {typed.texts[-1]}'"
        raise typed.refuse("bad-range", "--find looks within a range, not among a list", help)
    return typed


def axis_to_search(circuit: Circuit, typed: Typed, situations: Sequence[tuple[str, str]]) -> Axis:
    """The values to look among. Raises CircuitError where there is nothing to look among."""
    with telling([typed]):
        settings = [setting_at(circuit, path, typed.texts[0] if typed.texts else "1") for path in typed.paths]
        for each in settings:
            if not isinstance(each.spec, Quantity):
                help = f"try its values: --vary '{each.path} = …'"
                raise typed.refuse("bad-range", f"'{each.path}' is no number that could be found", help)
        values = _between(circuit, typed, settings) if typed.texts else search_values(circuit, settings, situations)
    if values is None:
        such = units.examples(settings[0].kind)[0]
        help = f"say where: --find '{', '.join(typed.paths)} = LOW .. HIGH', each of them such as {such}"
        raise typed.refuse("bad-range", f"nothing says between what values of {settings[0].path} to look", help)
    numbers = tuple(values.tolist())
    return Axis({each.path: numbers for each in settings}, {each.path: each.kind for each in settings})


def _between(circuit: Circuit, typed: Typed, settings: Sequence[Settable]) -> Floats:
    for text in typed.texts:
        circuit.row(circuit.conditions[0], circuit.changes[0], {each.path: text for each in settings})
    low, high = (settings[0].read(text, circuit) for text in typed.texts)
    if not (isinstance(low, float) and isinstance(high, float)):
        raise typed.refuse("bad-range", f"'{settings[0].path}' takes no range of numbers", "give two numbers")
    if low >= high:
        raise not_rising(typed.place())
    return np.linspace(low, high, POINTS)


def goal_of(circuit: Circuit, text: str) -> Wish:
    """What `--for` wants: `oil cooler = 3 gpm`, `port cooler = starboard cooler`, `hydraulic = 66 degC`,
    `hydraulic.time_to_alarm = 60 min`.

    Raises CircuitError.
    """
    left, sign, right = text.partition("=")
    if not (left.strip() and sign and right.strip()) or len(text.splitlines()) > 1:
        help = "write --for 'oil cooler = 3 gpm' or --for 'port cooler = starboard cooler'"
        raise CircuitError([Problem("bad-goal", f"'{text}' is not PART = FLOW", help, _place(text, 0, len(text)))])
    oil = next((name for name in circuit.as_found.oils if fold(name) == fold(left)), None)
    if oil is not None:
        return Warm(oil, _amount(text, right, len(left) + 1, "temperature"))
    warm = _warm(circuit, text, left, right)
    if warm is not None:
        return warm
    about = _named(circuit, left)
    if about is None:
        raise _unknown(circuit, text, left, 0)
    other = _named(circuit, right)
    if other in circuit.as_found.oils:
        at = _place(text, len(left) + 1, len(text))
        help = f"give a flow such as 3 gpm, or the temperature of the oil: --for '{other} = 60 degC'"
        raise CircuitError([Problem("bad-goal", f"{about} carries water, {other} is an oil", help, at)])
    if other == about:
        at = _place(text, len(left) + 1, len(text))
        raise CircuitError([Problem("bad-goal", f"{about} always carries what it carries", "name another part", at)])
    if other is not None:
        return Alike(about, other)
    try:
        return Flow(about, units.read(right.strip(), "flow", gallon=circuit.gallon).value)
    except UnitError as error:
        if error.code == "not-a-number":
            raise _unknown(circuit, text, right, len(left) + 1) from None
        at = _place(text, len(left) + 1, len(text))
        raise CircuitError([Problem(error.code, error.message, error.help, at)]) from None


def _warm(circuit: Circuit, text: str, left: str, right: str) -> Warm | None:
    """A temperature, time or duty of something: `hydraulic.time_to_alarm`; None where it is none of these."""
    name, _, what = (piece.strip() for piece in left.rpartition("."))
    if what not in WARM:
        return None
    kind, of = WARM[what]
    row = circuit.as_found
    names = {"oil": [*row.oils], "part": [*row.parts], "joint": [*row.places]}[of]
    found = next((each for each in names if fold(each) == fold(name)), None)
    if found is None:
        help = did_you_mean(name, names, f"{what} is of {'an' if of == 'oil' else 'a'} {of}")
        at = _place(text, 0, len(name))
        raise CircuitError([Problem("unknown-name", f"no {of} is called '{name}'", help, at)])
    return Warm(found, _amount(text, right, len(left) + 1, kind), what)


def _amount(text: str, value: str, start: int, kind: str) -> float:
    try:
        return units.read(value.strip(), kind).value
    except UnitError as error:
        at = _place(text, start, len(text))
        raise CircuitError([Problem(error.code, error.message, error.help, at)]) from None


def _names(circuit: Circuit) -> list[str]:
    return [*circuit.as_found.parts, *circuit.as_found.runs, *circuit.as_found.oils]


def _named(circuit: Circuit, text: str) -> str | None:
    """The part or run of that name."""
    return next((name for name in _names(circuit) if fold(name) == fold(text)), None)


def _unknown(circuit: Circuit, text: str, name: str, start: int) -> CircuitError:
    help = did_you_mean(name, _names(circuit), "name a part or a run, or give a flow such as 3 gpm")
    message = f"no part or run is called '{name.strip()}'"
    return CircuitError([Problem("unknown-name", message, help, _place(text, start, start + len(name)))])


def _place(text: str, start: int, stop: int) -> Span:
    piece = text[start:stop]
    start += len(piece) - len(piece.lstrip())
    return Span("--for", 1, start + 1, max(1, len(piece.strip())), text)
