"""Sensitivities from one transposed solve agree with central differences of whole solutions."""

from pathlib import Path

import pytest

import netsolve
from netsolve.assemble import assemble
from netsolve.contract.declare import declared
from netsolve.reading.written import keys
from netsolve.solver import solve
from netsolve.units import written

FOLDER = Path(__file__).parents[2] / "circuits"
CASES = [
    ("pot_hauler", "cruise", "screen and check valve", "oil cooler.flow"),
    ("two_coolers", "survey", "balancing orifice", "winch cooler.flow"),
    ("two_coolers", "idle", "as found", "tee-off.branch.total_pressure"),
    ("reference_diesel", "full", "discharge into exhaust", "coil.flow"),
]


def value(circuit, condition, change, target, settings):
    network = assemble([circuit.row(condition, change, settings)])
    solution = solve(network)
    name, _, what = target.rpartition(".")
    if what == "flow":
        return solution.flow[0, network.edge_index[circuit.as_found.parts[name].run]]
    return solution.pressure[0, network.node_index[name]]


def kind(circuit, name, parameter):
    row = circuit.as_found
    record = row.parts[name].component if name in row.parts else row.places[name].joint
    return keys(type(record))[parameter].kind


@pytest.mark.parametrize(("file", "condition", "change", "target"), CASES)
def test_every_strong_slope_agrees_with_central_differences(file, condition, change, target):
    circuit = netsolve.load(FOLDER / f"{file}.yaml")
    found = netsolve.solve(circuit).sensitivity(target, condition, change)
    tried = [each for each in found if each.value and each.parameter not in ("fouled", "speed")][:25]
    for each in tried:
        step, path = 1e-4 * abs(each.value), f"{each.name}.{each.parameter}"
        texts = [{path: written(each.value + s * step, kind(circuit, each.name, each.parameter))} for s in (1, -1)]
        ends = [value(circuit, condition, change, target, settings) for settings in texts]
        slope = (ends[0] - ends[1]) / (2 * step)
        assert slope == pytest.approx(each.slope, rel=1e-5, abs=1e-5 * abs(found[0].gain / each.value))


def test_they_are_ranked_by_what_a_tenth_more_gains():
    found = netsolve.solve(netsolve.load(FOLDER / "pot_hauler.yaml")).sensitivity("oil cooler.flow", "idle")
    gains = [abs(each.gain) for each in found]
    assert gains == sorted(gains, reverse=True)
    assert (found[0].name, found[0].parameter) == ("oil cooler", "bore")
    assert found[0].gain == pytest.approx(0.1 * found[0].slope * found[0].value)


def test_parts_that_are_not_fitted_move_nothing():
    found = netsolve.solve(netsolve.load(FOLDER / "pot_hauler.yaml")).sensitivity("oil cooler.flow", "idle")
    assert "mesh screen" not in {each.name for each in found}


def test_an_unknown_target_is_refused():
    result = netsolve.solve(netsolve.load(FOLDER / "pot_hauler.yaml"))
    with pytest.raises(KeyError, match="neither the flow of a run or part"):
        result.sensitivity("oil coler.flow")
    assert "bore" in declared(type(result.circuit.as_found.parts["feed hose"].component))
