"""The questions beside the tug's circuit: every command runs, and every figure in bold is what it prints."""

import re
import shlex
from pathlib import Path

import pytest
from click.testing import CliRunner

from netsolve.cli import main

ROOT = Path(__file__).parents[2]
TEXT = (ROOT / "circuits/faults/README.md").read_text(encoding="utf-8")
QUESTIONS = re.findall(r"^## (.*?)\n(.*?)(?=^## |\Z)", TEXT, re.MULTILINE | re.DOTALL)


def words(text: str) -> str:
    return " ".join(text.split())


@pytest.mark.parametrize(("title", "body"), QUESTIONS, ids=[title.split(".")[0] for title, _ in QUESTIONS])
def test_every_figure_in_bold_is_what_the_commands_above_it_print(
    title: str, body: str, monkeypatch: pytest.MonkeyPatch
):
    monkeypatch.chdir(ROOT)
    said = ""
    for line in body.splitlines():
        if line.startswith("$ netsolve "):
            run = CliRunner().invoke(main, shlex.split(line)[2:])
            assert (run.exit_code, run.exception) == (0, None)
            said += f" {words(run.output)}"
    assert said
    missing = [bold for bold in re.findall(r"\*\*(.+?)\*\*", body, re.DOTALL) if words(bold) not in said]
    assert [] == missing


def test_there_is_a_question_for_each_that_is_asked_of_a_technician():
    numbers = {title.split(".")[0] for title, _ in QUESTIONS}
    assert {"10", "11", "12", "31", "32", "33", "37"} <= numbers
