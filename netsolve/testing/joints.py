"""What joints and openings promise: losses that rise from none, pressures that no flow raises, exact slopes."""

from __future__ import annotations

from collections.abc import Callable, Iterator

import numpy as np

from netsolve.component import Crest, Joint, Opening
from netsolve.discovery.trial import ROUNDING, misshapen
from netsolve.testing.curves import NEAR_NOTHING, Floats, jumps, steep, sweep
from netsolve.water import Array, Water


def joint(record: Joint, water: Water) -> Iterator[str]:
    """What one joint breaks."""
    for sentence in record.check():
        yield f"check() objects to it: {sentence}; give the test joints that are right"
    fed = np.asarray(record.inflow())
    if fed.dtype.kind != "f" or not np.isfinite(fed).all():
        yield "inflow() gives no flow: return m3/s"
    if isinstance(record, Opening):
        yield from _opening(record, water)
    else:
        yield from _end("end_loss", record, record.end_loss, water)
    if isinstance(record, Crest):
        if np.asarray(record.breaks()).dtype != np.bool_:
            yield "breaks() gives no yes or no: return a bool"
    elif record.paths:
        yield from _paths(record, water)


def _opening(record: Opening, water: Water) -> Iterator[str]:
    if np.asarray(record.one_way()).dtype != np.bool_:
        yield "one_way() gives no yes or no: return a bool"
    yield from _end("pressure", record, record.pressure, water, sense=-1.0)


def _end(
    name: str, record: Joint, law: Callable[[Array, Water], Array], water: Water, sense: float = 1.0
) -> Iterator[str]:
    """The loss at the end of a run, or what is left of an opening's pressure by it."""
    flows = sweep(record, "bore", 1001)
    values = law(flows.copy(), water)
    if sentence := misshapen(name, values, flows):
        yield sentence
        return
    slopes = record.end_slope(flows.copy(), water)
    if sentence := misshapen("end_slope()", slopes, flows):
        yield sentence
        return
    loss = sense * np.asarray(values)
    if sense > 0 and float(loss[flows == 0][0]) != 0:
        yield f"{name} is {float(loss[flows == 0][0]):.3g} Pa at no flow: nothing may be lost there"
    falls = np.diff(loss) < -ROUNDING * np.maximum(np.abs(loss[1:]), np.abs(loss[:-1]))
    if falls.any():
        told = "falls as more flows into the run" if sense > 0 else "rises as more flows out of it into the run"
        yield f"{name} {told}, at {flows[:-1][falls][0]:.3g} m3/s: turn its sign, and use v|v|"

    def lost(flow: Floats) -> Floats:
        return sense * np.asarray(law(flow, water))

    for at, jump in jumps(lost, flows, loss):
        yield f"{name} jumps by {jump:.3g} Pa at {at:.6g} m3/s: join the two laws where they change over"
    away = np.abs(flows) > NEAR_NOTHING
    yield from steep("end_slope()", name, lost, flows[away], np.asarray(slopes)[away])
    power = record.end_quadratic(water)
    if power is not None:
        lost_by_it = power.drop(flows) + (0.0 if sense > 0 else float(loss[flows == 0][0]))
        if not np.allclose(lost_by_it, loss, rtol=1e-9, atol=1e-9 * max(1.0, float(np.abs(loss).max()))):
            yield f"end_quadratic is not what {name} gives: mend one of them, or leave end_quadratic out"


def _paths(record: Joint, water: Water) -> Iterator[str]:
    """The losses along its paths, in every combination of directions."""
    count = len(record.paths)
    largest = sweep(record, "bore", 3)[-1]
    rng = np.random.default_rng(0)
    flows = largest * rng.uniform(-1.0, 1.0, (count, 2000))
    values = record.pressure_drop(flows.copy(), water)
    if sentence := misshapen("pressure_drop", values, flows):
        yield f"{sentence}; one flow for each path stands on the first axis, in and out"
        return
    jacobian = np.asarray(record.jacobian(flows.copy(), water))
    if jacobian.shape != (count, count, flows.shape[1]):
        yield f"jacobian() has the shape {jacobian.shape}, not {(count, count, flows.shape[1])}: paths, paths, flows"
        return
    yield from _steepness(record, flows, jacobian, water)
    rest = np.asarray(record.pressure_drop(np.zeros((count, 1)), water))
    if np.abs(rest).max() > 0:
        yield f"a path loses {np.abs(rest).max():.3g} Pa at no flow: nothing may be lost there"
    yield from _borders(record, largest, water)


def _steepness(record: Joint, flows: Floats, jacobian: Floats, water: Water) -> Iterator[str]:
    numeric = np.asarray(Joint.jacobian(record, flows, water))
    slack = 1e-3 * np.abs(numeric).max(axis=(0, 1)) + 1e-6
    wrong = np.abs(jacobian - numeric) > slack
    if wrong.mean() > 0.01:  # a few lie on a border between two laws, where there is no one slope
        yield "jacobian() is not the derivative of pressure_drop: mend it, or leave it out"
    between = ~np.eye(len(record.paths), dtype=bool)
    if not record.coupled and np.abs(numeric[between]).max(initial=0.0) > slack.max():
        yield "the loss of one path depends on another's flow: say coupled = True"
    own = numeric[~between]
    if not record.coupled and (own <= 0).any():
        yield "the loss along a path does not rise with its own flow: use v|v|"


def _borders(record: Joint, largest: float, water: Water) -> Iterator[str]:
    """Walk round all directions of two flows, and along every other path: no step may be met."""
    around = np.linspace(0.0, 2 * np.pi, 721)
    for path in range(len(record.paths)):
        other = (path + 1) % len(record.paths)

        def flows(angle: Floats, path: int = path, other: int = other) -> Floats:
            found = np.zeros((len(record.paths), len(angle)))
            found[path] += largest * np.cos(angle)
            found[other] += largest * np.sin(angle) if other != path else 0.0
            return found

        def law(angle: Floats, path: int = path) -> Floats:
            along: Floats = np.asarray(record.pressure_drop(flows(angle), water))[path]
            return along

        for at, jump in jumps(law, around, law(around)):
            where = ", ".join(f"{flow:.3g}" for flow in flows(np.array([at]))[:, 0])
            yield f"the loss of path {record.paths[path]} jumps by {jump:.3g} Pa at {where} m3/s: join the laws"
