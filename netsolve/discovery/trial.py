"""A part, or a joint, from elsewhere is tried at a few flows before anything is solved with it.

What fails is told in a sentence at the line of the file that asks for it, instead of as rows that do not settle. The
whole of the promises is for `netsolve.testing.check_component`, which the plugin's own tests call.
"""

from __future__ import annotations

import inspect
from collections.abc import Iterator
from typing import Any

import numpy as np
import numpy.typing as npt

from netsolve.component import Component, Joint, Opening
from netsolve.water import Water, sea_water

Floats = npt.NDArray[np.float64]

_SIZES = np.array([1e-6, 1e-5, 1e-4, 1e-3])
FLOWS: Floats = np.concatenate([-_SIZES[::-1], [0.0], _SIZES])
"""m3/s at which parts are tried."""

ROUNDING = 32 * np.finfo(float).eps


def faults(record: Any, water: Water | None = None) -> Iterator[str]:
    """What is wrong with the laws of a part or joint, a sentence each. Raises whatever its methods raise."""
    used = sea_water(288.15, 35.0) if water is None else water
    with np.errstate(all="ignore"):
        for name, values, flows in _laws(record, used):
            sentence = misshapen(name, values, flows) or (_falling(record, name, values) if flows is FLOWS else "")
            if sentence:
                yield f"{_place(record, name)}{sentence}"
                return


def _laws(record: Any, water: Water) -> Iterator[tuple[str, Any, Floats]]:
    """The name of each law, what it gives, and for which flows."""
    if isinstance(record, Component):
        yield "pressure_drop", record.pressure_drop(FLOWS.copy(), water), FLOWS
        yield "slope", record.slope(FLOWS.copy(), water), FLOWS.copy()
    elif isinstance(record, Opening):
        yield "pressure", record.pressure(FLOWS.copy(), water), FLOWS
    elif isinstance(record, Joint):
        yield "end_loss", record.end_loss(FLOWS.copy(), water), FLOWS.copy()
        if record.paths:
            flows = np.array([np.roll(FLOWS, path) for path in range(len(record.paths))])
            yield "pressure_drop", record.pressure_drop(flows.copy(), water), flows


def misshapen(name: str, values: Any, flows: Floats) -> str:
    """What is wrong with the form of an answer to these flows; nothing for finite floats of their shape."""
    if not isinstance(values, np.ndarray | np.generic | float):
        given = "nothing" if values is None else f"a {type(values).__name__}"
        return f"{name} gives {given} for an array of flows: compute it from `flow` and return that"
    shaped = np.asarray(values)
    if shaped.dtype.kind == "c":
        return f"{name} gives complex numbers: a root of what is below zero; take it of np.abs(flow)"
    if shaped.dtype.kind != "f":
        return f"{name} gives {shaped.dtype} instead of floats: compute it from `flow`"
    if shaped.shape != flows.shape:
        told = f"{name} gives an array of shape {shaped.shape} for flows of shape {flows.shape}"
        return f"{told}: compute it from `flow`, and write np.where for if"
    if not np.isfinite(shaped).all():
        at = flows[~np.isfinite(shaped)].flat[0]
        return f"{name} is not finite at {at:.3g} m3/s: keep 0/0, logarithms and roots away from there"
    return ""


def _falling(record: Any, name: str, values: Any) -> str:
    """Whether a drop falls as the flow grows, or the pressure at an opening rises with what it gives."""
    change = np.diff(np.asarray(values)) * (-1.0 if isinstance(record, Opening) else 1.0)
    size = np.abs(np.asarray(values))
    falls = change < -ROUNDING * np.maximum(size[1:], size[:-1])
    if not falls.any():
        return ""
    first = int(np.flatnonzero(falls)[0])
    between = f"from {FLOWS[first]:.3g} to {FLOWS[first + 1]:.3g} m3/s"
    if isinstance(record, Opening):
        return f"pressure rises {between}: an opening that gives more water must not gain pressure by it"
    return f"pressure_drop falls {between}: it must rise strictly with flow in both directions; use v|v|, not v*v"


def _place(record: Any, name: str) -> str:
    """`file, line 9: ` of a method that a plugin defines."""
    code = getattr(inspect.getattr_static(type(record), name), "__code__", None)
    return f"{code.co_filename}, line {code.co_firstlineno}: " if code else ""
