"""The README does not lie: its commands run, its files are there, its snippets are read."""

import re
import shlex
from pathlib import Path

import pytest
from click.testing import CliRunner

import netsolve
from netsolve.assemble import assemble
from netsolve.cli import main
from netsolve.solver import solve

ROOT = Path(__file__).parents[2]
README = (ROOT / "README.md").read_text(encoding="utf-8")
COMMANDS = [line[2:] for line in README.splitlines() if line.startswith("$ netsolve ")]
SNIPPETS = re.findall(r"```yaml\n(.*?)```", README, re.DOTALL)


@pytest.mark.parametrize("command", COMMANDS)
def test_every_command_of_the_readme_runs(command: str, tmp_path: Path, monkeypatch: pytest.MonkeyPatch):
    monkeypatch.chdir(tmp_path)
    (tmp_path / "circuits").symlink_to(ROOT / "circuits")
    run = CliRunner().invoke(main, shlex.split(command)[1:])
    assert (run.exit_code, run.exception) == (0, None)


def test_the_python_of_the_readme_prints_the_verdict_and_the_speed(
    monkeypatch: pytest.MonkeyPatch, capsys: pytest.CaptureFixture[str]
):
    monkeypatch.chdir(ROOT)
    names: dict[str, object] = {}
    for code in re.findall(r"```python\n(.*?)```", README, re.DOTALL):
        exec(code, names)
    verdict, speed = capsys.readouterr().out.strip().splitlines()
    assert verdict.endswith("L/min: starved")
    found = re.fullmatch(r"served above (\d+) rpm", speed)
    assert found is not None
    circuit, flows = netsolve.load("circuits/pot_hauler.yaml"), []
    for rpm in (int(found[1]) - 10, int(found[1]) + 10):
        row = circuit.row("cruise", "as found", {"main.speed": f"{rpm} rpm"})
        flows.append(float(solve(assemble([row])).flow[0].min()))
    assert flows[0] < 1.9e-4 < flows[1]


@pytest.mark.parametrize("snippet", SNIPPETS)
def test_every_line_of_yaml_in_the_readme_stands_in_the_circuit(snippet: str):
    files = (ROOT / "circuits/pot_hauler.yaml", ROOT / "circuits/winch_tank.yaml")
    circuit = "\n".join(file.read_text(encoding="utf-8") for file in files)
    squeezed = re.sub(r"\s+", " ", circuit)
    for line in snippet.splitlines():
        assert re.sub(r"\s+", " ", line).strip() in squeezed


def test_every_file_that_the_readme_links_to_is_there():
    links = [link for link in re.findall(r"\]\(([^)#]+)\)", README) if "://" not in link]
    assert links
    assert [] == [link for link in links if not (ROOT / link).exists()]


def test_the_version_is_the_one_that_the_changelog_speaks_of():
    assert f"## {netsolve.__version__} " in (ROOT / "CHANGELOG.md").read_text(encoding="utf-8")
