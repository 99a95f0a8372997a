"""An environment of its own, with netsolve installed in it from a wheel: what a user of a package would have."""

from __future__ import annotations

import subprocess
import sys
from dataclasses import dataclass
from pathlib import Path

ROOT = Path(__file__).parents[1]


@dataclass(frozen=True)
class Fresh:
    """The environment's folder. What netsolve needs is lent from this environment; netsolve itself is not."""

    folder: Path

    @classmethod
    def made(cls, folder: Path) -> Fresh:
        """A new one, with netsolve's own wheel, not the tree that the tests stand in."""
        run(sys.executable, "-m", "venv", "--without-pip", folder)
        lent = [path for path in sys.path if path.endswith(("site-packages", "dist-packages"))]
        (folder / f"lib/python3.{sys.version_info.minor}/site-packages/lent.pth").write_text("\n".join(lent))
        new = cls(folder)
        new.install(ROOT)
        return new

    @property
    def python(self) -> Path:
        """Its interpreter."""
        return self.folder / "bin/python"

    def install(self, project: Path) -> None:
        """Build a project's wheel and install it; nothing is fetched from anywhere."""
        wheels = self.folder / "wheels" / project.name
        quiet = ("--quiet", "--no-deps", "--no-index", "--disable-pip-version-check")
        run(sys.executable, "-m", "pip", "wheel", *quiet, "--no-build-isolation", "-w", wheels, project)
        (wheel,) = wheels.iterdir()
        run(sys.executable, "-m", "pip", "--python", self.python, "install", *quiet, wheel)

    def __call__(self, *arguments: str | Path, cwd: Path) -> str:
        """What a command of this environment prints: `netsolve …` or `pytest …`; it must end well."""
        return run(self.python, "-E", "-m", *arguments, cwd=cwd)


def run(*command: str | Path, cwd: Path | None = None) -> str:
    """A command's stdout; AssertionError with all that it printed where it ends badly."""
    done = subprocess.run([str(each) for each in command], capture_output=True, text=True, cwd=cwd, timeout=300)
    assert done.returncode == 0, f"{command}:\n{done.stdout}\n{done.stderr}"
    return done.stdout
