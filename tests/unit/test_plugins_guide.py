"""The integrator's guide, followed from an empty folder: its files written, its commands run, their answers compared."""

from __future__ import annotations

import re
import shlex
import sys
from collections.abc import Iterator
from pathlib import Path

import pytest
from click.testing import CliRunner

from netsolve.cli import main
from tests.fresh import ROOT, Fresh, run

GUIDE = (ROOT / "plugins/README.md").read_text(encoding="utf-8")
FENCED = re.compile(r"(?:^`(?P<file>[\w./-]+)`:\n\n)?^```(?P<kind>\w+)\n(?P<text>.*?)^```$", re.DOTALL | re.MULTILINE)


def steps(text: str) -> Iterator[tuple[str, list[str]]]:
    """Each command of a console with the lines that it should print."""
    for block in re.split(r"^\$ ", text, flags=re.MULTILINE)[1:]:
        command, *lines = block.splitlines()
        yield command, [line for line in lines if line.strip()]


class Walk:
    """An integrator who does what the guide says."""

    def __init__(self, folder: Path, spare: Path) -> None:
        self.folder, self.spare = folder, spare
        self.fresh: Fresh | None = None

    def does(self, command: str) -> str:
        """What a command prints. `pip install` builds and installs into a fresh environment, which then is the one."""
        program, *arguments = shlex.split(command)
        if program == "pip":
            assert arguments[0] == "install"
            self.fresh = Fresh.made(self.spare)
            self.fresh.install(self.folder / arguments[-1].partition("[")[0])
            return ""
        if program == "netsolve" and self.fresh is None:
            done = CliRunner().invoke(main, arguments)
            assert done.exit_code == 0, done.output
            return done.stdout
        more = ("-q", "-p", "no:cacheprovider") if program == "pytest" else ()
        module = () if program == "python" else ("-m", program)
        python = self.fresh.python if self.fresh else sys.executable
        return run(python, *module, *arguments, *more, cwd=self.folder)


@pytest.fixture(scope="module")
def walked(tmp_path_factory: pytest.TempPathFactory) -> Path:
    """The folder, after the whole of the guide has been followed."""
    folder = tmp_path_factory.mktemp("guide")
    walk = Walk(folder, tmp_path_factory.mktemp("fresh") / "env")
    with pytest.MonkeyPatch.context() as patch:
        patch.chdir(folder)
        patch.setenv("COLUMNS", "80")
        for found in FENCED.finditer(GUIDE):
            if found["file"]:
                (folder / found["file"]).parent.mkdir(parents=True, exist_ok=True)
                (folder / found["file"]).write_text(found["text"], encoding="utf-8")
            elif found["kind"] == "console":
                for command, expected in steps(found["text"]):
                    printed = walk.does(command)
                    missing = [line for line in expected if line not in printed]
                    assert [] == missing, f"{command} printed\n{printed}"
    return folder


def test_the_guide_can_be_followed_to_its_end(walked: Path) -> None:
    assert (walked / "netsolve-fin-cooler/pyproject.toml").is_file()


def test_its_package_has_less_than_sixty_lines_of_python(walked: Path) -> None:
    files = [*(walked / "netsolve-fin-cooler").rglob("*.py")]
    assert len(files) == 3
    assert sum(len(file.read_text(encoding="utf-8").splitlines()) for file in files) < 60


def test_every_snippet_is_a_file_or_a_command_or_part_of_a_package(walked: Path) -> None:
    project = (walked / "netsolve-fin-cooler/pyproject.toml").read_text(encoding="utf-8")
    for found in FENCED.finditer(GUIDE):
        if found["kind"] == "toml":
            assert found["text"] in project
        else:
            assert found["file"] or found["kind"] == "console"
    assert GUIDE.count("```") == 2 * len(list(FENCED.finditer(GUIDE)))


def test_every_file_that_the_guide_links_to_is_there() -> None:
    links = [link for link in re.findall(r"\]\(([^)#]+)\)", GUIDE) if "://" not in link]
    assert [] == [link for link in links if not (ROOT / "plugins" / link).exists()]


def test_the_contents_lead_to_its_headings() -> None:
    headings = {
        re.sub(r"[^\w -]", "", line.lstrip("# ")).replace(" ", "-").lower()
        for line in GUIDE.splitlines()
        if line.startswith("#")
    }
    assert set(re.findall(r"\]\(#([\w-]+)\)", GUIDE)) <= headings
