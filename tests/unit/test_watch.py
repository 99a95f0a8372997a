"""`watch` solves on every save, says only what is new, and outlives whatever is saved in between."""

from __future__ import annotations

import os
import re
import signal
import subprocess
import sys
import time
from pathlib import Path

import pytest

import netsolve
from netsolve.commands.watch import Watcher, saves
from netsolve.views.news import news
from tests.commands import POT_HAULER, Shell, edited, written


@pytest.fixture
def shell(capsys: pytest.CaptureFixture[str]) -> Shell:
    return Shell(capsys)


def solved(text: str) -> netsolve.result.Result:  # type: ignore[name-defined]
    return netsolve.solve(netsolve.loads(text))


@pytest.fixture
def file(tmp_path: Path) -> Path:
    return written(tmp_path, POT_HAULER.read_bytes())


def test_news_are_the_flows_verdicts_and_findings_that_changed() -> None:
    before = solved(edited("gallon: us ", "gallon: us "))
    after = solved(edited("min_flow: 3 gpm", "min_flow: 2.5 gpm"))
    lines = news(before, after, system="metric")
    assert "cruise, as found: oil cooler 10.7 L/min, STARVED → marginal" in lines
    assert any(line.startswith("gone: Oil cooler gets 10.7 of 11.4 L/min") for line in lines)
    assert [] == [line for line in lines if "idle, as found" in line]
    assert [] == news(after, after, system="metric")


def test_news_tell_flows_before_and_after_and_rows_that_come_and_go() -> None:
    before = solved(edited("bore: 13.8 mm", "bore: 13.8 mm"))
    wider = solved(edited("bore: 13.8 mm", "bore: 15 mm"))
    assert any(
        re.fullmatch(r"idle, as found: oil cooler 4\.4 → 5\.\d+ L/min, STARVED", line)
        for line in news(before, wider, system="metric")
    )
    slower = solved(edited("  idle: ", "  dead slow: "))
    lines = news(before, slower, system="metric")
    assert {"idle, as found: no longer a row", "dead slow, as found: a new row"} <= set(lines)
    assert any(re.fullmatch(r"dead slow, as found: oil cooler 4\.4 L/min, STARVED", line) for line in lines)


def test_each_save_is_one_look_of_the_file_or_of_a_table_that_it_names(file: Path) -> None:
    pauses = iter(range(100))
    tables = file.parent / "makers' tables"
    tables.mkdir()

    def pause() -> None:
        moment = next(pauses)
        if moment == 2:
            text = file.read_text(encoding="utf-8")
            file.write_text(text + f'# points: "{tables.name}/pump.csv"\n', encoding="utf-8")
        if moment == 4:
            file.rename(file.with_suffix(".old"))  # an editor that puts a new file in the old one's place
        if moment == 6:
            file.with_suffix(".old").rename(file)
        if moment == 8:
            (tables / "pump.csv").write_text("flow gph, head m\n", encoding="utf-8")
        if moment == 9:
            (tables / "another.csv").write_text("flow gph, head m\n", encoding="utf-8")
        if moment == 10:
            raise KeyboardInterrupt

    looks: list[None] = []
    with pytest.raises(KeyboardInterrupt):
        looks.extend(saves(file, (), pause))
    assert 1 + 1 + 1 == len(looks)  # at first, the save, the table; the file that came back is as it was


def test_problems_are_told_in_place_and_the_answer_before_them_is_kept(
    file: Path, capsys: pytest.CaptureFixture[str]
) -> None:
    picture = file.with_suffix(".svg")
    watcher = Watcher(file, picture, "idle", None, (), None)
    watcher.look()
    assert "trouble in 11 of 15 rows" in capsys.readouterr().out
    first = picture.read_bytes()

    file.write_text(edited("length: 2.5 m", "lenght: 2.5 m"), encoding="utf-8")
    watcher.look()
    said = capsys.readouterr()
    assert "this cannot be solved:" in said.out
    assert re.search(
        r"boat\.yaml:\d+:\d+: error\[unknown-parameter\].*\n.*lenght(.|\n)*help: did you mean 'length'", said.err
    )
    assert first == picture.read_bytes()

    file.write_text(edited("length: 2.5 m", "length: 1 m"), encoding="utf-8")
    watcher.look()
    said = capsys.readouterr()
    assert re.search(r"idle, as found: oil cooler 4\.4 → 4\.\d+ L/min", said.out)
    assert "" == said.err
    assert first != picture.read_bytes()

    watcher.look()
    assert "saved; nothing is new" in capsys.readouterr().out


def test_a_picture_of_a_condition_that_is_gone_is_told_and_the_watch_goes_on(
    file: Path, capsys: pytest.CaptureFixture[str]
) -> None:
    watcher = Watcher(file, file.with_suffix(".svg"), "storm", None, (), None)
    watcher.look()
    assert "not drawn: no row of condition 'storm'" in capsys.readouterr().err


def test_what_is_wrong_with_the_command_line_is_told(shell: Shell, tmp_path: Path) -> None:
    done = shell("watch", tmp_path / "none.yaml")
    assert (2, True) == (done.status, "there is no file" in done.err)
    done = shell("watch", POT_HAULER, "-o", tmp_path / "x.gif")
    assert (2, True) == (done.status, "neither .svg, .png, .pdf nor .dot" in done.err)


def test_it_ends_with_ctrl_c_and_without_a_traceback(file: Path) -> None:
    root = POT_HAULER.parents[1]
    call = [sys.executable, "-u", "-c", "from netsolve.cli import main; main()", "watch", str(file)]
    with subprocess.Popen(
        call, cwd=root, stdout=subprocess.PIPE, stderr=subprocess.PIPE, text=True, env={**os.environ, "COLUMNS": "80"}
    ) as running:
        assert running.stdout is not None
        assert running.stderr is not None
        assert "watching" in running.stdout.readline()
        assert "trouble in 11 of 15 rows" in running.stdout.readline()
        time.sleep(0.1)
        running.send_signal(signal.SIGINT)
        out, err = running.communicate(timeout=20)
    assert (0, "") == (running.returncode, err)
    assert "no longer watching" in out


def test_a_finding_of_many_rows_is_news_once_and_names_them() -> None:
    before = solved(edited("gallon: us ", "gallon: us "))
    without = solved(edited("units: metric", "units: metric\nlimits: {water_diverted: off}"))
    (line,) = [each for each in news(without, before, system="metric") if "leaves at overboard" in each]
    assert line.startswith("new, note: ")
    assert line.endswith("(idle, as found; full, as found; idle, bigger feed hose; and 2 more)")
