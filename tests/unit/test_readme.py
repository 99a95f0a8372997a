"""The README does not lie: its commands run, its files are there, its snippets are read."""

import re
import shlex
from pathlib import Path

import pytest
from click.testing import CliRunner

import netsolve
from netsolve.cli import main

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


def test_the_python_of_the_readme_prints_the_verdict(
    monkeypatch: pytest.MonkeyPatch, capsys: pytest.CaptureFixture[str]
):
    (code,) = re.findall(r"```python\n(.*?)```", README, re.DOTALL)
    monkeypatch.chdir(ROOT)
    exec(code, {})
    assert capsys.readouterr().out.strip().endswith("L/min: starved")


@pytest.mark.parametrize("snippet", SNIPPETS)
def test_every_line_of_yaml_in_the_readme_stands_in_the_circuit(snippet: str):
    circuit = (ROOT / "circuits/pot_hauler.yaml").read_text(encoding="utf-8")
    squeezed = re.sub(r"\s+", " ", circuit)
    for line in snippet.splitlines():
        assert re.sub(r"\s+", " ", line).strip() in squeezed


def test_every_file_that_the_readme_links_to_is_there():
    links = [link for link in re.findall(r"\]\(([^)#]+)\)", README) if "://" not in link]
    assert links
    assert [] == [link for link in links if not (ROOT / link).exists()]


def test_the_version_is_the_one_that_the_changelog_speaks_of():
    assert f"## {netsolve.__version__} " in (ROOT / "CHANGELOG.md").read_text(encoding="utf-8")
