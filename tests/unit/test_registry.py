"""The registry knows names without importing, imports on demand, and blames a plugin by file and line."""

import subprocess
import sys
from pathlib import Path

import pytest

from netsolve.component import Component, Joint
from netsolve.problems import CircuitError
from netsolve.read import read
from netsolve.registry import PluginError, Registry
from netsolve.source import parse

GOOD = '''"""A plugin."""
from netsolve.plugin import Component, quantity


class DripTray(Component):
    """A tray."""

    bore: float = quantity("length", "inside diameter", above=0)
    sources = ("none",)

    def pressure_drop(self, flow, water):
        return 1e6 * flow

    def check(self):
        return [f"a tray of {1 / (self.bore - 0.016)}"] if self.bore < 0.02 else []
'''

CIRCUIT = """format: 1
joints:
  sea: {type: sea_inlet, height: -0.5 m, bore: 38 mm}
  side: {type: discharge, height: 0.2 m, bore: 16 mm}
runs:
  branch:
    from: sea
    to: side
    parts:
      - tray: {type: drip_tray, bore: 16 mm}
"""


@pytest.fixture
def folder(tmp_path: Path) -> Path:
    (tmp_path / "drip_tray.py").write_text(GOOD)
    return tmp_path


def test_knowing_the_names_imports_no_component() -> None:
    script = (
        "import sys; from netsolve.registry import Registry; names = Registry.built_in().names();"
        "assert 'hose' in names and 'tee' in names, names;"
        "print([name for name in sys.modules if name.startswith('netsolve.components.')])"
    )
    done = subprocess.run([sys.executable, "-c", script], capture_output=True, text=True, check=True)
    assert done.stdout.strip() == "[]"


@pytest.mark.parametrize("name", Registry.built_in().names())
def test_every_built_in_name_loads_a_class_of_its_own_module(name: str) -> None:
    kind = Registry.built_in().component(name)
    assert issubclass(kind, Component | Joint)
    assert kind.__module__ == f"netsolve.components.{name}"


def test_a_folder_adds_its_files_and_leaves_the_first_registry_alone(folder: Path) -> None:
    first = Registry.built_in()
    both = first.with_folder(folder)
    assert both.component("drip_tray").__name__ == "DripTray"
    assert both.origin("drip_tray") == str(folder / "drip_tray.py")
    assert "drip_tray" not in first.names()


def test_tests_and_files_for_other_programs_are_no_plugins(folder: Path) -> None:
    known = set(Registry.built_in().names())
    for name in ("test_drip_tray.py", "conftest.py", "_shared.py", ".hidden.py", "setup.py", "notes.txt", "_table.csv"):
        (folder / name).write_text("")
    both = Registry.built_in().with_folder(folder)
    assert {"drip_tray"} == set(both.names()) - known
    assert set(both.rule_entries) == set(Registry.built_in().rule_entries)


def test_a_name_taken_twice_names_both_origins(tmp_path: Path) -> None:
    (tmp_path / "hose.py").write_text(GOOD)
    with pytest.raises(PluginError) as raised:
        Registry.built_in().with_folder(tmp_path)
    assert str(raised.value) == f"'hose' is there twice: from netsolve and {tmp_path / 'hose.py'}"


def test_a_missing_folder_is_told() -> None:
    with pytest.raises(PluginError, match="there is no folder 'nowhere'"):
        Registry.built_in().with_folder("nowhere")


@pytest.mark.parametrize(
    ("content", "told"),
    [
        ("\n\nraise RuntimeError('no licence')\n", "line 3: RuntimeError: no licence"),
        ("class (:\n", "line 1: SyntaxError: invalid syntax"),
        ("import sys\nsys.exit(3)\n", "line 2: SystemExit: 3"),
    ],
)
def test_a_plugin_that_fails_to_import_is_a_problem_where_it_is_asked_for(
    tmp_path: Path, content: str, told: str
) -> None:
    file = tmp_path / "drip_tray.py"
    file.write_text(content)
    registry = Registry.built_in().with_folder(tmp_path)
    before = set(sys.modules)
    with pytest.raises(CircuitError) as raised:
        read(parse(CIRCUIT), registry)
    (problem,) = raised.value.problems
    assert problem.code == "plugin-failed"
    assert problem.message == f"'drip_tray' cannot be loaded: {file}, {told}"
    assert problem.at is not None
    assert (problem.at.line, problem.at.column) == (10, 22)
    assert [name for name in set(sys.modules) - before if name.startswith("netsolve_plugins.")] == []


def test_a_broken_plugin_that_is_not_used_disturbs_nothing(folder: Path) -> None:
    (folder / "broken.py").write_text("raise RuntimeError")
    registry = Registry.built_in().with_folder(folder)
    circuit = read(
        parse(CIRCUIT.replace("16 mm}\n", "25 mm}\n").replace("bore: 25 mm}\nruns", "bore: 16 mm}\nruns")), registry
    )
    assert circuit.as_found.parts["tray"].type == "drip_tray"


def test_a_plugin_that_raises_in_its_check_is_a_problem_at_the_part(folder: Path) -> None:
    with pytest.raises(CircuitError) as raised:
        read(parse(CIRCUIT), Registry.built_in().with_folder(folder))
    (problem,) = raised.value.problems
    where = f"{folder / 'drip_tray.py'}, line 15"
    assert problem.message == f"'DripTray' fails: {where}: ZeroDivisionError: float division by zero"


def test_a_module_without_a_component_says_what_is_wanted(tmp_path: Path) -> None:
    (tmp_path / "nothing.py").write_text("x = 1\n")
    with pytest.raises(PluginError, match="one Component or Joint class is wanted, it has 0"):
        Registry.built_in().with_folder(tmp_path).component("nothing")


def test_a_plugin_for_another_contract_is_refused(folder: Path) -> None:
    (folder / "drip_tray.py").write_text(GOOD.replace("    sources", "    contract = 2\n    sources"))
    with pytest.raises(PluginError, match="keeps contract 2, this netsolve knows 1"):
        Registry.built_in().with_folder(folder).component("drip_tray")


def test_a_file_with_a_rule_is_not_taken_for_a_component(folder: Path) -> None:
    (folder / "too_warm.py").write_text("raise RuntimeError\nclass TooWarm(Rule):\n    pass\n")
    registry = Registry.built_in().with_folder(folder)
    assert "too_warm" not in registry.names()
    assert "too_warm" in registry.rule_entries


@pytest.mark.parametrize(
    ("typed", "help"),
    [
        ("Hose", "did you mean 'hose'?"),
        ("check valve", "did you mean 'check_valve'?"),
        ("sea strainer", "write type: strainer"),
        ("skin_fitting", "write type: sea_inlet or discharge"),
        ("non_return_valv", "write type: check_valve"),
        ("qqqq", "'netsolve components' lists the types; one of your own needs --plugins FOLDER"),
    ],
)
def test_a_wrong_type_is_answered_with_the_right_one(typed: str, help: str) -> None:
    assert Registry.built_in().suggest(typed) == help
