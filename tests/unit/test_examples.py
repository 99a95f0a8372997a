"""The example that the catalogue gives of each component can be pasted into a circuit, which then has an answer."""

from __future__ import annotations

import pytest

import netsolve
from netsolve.component import Component, Joint, Opening
from netsolve.registry import Registry
from netsolve.views.component_page import example_lines

BUILT_IN = Registry.built_in()

PIPE = "{type: hose, bore: 16 mm, length: 1 m}"

AROUND_A_PART = """format: 1
circuit: example
gallon: us
water: {{kind: sea, temperature: 15 degC, salinity: 35 g/kg}}
engines: {{main: {{speed: 2000 rpm, rated_speed: 2600 rpm}}}}
joints:
  bucket: {{type: tank, level: 1 m}}
  overboard: {{type: discharge, height: -0.2 m, bore: 32 mm}}
runs:
  line:
    from: bucket
    to: overboard
    parts:
{example}
      - pipe: {pipe}
"""


def around_a_joint(name: str, kind: type[Joint]) -> str:
    """A circuit in which water comes from tanks to every port of a joint, or goes to its one port."""
    ports = kind.ports or ("", "")
    ends = [f"{name.replace('_', ' ')}{port and f'.{port}'}" for port in ports]
    tanks = [f"  bucket {n}: {{type: tank, level: {1 - 0.2 * n:.1f} m}}" for n in range(len(ends))]
    runs = [
        f"  run {n}: {{from: bucket {n}, to: {end}, direction: either, parts: [pipe {n}: {PIPE}]}}"
        for n, end in enumerate(ends)
    ]
    water = "water: {kind: sea, temperature: 15 degC, salinity: 35 g/kg}"
    head = f"format: 1\ncircuit: example\ngallon: us\n{water}\njoints:\n{example_lines(name, kind)}"
    return "\n".join([head, *tanks, "runs:", *runs]) + "\n"


@pytest.mark.parametrize("name", BUILT_IN.names())
def test_every_example_can_be_pasted_and_solved(name: str) -> None:
    kind = BUILT_IN.component(name)
    if issubclass(kind, Component):
        example = "\n".join(f"    {line}" for line in example_lines(name, kind).splitlines())
        text = AROUND_A_PART.format(example=example, pipe=PIPE)
    else:
        text = around_a_joint(name, kind)
    circuit = netsolve.loads(text)
    assert circuit.notes == ()
    (row,) = netsolve.solve(circuit).rows
    assert row.settled
    things = row.parts if issubclass(kind, Component) else row.joints
    assert things[name.replace("_", " ")].type == name
    assert max(abs(run.flow or 0.0) for run in row.runs.values()) > 1e-5 or issubclass(kind, Opening)


@pytest.mark.parametrize("name", BUILT_IN.names())
def test_an_example_is_as_wide_as_a_page(name: str) -> None:
    assert 80 >= max(len(line) for line in example_lines(name, BUILT_IN.component(name)).splitlines())
