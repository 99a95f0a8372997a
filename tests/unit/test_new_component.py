"""`netsolve new-component`: what it writes passes its own tests at once, and it never writes over anything."""

from __future__ import annotations

import os
import sys
from pathlib import Path

import pytest

from netsolve.testing import check_component, plugin
from tests.commands import Shell, written
from tests.fresh import ROOT, run


@pytest.fixture
def shell(capsys: pytest.CaptureFixture[str], monkeypatch: pytest.MonkeyPatch, tmp_path: Path) -> Shell:
    monkeypatch.chdir(tmp_path)
    return Shell(capsys)


def test_the_skeleton_passes_its_own_tests_at_once(
    shell: Shell, tmp_path: Path, monkeypatch: pytest.MonkeyPatch
) -> None:
    done = shell("new-component", "fin_cooler")
    assert (done.status, done.err) == (0, "")
    assert ["fin_cooler.py", "fin_cooler.yaml", "test_fin_cooler.py"] == sorted(os.listdir("fin_cooler"))
    monkeypatch.setenv("PYTHONPATH", str(ROOT))
    pytest_line = next(line for line in done.out.splitlines() if line.startswith("  pytest"))
    said = run(sys.executable, "-m", *pytest_line.split(), "-q", "-p", "no:cacheprovider", cwd=tmp_path)
    assert "3 passed" in said
    assert "fin cooler" in shell("solve", "fin_cooler/fin_cooler.yaml", "--plugins", "fin_cooler").out
    assert "A fin cooler: this line" in shell("components", "fin_cooler", "--plugins", "fin_cooler").out


def test_its_tests_would_notice_a_law_that_is_broken(shell: Shell, tmp_path: Path) -> None:
    shell("new-component", "fin_cooler")
    file = tmp_path / "fin_cooler/fin_cooler.py"
    file.write_text(file.read_text().replace("k_drop(flow,", "-k_drop(flow,"))
    with pytest.raises(AssertionError, match="the drop does not rise"):
        check_component(plugin("fin_cooler", "fin_cooler"))


@pytest.mark.parametrize("more", [(), ("--package",)])
def test_nothing_is_written_over(shell: Shell, more: tuple[str, ...]) -> None:
    assert shell("new-component", "fin_cooler", *more).status == 0
    before = {file: file.read_bytes() for file in Path("fin_cooler").rglob("*") if file.is_file()}
    done = shell("new-component", "fin_cooler", *more)
    assert (done.status, done.out) == (2, "")
    assert "is there already, and nothing was written\n  help: give another --folder, or another name\n" in done.err
    assert before == {file: file.read_bytes() for file in Path("fin_cooler").rglob("*") if file.is_file()}


def test_a_single_file_in_the_way_keeps_all_from_being_written(shell: Shell, tmp_path: Path) -> None:
    (tmp_path / "fin_cooler").mkdir()
    mine = written(tmp_path / "fin_cooler", "mine", "fin_cooler.yaml")
    assert shell("new-component", "fin_cooler").status == 2
    assert ["fin_cooler.yaml"] == os.listdir("fin_cooler")
    assert mine.read_text() == "mine"


def test_a_folder_that_is_a_file_is_told(shell: Shell, tmp_path: Path) -> None:
    written(tmp_path, "mine", "fin_cooler")
    done = shell("new-component", "fin_cooler")
    assert (done.status, done.out) == (2, "")
    assert "cannot be written" in done.err


@pytest.mark.parametrize(
    ("name", "error", "help"),
    [
        ("Fin Cooler", "cannot be the name of a component", "netsolve new-component fin_cooler"),
        ("FinCooler", "cannot be the name of a component", "netsolve new-component fin_cooler"),
        ("../fin", "cannot be the name of a component", "netsolve new-component fin"),
        ("2fins", "cannot be the name of a component", "netsolve new-component keel_cooler"),
        ("fin__cooler", "cannot be the name of a component", "netsolve new-component fin_cooler"),
        ("", "cannot be the name of a component", "netsolve new-component keel_cooler"),
        ("class", "'class' is a word of Python", "netsolve new-component class_part"),
        ("test_fin", "'test_fin' would be taken for a test", "netsolve new-component fin"),
        ("hose", "there is a 'hose' already, from netsolve", "netsolve new-component my_hose"),
        ("tee", "there is a 'tee' already, from netsolve", "netsolve new-component my_tee"),
    ],
)
def test_a_name_that_will_not_do_is_answered_with_one_that_will(shell: Shell, name: str, error: str, help: str) -> None:
    done = shell("new-component", name)
    assert (done.status, done.out) == (2, "")
    assert error in done.err
    assert done.err.endswith(f"\n  help: {help}\n")
    assert [] == os.listdir(".")
