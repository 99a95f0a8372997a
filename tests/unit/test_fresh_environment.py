"""Packages in an environment of their own: the example of `plugins`, and what `new-component --package` writes."""

from __future__ import annotations

import os
import stat
from pathlib import Path

import pytest
from click.testing import CliRunner

from netsolve.cli import main
from tests.fresh import ROOT, Fresh, run

DUCKBILL = ROOT / "plugins/duckbill"


@pytest.fixture(scope="module")
def fresh(tmp_path_factory: pytest.TempPathFactory) -> Fresh:
    return Fresh.made(tmp_path_factory.mktemp("fresh") / "env")


def test_netsolve_is_there_as_its_wheel_with_its_types_and_its_skeleton(fresh: Fresh, tmp_path: Path) -> None:
    script = "import netsolve, pathlib; print(pathlib.Path(netsolve.__file__).parent)"
    home = Path(run(fresh.python, "-E", "-c", script, cwd=tmp_path).strip())
    assert home.is_relative_to(fresh.folder)
    assert (home / "py.typed").is_file()
    assert (home / "skeleton/component.txt").is_file()


def test_the_duckbill_is_found_by_its_entry_point_and_passes_its_own_tests(fresh: Fresh, tmp_path: Path) -> None:
    fresh.install(DUCKBILL)
    said = fresh("netsolve", "components", "duckbill_valve", "--origin", cwd=tmp_path)
    assert "installed package netsolve-duckbill, version 0.1.0\n  duckbill_valve       component  loads\n" in said
    tests = DUCKBILL / "tests"
    assert "4 passed" in fresh("pytest", "-q", "-p", "no:cacheprovider", f"--rootdir={tests}", tests, cwd=tmp_path)


def test_a_new_package_can_be_installed_and_passes_its_own_tests(fresh: Fresh, tmp_path: Path) -> None:
    ours = tmp_path / "ours"
    done = CliRunner().invoke(main, ["new-component", "fin_cooler", "--package", "--folder", str(ours)])
    assert (done.exit_code, done.stderr) == (0, "")
    assert os.stat(ours / ".ci/run").st_mode & stat.S_IXUSR
    run("bash", "-n", ours / ".ci/run")
    fresh.install(ours)
    assert "3 passed" in fresh("pytest", "-q", "-p", "no:cacheprovider", "ours", cwd=tmp_path)
    said = fresh("netsolve", "components", "fin_cooler", "--origin", cwd=tmp_path)
    assert "installed package netsolve-fin-cooler, version 0.1.0\n  fin_cooler           component  loads\n" in said
