"""Bad circuit files, each with what its writer should read beside it."""

from pathlib import Path

import pytest

from netsolve.problems import CircuitError, Problem, Span
from netsolve.read import read
from netsolve.registry import Registry
from netsolve.source import open_source

FOLDER = Path(__file__).parent
CASES = sorted(path.stem for path in FOLDER.glob("*.yaml"))


def place(span: Span) -> str:
    start = span.column - 1
    return f"line {span.line} '{span.text[start : start + span.width]}'"


def told(problem: Problem) -> str:
    assert problem.at is not None
    lines = [f"{place(problem.at)}: {problem.severity}[{problem.code}]: {problem.message}"]
    if problem.also:
        lines.append(f"  also {place(problem.also)}")
    if problem.help:
        lines.append(f"  help: {problem.help}")
    return "\n".join(lines)


@pytest.mark.parametrize("case", CASES)
def test_a_bad_file_is_told_once_at_its_place_with_a_cure(case: str) -> None:
    with pytest.raises(CircuitError) as raised:
        read(open_source(FOLDER / f"{case}.yaml"), Registry.built_in(), FOLDER)
    expected = (FOLDER / f"{case}.txt").read_text(encoding="utf-8").strip()
    assert "\n".join(told(problem) for problem in raised.value.problems) == expected


def test_there_are_bad_files_to_read() -> None:
    assert len(CASES) > 50
