"""Every figure in the words of the cookbook is one that the command above it prints today."""

from __future__ import annotations

import re
import shlex
from pathlib import Path

import pytest
from click.testing import CliRunner

from netsolve.cli import main

ROOT = Path(__file__).parents[2]
TEXT = (ROOT / "circuits" / "cookbook" / "README.md").read_text(encoding="utf-8")
QUESTIONS = re.findall(r"^## (\d+\. [^\n]*)\n(.*?)(?=^## |\Z)", TEXT, re.DOTALL | re.MULTILINE)
UNGUARDED = {"39": "12.5 1/2 16 5/8 19 3/4 25 1 32 1-1/4 38 1-1/2 13 1/2 20 3/4", "22": "1.1", "4": "16", "30": "2.4"}
"""Figures that no command prints: sizes of hoses and barbs in the trade, a rule of thumb, a bore as written."""


def printed(answer: str, monkeypatch: pytest.MonkeyPatch) -> str:
    """What the commands of an answer print, on one line."""
    monkeypatch.chdir(ROOT)
    commands = [line[2:] for line in answer.splitlines() if line.startswith("$ netsolve ")]
    assert commands
    outputs = []
    for command in commands:
        run = CliRunner().invoke(main, shlex.split(command)[1:], env={"COLUMNS": "80"})
        assert (run.exit_code, run.exception) == (0, None), run.output
        outputs.append(run.stdout)
    return " ".join(" ".join(outputs).split())


def words(answer: str) -> str:
    return " ".join(re.sub(r"```.*?```", "", answer, flags=re.DOTALL).split())


@pytest.mark.parametrize(("question", "answer"), QUESTIONS, ids=[question for question, _ in QUESTIONS])
def test_every_figure_of_an_answer_is_printed(question: str, answer: str, monkeypatch: pytest.MonkeyPatch) -> None:
    output = printed(answer, monkeypatch)
    figures = re.findall(r"\*\*(.+?)\*\*", words(answer))
    assert figures
    for figure in figures:
        assert re.search(rf"(?<![\w.]){re.escape(figure)}(?![\w.]*\d)", output), f"{figure} is not printed"


@pytest.mark.parametrize(("question", "answer"), QUESTIONS, ids=[question for question, _ in QUESTIONS])
def test_no_figure_of_an_answer_is_left_unguarded(question: str, answer: str) -> None:
    bare = re.sub(r"\*\*.+?\*\*", "", words(answer))
    number = question.partition(".")[0]
    left = re.sub(r"question \d+", "", bare)
    assert UNGUARDED.get(number, "").split() == re.findall(r"[\d][\d./-]*\b", left)


def test_the_questions_stand_in_order_and_once() -> None:
    numbers = [int(question.partition(".")[0]) for question, _ in QUESTIONS]
    assert numbers == sorted(set(numbers))
    assert len(numbers) >= 20
