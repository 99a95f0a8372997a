"""netsolve's flows and tee pressures against a second, separately written solution of every circuit and change.

The other solution shares no code with netsolve: own reading of the file, own units, own laws, other unknowns.
"""

from __future__ import annotations

from collections.abc import Iterator
from functools import cache
from pathlib import Path
from typing import Any

import pytest

import netsolve
from netsolve.result import Result, RowResult
from tests.circuits import independent
from tests.circuits.independent import Answer

FOLDER = Path(__file__).parents[2] / "circuits"
CIRCUITS = ("pot_hauler", "reference_diesel", "reference_diesel_as_fitted", "two_coolers")
LARGEST = 1e-6  # of the largest flow, and of a pressure: our own bound, some 40 times the most by which they differ
ALIKE = 0.01  # Pa


@cache
def document(circuit: str) -> dict[str, Any]:
    return independent.read(FOLDER / f"{circuit}.yaml")


@cache
def solved(circuit: str) -> Result:
    return netsolve.solve(netsolve.load(FOLDER / f"{circuit}.yaml"))


def rows() -> Iterator[tuple[str, str, str]]:
    for circuit in CIRCUITS:
        for change in ("as found", *document(circuit).get("changes", {})):
            for condition in document(circuit)["conditions"]:
                yield circuit, condition, change


def lossy() -> Iterator[tuple[str, str]]:
    """Every part, and every joint that costs something, by circuit."""
    for circuit in CIRCUITS:
        written = document(circuit)
        for name, joint in written["joints"].items():
            if joint.get("losses", "none" if joint["type"] == "manifold" else "counted") != "none":
                yield circuit, name
        for run in written["runs"].values():
            yield from ((circuit, name) for part in run.get("parts", []) for name in part)


def where_fitted(circuit: str, name: str) -> str:
    """The first change, or none, under which a part stands in the circuit."""
    changes: list[str] = ["as found", *document(circuit).get("changes", {})]
    for change in changes:
        row = independent.make_row(document(circuit), "full", change)
        if row.parts.get(name, {}).get("fitted", True):
            return change
    raise AssertionError(f"no change fits '{name}'")


def apart(theirs: Answer, ours: RowResult) -> float:
    """The worst difference of a run's flow, as a share of the largest flow; a blanked run has none."""
    largest = max(map(abs, theirs.flows.values()))
    return max(abs(flow - (ours.run(name).flow or 0.0)) for name, flow in theirs.flows.items()) / largest


@pytest.mark.parametrize(("circuit", "condition", "change"), [*rows()])
def test_every_flow_is_that_of_the_independent_solution(circuit: str, condition: str, change: str) -> None:
    theirs = independent.solve(independent.make_row(document(circuit), condition, change))
    ours = solved(circuit)[condition, change]
    assert set(theirs.flows) == set(ours.runs)
    assert apart(theirs, ours) < LARGEST


@pytest.mark.parametrize(("circuit", "condition", "change"), [row for row in rows() if row[0] != "reference_diesel"])
def test_every_pressure_at_the_tee_is_that_of_the_independent_solution(
    circuit: str, condition: str, change: str
) -> None:
    theirs = independent.solve(independent.make_row(document(circuit), condition, change)).ports
    ours = solved(circuit)[condition, change].joint("tee-off").ports
    assert {"common", "straight"} <= set(ours)
    for port, found in ours.items():
        assert theirs["tee-off", port] == pytest.approx(found.total_pressure, rel=LARGEST, abs=ALIKE)


@pytest.mark.parametrize(
    ("circuit", "change", "run"),
    [
        ("pot_hauler", "cooler branch closed", "oil cooler branch"),
        ("reference_diesel", "no branch", "branch"),
        ("reference_diesel", "as found", "to exhaust"),
        ("reference_diesel", "discharge into exhaust", "to overboard"),
        ("two_coolers", "gearbox leg shut", "gearbox leg"),
    ],
)
def test_a_blanked_run_carries_nothing(circuit: str, change: str, run: str) -> None:
    assert not solved(circuit)["full", change].run(run).flow
    assert independent.solve(independent.make_row(document(circuit), "full", change)).flows[run] == 0.0


@pytest.mark.parametrize(("circuit", "name"), [*lossy()])
def test_one_per_cent_more_loss_in_any_one_thing_is_found(circuit: str, name: str) -> None:
    change = where_fitted(circuit, name)
    row = independent.make_row(document(circuit), "full", change)
    row.heavier = {name: 1.01}
    assert apart(independent.solve(row), solved(circuit)["full", change]) > LARGEST
