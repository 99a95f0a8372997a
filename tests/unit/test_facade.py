"""The line run end to end from Python: load, solve, compare, and what they raise."""

from __future__ import annotations

from pathlib import Path

import pytest

import netsolve
from netsolve.circuit import Circuit
from netsolve.facade import solve as facade_solve
from netsolve.registry import Registry
from tests.commands import POT_HAULER, edited, written

RAISES = '''"""A plugin."""
from netsolve.plugin import Component, quantity


class DripTray(Component):
    """A tray."""

    bore: float = quantity("length", "inside diameter", above=0)
    sources = ("none",)

    def pressure_drop(self, flow, water):
        if getattr(flow, "ndim", 0) < 2:
            return 1e7 * flow
        raise RuntimeError("the tray overflows")
'''


@pytest.fixture
def circuit() -> Circuit:
    return netsolve.load(POT_HAULER)


def laws(circuit: Circuit) -> list[object]:
    """What matters of a circuit besides where it is written."""
    return [
        (
            row.condition,
            row.change,
            {name: (part.component, part.fitted, part.min_flow) for name, part in row.parts.items()},
        )
        for row in circuit.rows
    ]


def test_a_file_and_its_text_are_the_same_circuit(circuit: Circuit) -> None:
    text = POT_HAULER.read_text(encoding="utf-8")
    for other in (netsolve.loads(text), netsolve.loads(text.encode()), netsolve.load(str(POT_HAULER))):
        assert laws(other) == laws(circuit)
    assert circuit.file == str(POT_HAULER)


def test_what_is_wrong_is_raised_as_problems_in_file_order() -> None:
    text = edited("length: 2.5 m", "lenght: 2.5 m").replace("mesh: 60", "mesh: 60 mm")
    with pytest.raises(netsolve.CircuitError) as raised:
        netsolve.loads(text)
    problems = raised.value.problems
    assert [(each.code, each.at and each.at.line) for each in problems] == [
        ("unknown-parameter", 41),
        ("wrong-dimension", 42),
    ]
    assert "did you mean 'length'?" in str(raised.value)


def test_faults_of_the_shape_are_raised_too() -> None:
    with pytest.raises(netsolve.CircuitError) as raised:
        netsolve.loads(edited("joints:\n", "joints:\n  spare: {type: tank, level: 1 m}\n"))
    assert [each.code for each in raised.value.problems] == ["unused-joint"]


def test_every_row_is_solved_unless_some_are_asked_for(circuit: Circuit) -> None:
    assert len(netsolve.solve(circuit).rows) == 15
    some = netsolve.solve(circuit, conditions=["idle", "full"], changes=["screen"])
    assert [(row.condition, row.change) for row in some] == [("idle", "screen"), ("full", "screen")]
    assert [(state.condition, state.change) for state in some.states] == [("idle", "screen"), ("full", "screen")]


def test_a_row_solved_alone_has_the_flows_that_it_has_among_others(circuit: Circuit) -> None:
    alone = netsolve.solve(circuit, conditions=["cruise"], changes=["screen"])["cruise", "screen"]
    among = netsolve.solve(circuit)["cruise", "screen"]
    for name, run in alone.runs.items():
        assert run.flow == pytest.approx(among.runs[name].flow, rel=1e-6)


@pytest.mark.parametrize("names", [{"conditions": ["storm"]}, {"changes": ["scren"]}])
def test_an_unknown_condition_or_change_is_a_key_error_that_lists_them(
    circuit: Circuit, names: dict[str, list[str]]
) -> None:
    with pytest.raises(KeyError, match="there are: "):
        netsolve.solve(circuit, **names)  # type: ignore[arg-type]


def test_parts_runs_and_joints_are_found_by_name(circuit: Circuit) -> None:
    row = netsolve.solve(circuit, conditions=["idle"], changes=["as found"])["idle"]
    assert row.part("oil cooler").flow == row.run("oil cooler branch").flow
    assert set(row.joint("tee-off").ports) == {"common", "straight", "branch"}
    for lookup in (row.part, row.run, row.joint):
        with pytest.raises(KeyError, match="there are: "):
            lookup("nothing")


def test_sentences_use_the_system_asked_for(circuit: Circuit) -> None:
    rows = [facade_solve(circuit, conditions=["idle"], system=system)["idle"] for system in (None, "us")]
    metric, us = (next(each.message for each in row.findings if each.code == "starved") for row in rows)
    assert "of 5.68 L/min (" in metric
    assert "of 1.5 gpm (" in us


def test_an_effect_is_a_subtraction_between_rows(circuit: Circuit) -> None:
    result = netsolve.solve(circuit)
    effects = {(each.change, each.condition, each.about): each for each in netsolve.compare(result)}
    effect = effects["screen", "full", "oil cooler"]
    before, after = (result["full", change].part("oil cooler").flow for change in ("as found", "screen"))
    assert before is not None
    assert after is not None
    assert (effect.before, effect.after) == (before, after)
    assert effect.difference == pytest.approx(after - before)


def test_a_csv_has_a_line_for_each_part_in_each_row(circuit: Circuit, tmp_path: Path) -> None:
    result = netsolve.solve(circuit)
    result.to_csv(tmp_path / "x.csv")
    lines = (tmp_path / "x.csv").read_text(encoding="utf-8").splitlines()
    assert lines[0].startswith("condition,change,part,type,run,fitted,height_m,flow_m3_s,")
    assert len(lines) == 1 + 15 * len(circuit.as_found.parts)


def test_a_component_from_elsewhere_that_raises_is_a_problem_where_it_is_asked_for(tmp_path: Path) -> None:
    plugin = written(tmp_path, RAISES, "drip_tray.py")
    registry = Registry.built_in().with_folder(tmp_path)
    text = edited("{type: rated_loss, drop: 12 kPa, at: 150 L/min}", "{type: drip_tray, bore: 32 mm}")
    circuit = netsolve.loads(text, registry=registry)
    with pytest.raises(netsolve.CircuitError) as raised:
        netsolve.solve(circuit, registry=registry)
    (problem,) = raised.value.problems
    assert problem.message == f"'drip_tray' fails: {plugin}, line 14: RuntimeError: the tray overflows"
    assert problem.at is not None
    assert (problem.at.line, problem.at.text.strip().partition(":")[0]) == (36, "- injection ring")


def test_a_fault_of_our_own_is_not_blamed_on_anybody(circuit: Circuit, monkeypatch: pytest.MonkeyPatch) -> None:
    def fails(*_: object, **__: object) -> None:
        raise ZeroDivisionError("ours")

    monkeypatch.setattr("netsolve.warmed.solve", fails)
    with pytest.raises(ZeroDivisionError, match="ours"):
        netsolve.solve(circuit)
