"""What a technician reads in the terminal: 80 columns, plain words, no user text interpreted."""

from __future__ import annotations

import os
import re
import subprocess
import sys
from pathlib import Path
from typing import TYPE_CHECKING

import pytest
from rich.console import Console

from netsolve.study.comparison import compare
from netsolve.views.effects import compare_table
from netsolve.views.table import solve_table
from tests.unit.answers import answer, blanked, pot_hauler, row, unsettled

if TYPE_CHECKING:
    from rich.console import RenderableType

HOSTILE = '[/red] [bold]<b> "quoted" → javascript:alert(1) ' + "x" * 300


def printed(table: RenderableType) -> list[str]:
    console = Console(width=80, color_system=None, force_terminal=False)
    with console.capture() as capture:
        console.print(table)
    return capture.get().splitlines()


def the_line(lines: list[str], *words: str) -> str:
    return next(line for line in lines if all(word in line for word in words))


def test_the_first_lines_say_what_is_worst() -> None:
    head = " ".join(printed(solve_table(pot_hauler(), "metric"))[:4])
    assert "trouble in 2 of 4 rows" in head
    assert "idle, as found: oil cooler STARVED, 5.3 L/min, needs at least 5.68 L/min" in " ".join(head.split())


def test_each_need_has_its_verdict_flow_in_both_systems_and_need_on_one_line() -> None:
    lines = printed(solve_table(pot_hauler(), "metric"))
    assert "STARVED oil cooler 5.3 L/min (1.4 gpm) ≥ 5.68 L/min (1.5 gpm)" == " ".join(
        the_line(lines, "STARVED", "(1.4 gpm)").split()
    )


def test_the_users_system_comes_first() -> None:
    assert "1.4 gpm (5.3 L/min)" in the_line(printed(solve_table(pot_hauler(), "us")), "STARVED", "(5.3")


def test_every_runs_flow_is_listed() -> None:
    line = the_line(printed(solve_table(answer(row()), "metric")), "runs:")
    assert "runs: intake 42.7 L/min, engine 37.8 L/min, oil cooler branch 4.9 L/min" == line.strip()


def test_findings_help_assumed_values_and_notes_are_sentences_below() -> None:
    text = " ".join(" ".join(printed(solve_table(answer(row()), "metric"))).split())
    assert "fault: 'oil cooler' gets 4.9 of 5.68 L/min at idle: starved;" in text
    assert "help: a bore of 3/4 in for the feed hose would give it more" in text
    assert "roughness 1.5e-06 m of oil cooler: drawn tube" in text
    assert "note: the bore steps from 16 mm to 19 mm at 'check valve'" in text


def test_a_row_that_did_not_settle_says_so_and_shows_no_flow() -> None:
    lines = printed(solve_table(answer(unsettled()), "metric"))
    text = " ".join(" ".join(lines).split())
    assert (
        "NOT SETTLED: Did not settle in 60 steps, so there is no answer; 'oil cooler branch' is off by 0.34 kPa."
        in text
    )
    assert "1 row, none in trouble, 1 not settled" in text
    assert "L/min" not in text


def test_a_shut_run_says_shut_in_words() -> None:
    lines = printed(solve_table(answer(blanked(row(), "oil cooler branch")), "metric"))
    assert "SHUT oil cooler no flow" in " ".join(the_line(lines, "SHUT", "no flow", "≥").split())
    assert "oil cooler branch shut" in the_line(lines, "runs:")


@pytest.mark.parametrize("name", [HOSTILE, "[/]", "\x1b[31mred", "[link=javascript:x]y[/link]"])
def test_user_text_is_printed_as_it_is_within_80_columns(name: str) -> None:
    result = answer(row(oil_cooler=name), row(change="closed", oil_cooler=name), name=name)
    for table in (solve_table(result, "metric"), compare_table(compare(result), "us")):
        lines = printed(table)
        assert 80 >= max(len(line) for line in lines)
        shown = "".join("".join(lines).split())
        assert "\x1b" not in shown
    first = name.replace("\x1b", "\N{REPLACEMENT CHARACTER}").split()[0]
    assert first in " ".join(printed(solve_table(result, "metric"))[:1])


def test_values_asked_for_are_shown_with_their_unit() -> None:
    show = [
        ("raw-water pump", "inlet_pressure"),
        ("tee-off", "end", "flow"),
        ("oil cooler", "type"),
        ("intake", "missing"),
    ]
    lines = printed(solve_table(answer(row()), "metric", show=show))
    assert "raw-water pump.inlet_pressure: 9 kPa (1.31 psi)" == the_line(lines, "inlet_pressure").strip()
    assert "tee-off.end.flow: 42.7 L/min (11.3 gpm)" == the_line(lines, "tee-off").strip()
    assert "oil cooler.type: cooling_coil" == the_line(lines, "oil cooler.type").strip()
    assert "intake.missing: none" == the_line(lines, "intake.missing").strip()


@pytest.mark.parametrize(
    "path", [("nothing", "flow"), ("oil cooler", "colour"), ("tee-off", "branch", "flow"), ("sea",)]
)
def test_a_value_that_is_not_there_is_refused_with_what_there_is(path: tuple[str, ...]) -> None:
    with pytest.raises(KeyError, match=r"there is no value|it has:"):
        solve_table(answer(row()), "metric", show=[path])


def test_a_comparison_shows_before_and_after_the_signed_difference_and_both_verdicts() -> None:
    before, after = row(litres=5.9, verdict="marginal"), row(change="screen", litres=4.9)
    lines = printed(compare_table(compare(answer(before, after)), "metric"))
    text = " ".join(the_line(lines, "oil cooler").split())
    assert "idle oil cooler 5.9 → 4.9 -1 (-17 %) marginal → STARVED" == text
    assert "in L/min" in lines[0]


def test_a_comparison_with_a_row_that_did_not_settle_says_so() -> None:
    text = " ".join(
        " ".join(printed(compare_table(compare(answer(row(), unsettled(change="screen"))), "metric"))).split()
    )
    assert "unknown" in text
    assert "NOT" in text
    assert "SETTLED" in text


def test_a_comparison_of_nothing_says_so() -> None:
    assert ["No change, or no part with a need, to compare."] == printed(compare_table((), "metric"))


def test_colour_is_for_terminals_only_and_given_up_where_no_colour_is_wanted() -> None:
    def printed(**env: str) -> str:
        command = [sys.executable, "-c", "from netsolve.cli import main; main()", "solve", "circuits/pot_hauler.yaml"]
        plain = {name: value for name, value in os.environ.items() if name not in ("NO_COLOR", "FORCE_COLOR")}
        root = Path(__file__).parents[2]
        done = subprocess.run(command, env={**plain, **env}, cwd=root, capture_output=True, text=True, check=True)
        return done.stdout

    red = re.compile(r"\x1b\[[\d;]*3[0-7]m")
    assert "\x1b" not in printed()
    assert red.search(printed(FORCE_COLOR="1", TERM="xterm"))
    without = printed(FORCE_COLOR="1", TERM="xterm", NO_COLOR="1")
    assert red.search(without) is None
    assert "STARVED" in without
