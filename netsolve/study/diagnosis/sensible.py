"""Whether something can have been read where a reading says that it was: what the circuit had there at that time."""

from __future__ import annotations

from collections.abc import Sequence

from netsolve.circuit import Circuit, Row
from netsolve.heat.stated import has_heat
from netsolve.study.diagnosis.breath import NoBreathError, breath
from netsolve.study.diagnosis.probe import Situation

Doubt = tuple[str, str, str]
"""Code, message and help of a problem."""


def doubt(circuit: Circuit, situation: Situation, kind: str, names: Sequence[str]) -> Doubt | None:
    """Why this cannot have been read there, or None."""
    row = circuit.row(situation.condition, situation.change, dict(situation.settings))
    if kind == "difference" and names[0] == names[1]:
        help = "name two places, such as [oil cooler.in, oil cooler.out]"
        return "same-place", f"both taps are at '{names[0]}', where there is no difference", help
    if kind == "temperature" and not has_heat(row):
        help = "write what warms it, such as heat: 60 kW at a cooler, or oils: and the cooler that cools them"
        return "no-heat", "nothing in this circuit warms the water, so that no temperature tells anything", help
    return _missing(circuit, row, names) or (_breathless(row, names) if kind == "blow" else None)


def _missing(circuit: Circuit, row: Row, names: Sequence[str]) -> Doubt | None:
    """A part that is not fitted as the circuit then was."""
    parts = [name if name in row.parts else name.rpartition(".")[0] for name in names]
    gone = next((name for name in parts if name in row.parts and not row.parts[name].fitted), None)
    if gone is None:
        return None
    fitting = next((each.change for each in circuit.rows if each.parts[gone].fitted), None)
    help = f"add change: {fitting}" if fitting else "name a part that is fitted"
    return "not-fitted", f"'{gone}' is not fitted in '{row.change}'", help


def _breathless(row: Row, names: Sequence[str]) -> Doubt | None:
    """Why nothing is told by blowing from the one to the other."""
    try:
        breath(row, names)
    except NoBreathError as error:
        return error.code, str(error), error.help
    return None
