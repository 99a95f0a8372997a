"""Rows without an answer: status 3, said in words, while the rows that settled are printed all the same."""

from __future__ import annotations

from pathlib import Path

import pytest

import netsolve.solver
from tests.commands import POT_HAULER, Shell, edited, written

NO_NUMBER = '''"""A plugin."""
import numpy as np

from netsolve.plugin import Component, quantity


class Riddle(Component):
    """A part whose loss, when rows are solved, is no number where it is narrow, so that such a row cannot settle."""

    bore: float = quantity("length", "inside diameter", above=0)
    sources = ("none: made up for the test",)

    def pressure_drop(self, flow, water):
        return flow * np.where((np.asarray(self.bore) < 0.012) & (np.ndim(flow) == 2), np.nan, 1e7)
'''

ROWS = 15
UNSETTLED = {(condition, "screen") for condition in ("idle", "cruise", "full")} | {
    (condition, "screen and check valve") for condition in ("idle", "cruise", "full")
}


@pytest.fixture
def shell(capsys: pytest.CaptureFixture[str], monkeypatch: pytest.MonkeyPatch) -> Shell:
    monkeypatch.setenv("COLUMNS", "80")
    return Shell(capsys)


@pytest.fixture
def riddle(tmp_path: Path) -> tuple[Path, ...]:
    """A circuit whose change `screen` makes a part so narrow that no row can settle, and how to find its kind."""
    written(tmp_path, NO_NUMBER, "riddle.py")
    text = edited("{type: strainer, cv: 8, mesh: 60, fitted: no}", "{type: riddle, bore: 16 mm}")
    text = text.replace("{fit: mesh screen}", "{set: {mesh screen.bore: 10 mm}}")
    return written(tmp_path, text), Path("--plugins"), tmp_path


def test_rows_that_settled_are_printed_as_data_though_others_did_not(shell: Shell, riddle: tuple[Path, ...]) -> None:
    done = shell("solve", *riddle, "--json", "--strict")
    assert done.status == 3
    rows = done.json["rows"]
    assert {(row["condition"], row["change"]) for row in rows if not row["settled"]} == UNSETTLED
    assert len(rows) == ROWS
    for row in rows:
        if row["settled"]:
            assert row["runs"]["intake"]["flow_m3_s"] > 0
            continue
        assert not {"runs", "joints", "parts"} & set(row)
        assert set(row["unsettled"]) == {"run", "imbalance_pa"}
        assert [each["code"] for each in row["findings"]] == ["unsettled"]


def test_rows_that_settled_stand_in_the_table_beside_those_that_did_not(shell: Shell, riddle: tuple[Path, ...]) -> None:
    done = shell("solve", *riddle)
    assert done.status == 3
    assert done.out.count("NOT SETTLED:") == len(UNSETTLED)
    assert done.out.count("runs: intake ") == ROWS - len(UNSETTLED)
    assert "of 15 rows, 6 not settled" in done.words


def test_a_comparison_has_no_difference_where_a_row_has_no_answer(shell: Shell, riddle: tuple[Path, ...]) -> None:
    done = shell("compare", *riddle, "--json")
    assert done.status == 3
    seen = 0
    for effect in done.json["effects"]:
        if (effect["condition"], effect["change"]) in UNSETTLED:
            assert (effect["after"], effect["difference"], effect["verdict_after"]) == (None, None, "unsettled")
            seen += 1
        else:
            assert effect["difference"] is not None
    assert seen == 2 * len(UNSETTLED)  # two needs
    assert "→ ? unknown" in shell("compare", *riddle).words


def test_a_picture_says_that_its_row_did_not_settle(shell: Shell, riddle: tuple[Path, ...], tmp_path: Path) -> None:
    done = shell("draw", *riddle, "--condition", "idle", "--change", "screen", "-o", tmp_path / "x.dot")
    assert done.status == 3
    assert "id not settle" in (tmp_path / "x.dot").read_text(encoding="utf-8")


def test_a_solver_that_runs_out_of_steps_gives_no_numbers(shell: Shell, monkeypatch: pytest.MonkeyPatch) -> None:
    monkeypatch.setattr(netsolve.solver, "MOST_ITERATIONS", 1)
    data = shell("solve", POT_HAULER, "--json")
    assert data.status == 3
    assert [row["settled"] for row in data.json["rows"]] == [False] * ROWS
    assert all(row["unsettled"]["imbalance_pa"] > 0 for row in data.json["rows"])
    table = shell("solve", POT_HAULER, "--condition", "idle", "--change", "as found")
    assert table.status == 3
    assert "Did not settle in 2 steps" in table.words  # a step, and one that begins anew
    assert "runs:" not in table.out
