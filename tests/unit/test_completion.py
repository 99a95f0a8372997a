"""Shells complete commands, options, and the names that stand in the circuit file."""

from __future__ import annotations

import os
import shlex
import shutil
import subprocess
import sys
from pathlib import Path

import pytest

from tests.commands import POT_HAULER, Shell, written

ROOT = POT_HAULER.parents[1]
CALL = "import sys; sys.argv[0] = 'netsolve'; from netsolve.cli import main; main(prog_name='netsolve')"


@pytest.fixture
def shell(capsys: pytest.CaptureFixture[str]) -> Shell:
    return Shell(capsys)


def completed(shell_name: str, line: str) -> list[str]:
    """What is offered at the end of a line, as the shell's own code would ask for it."""
    typed = "" if line.endswith(" ") else shlex.split(line)[-1]
    words = {"COMP_WORDS": line, "COMP_CWORD": str(len(shlex.split(line)) - (1 if typed else 0))}
    if shell_name == "fish":
        words["COMP_CWORD"] = typed
    env = {**os.environ, "_NETSOLVE_COMPLETE": f"{shell_name}_complete", **words}
    run = subprocess.run([sys.executable, "-c", CALL], env=env, cwd=ROOT, capture_output=True, text=True, check=False)
    assert "" == run.stderr
    lines = run.stdout.splitlines()
    if shell_name == "zsh":  # kind, value and help each on a line of their own
        return lines[1::3]
    return [each.partition(",")[2].partition("\t")[0] for each in lines]


@pytest.mark.parametrize("name", ["bash", "zsh", "fish"])
def test_commands_options_conditions_changes_and_parts_are_completed(name: str) -> None:
    file = "circuits/pot_hauler.yaml"
    assert ["report"] == completed(name, "netsolve repo")
    assert ["--condition"] == completed(name, f"netsolve solve {file} --cond")
    assert ["idle", "cruise", "full"] == completed(name, f"netsolve solve {file} --condition ")
    assert ["screen", "screen and check valve"] == completed(name, f"netsolve draw {file} --change SC")
    assert "as found" in completed(name, f"netsolve draw {file} --change ")
    assert ["oil cooler", "oil cooler branch"] == completed(name, f"netsolve solve {file} --sensitivity oil")
    assert ["mesh screen"] == completed(name, f"netsolve flush {file} mesh")
    assert ["feed hose."] == completed(name, f"netsolve size {file} feed")
    assert ["intake"] == completed(name, f"netsolve solve {file} --sensitivity int")
    assert ["tee-off."] == completed(name, f"netsolve solve {file} --show tee")
    assert ["main.speed"] == completed(name, f"netsolve sweep {file} --vary mai")
    assert ["overboard."] == completed(name, f"netsolve sweep {file} --find over")
    assert ["oil cooler", "oil cooler branch"] == completed(name, f"netsolve sweep {file} --for oil")
    assert ["water.temperature"] == completed(name, f"netsolve compare {file} --set wat")


def test_a_file_with_faults_completes_too_and_one_that_is_none_completes_nothing(tmp_path: Path) -> None:
    faulty = written(
        tmp_path, "format: 1\nruns:\n  a: {parts: [{my cooler: {type: nonsense}}]}\nconditions: {calm: 7}\n"
    )
    assert ["calm"] == completed("zsh", f"netsolve solve {faulty} --condition ")
    assert ["my cooler"] == completed("zsh", f"netsolve flush {faulty} ")
    assert [] == completed("zsh", "netsolve solve nowhere.yaml --condition ")
    assert [] == completed("zsh", f"netsolve solve {written(tmp_path, 'a: [', 'bad.yaml')} --condition ")


@pytest.mark.parametrize("name", ["bash", "zsh", "fish"])
def test_the_command_prints_what_a_shell_reads(name: str, shell: Shell) -> None:
    done = shell("completion", name)
    assert 0 == done.status
    assert "_NETSOLVE_COMPLETE" in done.out
    assert f"{name}_complete" in done.out


@pytest.mark.skipif(shutil.which("bash") is None, reason="no bash: completion in one is NOT TESTED")
def test_in_a_real_bash_a_name_with_spaces_is_one_word(shell: Shell, tmp_path: Path) -> None:
    command = tmp_path / "netsolve"
    command.write_text(f'#!/bin/sh\nexec {sys.executable} -c "{CALL}" "$@"\n', encoding="utf-8")
    command.chmod(0o755)
    source = written(tmp_path, shell("completion", "bash").out, "completion.bash")
    script = f"""
. {source}
COMP_WORDS=(netsolve draw {shlex.quote(str(POT_HAULER))} --change 'screen\\ a')  # as bash keeps what was typed
COMP_CWORD=4
_netsolve_completion netsolve
printf '%s|' "${{COMPREPLY[@]}}"
"""
    env = {**os.environ, "PATH": f"{tmp_path}:{os.environ['PATH']}", "PYTHONPATH": str(ROOT)}
    run = subprocess.run(["bash", "--norc", "-c", script], env=env, capture_output=True, text=True, check=True)
    assert "screen\\ and\\ check\\ valve|" == run.stdout


def test_a_word_too_long_to_be_a_file_completes_nothing_and_says_nothing() -> None:
    assert [] == completed("zsh", f"netsolve flush {'x' * 300} --change {'y' * 300}")
    assert [] == completed("zsh", f"netsolve draw --change a {'x' * 300} --condition ")
