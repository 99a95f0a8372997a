"""A picture's DOT text to SVG or PNG bytes, by graphviz-pure or else by a system's Graphviz."""

from __future__ import annotations

import shutil
import subprocess
import sysconfig

FORMATS = ("svg", "png", "dot")

_SECONDS = 30
_PIXELS_PER_INCH = {"png": "180"}


class RenderError(RuntimeError):
    """A picture could not be drawn; the message says why and what to install."""


def render(dot: str, format: str) -> bytes:
    """The picture as `svg`, `png` or (as it is) `dot`. Raises RenderError; ValueError for another format."""
    if format not in FORMATS:
        raise ValueError(f"a picture is drawn as {', '.join(FORMATS)}, not as '{format}'")
    if format == "dot":
        return dot.encode()
    failures = []
    for program in _programs():
        try:
            return _run(program, dot, format)
        except RenderError as failure:
            failures.append(str(failure))
    reasons = "; ".join(failures) or "neither graphviz-pure nor a system's dot is installed"
    raise RenderError(f"the picture cannot be drawn: {reasons}; install one by: pip install graphviz-pure")


def _programs() -> list[str]:
    """The programs that draw, the one that draws alike everywhere first."""
    beside_python = shutil.which("graphviz-pure", path=sysconfig.get_path("scripts"))
    found = (beside_python or shutil.which("graphviz-pure"), shutil.which("dot"))
    return [program for program in found if program]


def _run(program: str, dot: str, format: str) -> bytes:
    density = _PIXELS_PER_INCH.get(format)
    command = [program, f"-T{format}", *([f"-Gdpi={density}"] if density else [])]
    try:
        done = subprocess.run(command, input=dot.encode(), capture_output=True, timeout=_SECONDS, check=False)
    except subprocess.TimeoutExpired as error:
        raise RenderError(f"{program} took longer than {_SECONDS} s") from error
    except OSError as error:
        raise RenderError(f"{program} does not run ({error.strerror})") from error
    if done.returncode != 0 or not done.stdout:
        complaint = done.stderr.decode(errors="replace").strip().partition("\n")[0]
        raise RenderError(f"{program} ended with status {done.returncode} ({complaint or 'it said nothing'})")
    return done.stdout
