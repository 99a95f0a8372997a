"""A pot hauler's circuit with invented answers, put together by hand: what the views are shown in tests.

The numbers are made up and stand for nothing; no law is at work here.
"""

from __future__ import annotations

from collections.abc import Mapping, Sequence
from dataclasses import replace

from netsolve.circuit import Assumed, Circuit, End, Part, Place, Row, Run
from netsolve.component import Component, Joint
from netsolve.problems import Finding, Problem
from netsolve.result import JointResult, PartResult, PortResult, Result, RowResult, RunResult, Take, Unsettled
from netsolve.water import custom_water

LITRE = 1e-3 / 60
"""m3/s in a litre a minute."""

Drops = Sequence[tuple[str, str, float]]

INTAKE: Drops = (
    ("seacock", "seacock", 120),
    ("weed strainer", "strainer", 410),
    ("suction hose", "hose", 330),
    ("raw-water pump", "impeller_pump", -8500),
)
ENGINE: Drops = (("engine cooler", "heat_exchanger", 1650), ("injection ring", "restriction", 820))
BRANCH: Drops = (
    ("feed hose", "hose", 520),
    ("mesh screen", "strainer", 210),
    ("check valve", "check_valve", 340),
    ("oil cooler", "cooling_coil", 3240),
    ("return hose", "hose", 610),
)
RETROFIT = ("mesh screen", "check valve")


def row(
    condition: str = "idle",
    change: str = "as found",
    *,
    litres: float = 4.9,
    verdict: str = "starved",
    without: Sequence[str] = RETROFIT,
    oil_cooler: str = "oil cooler",
) -> RowResult:
    """A settled row: what the oil cooler gets in L/min, its verdict, and the parts that are not fitted."""
    branch = [(oil_cooler if name == "oil cooler" else name, kind, drop) for name, kind, drop in BRANCH]
    flows = {"intake": 42.7, "engine": 42.7 - litres, "oil cooler branch": litres}
    strips = {"intake": INTAKE, "engine": ENGINE, "oil cooler branch": branch}
    verdicts = {"intake": None, "engine": "marginal", "oil cooler branch": verdict}
    needs = {"engine cooler": 35 * LITRE, oil_cooler: 1.5 * 3.785411784 * LITRE}
    parts = {
        name: _part(name, kind, run, drop, flows[run], needs.get(name), verdicts[run], fitted=name not in without)
        for run, strip in strips.items()
        for name, kind, drop in strip
    }
    ends = {
        "intake": ("sea", "tee-off.common"),
        "engine": ("tee-off.straight", "exhaust"),
        "oil cooler branch": ("tee-off.branch", "overboard"),
    }
    runs = {
        run: RunResult(
            run,
            *ends[run],
            tuple(name for name, _, _ in strips[run]),
            flows[run] * LITRE,
            verdicts[run],
            drive=7400.0,
            lift=2010.0,
            takes=_takes(run, parts),
        )
        for run in strips
    }
    findings = (_starved(oil_cooler, litres),) if verdict == "starved" else ()
    return RowResult(condition, change, True, 7, 1e-15, 1e-5, runs, _joints(flows), parts, {}, findings)


def _part(
    name: str,
    kind: str,
    run: str,
    drop: float,
    litres: float,
    need: float | None,
    verdict: str | None,
    *,
    fitted: bool,
) -> PartResult:
    if not fitted:
        return PartResult(name, kind, run, False)
    share = drop / 7400 if drop > 0 else None
    return PartResult(
        name, kind, run, True, 0.1, litres * LITRE, float(drop), share, 9000.0, 9000.0 - drop, 0.8,
        "barely open" if name == "check valve" else None, need, None, verdict if need else None,
    )  # fmt: skip


def _takes(run: str, parts: Mapping[str, PartResult]) -> tuple[Take, ...]:
    here = [part for part in parts.values() if part.run == run and part.share]
    takes = [Take(part.name, part.pressure_drop or 0.0, part.share or 0.0) for part in here]
    if run == "oil cooler branch":
        takes += [Take("lift", 2010.0, 2010 / 7400), Take("exit", 180.0, 180 / 7400)]
    if run == "engine":
        takes += [Take("lift", 2500.0, 2500 / 7400), Take("back pressure", 510.0, 510 / 7400)]
    return tuple(takes)


def _joints(flows: Mapping[str, float]) -> dict[str, JointResult]:
    places = {"sea": ("sea_inlet", -0.5, 5040.0), "tee-off": ("tee", 0.1, 7300.0)}
    places |= {"exhaust": ("exhaust_injection", 0.35, 510.0), "overboard": ("discharge", 0.2, 0.0)}
    return {
        name: JointResult(name, kind, height, None, {"end": PortResult(flows["intake"] * LITRE, pressure, pressure)})
        for name, (kind, height, pressure) in places.items()
    }


def _starved(about: str, litres: float) -> Finding:
    return Finding(
        code="starved",
        severity="fault",
        about=about,
        message=f"'{about}' gets {litres} of 5.68 L/min at idle: starved; '{about}' takes 44 %, lift 27 %",
        help="a bore of 3/4 in for the feed hose would give it more",
    )


def unsettled(condition: str = "idle", change: str = "as found") -> RowResult:
    """A row without an answer."""
    return RowResult(
        condition, change, False, 60, 2e-5, 340.0, {}, {}, {}, {}, (), Unsettled("oil cooler branch", 340.0)
    )


def answer(*rows: RowResult, name: str = "Pot-hauler oil cooler on a 12 m crab boat") -> Result:
    """A result of these rows, of a circuit that has nothing but a name, an assumed value and a note."""
    circuit = Circuit(
        name=name,
        rows=(),
        conditions=tuple(dict.fromkeys(each.condition for each in rows)),
        changes=tuple(dict.fromkeys(each.change for each in rows)),
        assumed=(Assumed("oil cooler", "roughness", 1.5e-6, "m", "drawn tube"),),
        notes=(Problem("bore-step", "the bore steps from 16 mm to 19 mm at 'check valve'", severity="note"),),
    )
    return Result(circuit=circuit, rows=rows)


def pot_hauler() -> Result:
    """Idle and full as found, and with a screen and a check valve fitted."""
    fitted = "screen and check valve"
    return answer(
        row("idle", litres=5.3),
        row("full", litres=16.0, verdict="served"),
        row("idle", fitted, litres=4.9, without=()),
        row("full", fitted, litres=14.8, verdict="served", without=()),
    )


def blanked(settled: RowResult, run: str) -> RowResult:
    """The row with one run blanked: it carries nothing and reports nothing."""
    shut = replace(settled.runs[run], flow=None, verdict="shut", takes=())
    parts = {
        name: PartResult(
            name,
            part.type,
            run,
            part.fitted,
            min_flow=part.min_flow,
            verdict="shut" if part.min_flow else None,
        )
        if part.run == run
        else part
        for name, part in settled.parts.items()
    }
    return replace(settled, runs={**settled.runs, run: shut}, parts=parts, findings=())


def written(settled: RowResult) -> Row:
    """The row of a circuit that such an answer would belong to, with parts that have no law."""
    parts = {
        name: Part(name, part.type, part.run, Component(), part.fitted, min_flow=part.min_flow)
        for name, part in settled.parts.items()
    }
    places = {name: Place(name, joint.type, Joint(), joint.height) for name, joint in settled.joints.items()}
    runs = {
        name: Run(name, End(*_end(run.source)), End(*_end(run.target)), run.parts) for name, run in settled.runs.items()
    }
    return Row(settled.condition, settled.change, parts, places, runs, {}, custom_water(1025.0, 1.2e-3))


def _end(text: str) -> tuple[str, str]:
    joint, _, port = text.partition(".")
    return joint, port
