"""One sentence about something from elsewhere that failed: what, at which line of which file, and why."""

from __future__ import annotations

import importlib
import sys
import traceback
from collections.abc import Sequence
from pathlib import Path

_CURES = (
    ("truth value of an array", "write np.where for if: flows come as arrays"),
    ("No module named", "install what it needs, or mend the name"),
)


def blame(what: str, error: BaseException, where: str = "", otherwise: str = "") -> str:
    """One sentence: what failed, the file and line at which it did, the exception.

    `where` is the plugin's module or file: the line is one of it, if the error went through it. `otherwise` is the
    place to name where no line is to blame.
    """
    file = getattr(sys.modules.get(where), "__file__", None) or where
    told = (str(error).splitlines() or [""])[0]
    if isinstance(error, SyntaxError):
        line = f", line {error.lineno}" if error.lineno else ""
        return f"{what}: {error.filename or file}{line}: {type(error).__name__}: {error.msg}"
    place = _place(error, file) or (f"{otherwise}: " if otherwise else "")
    cure = next((f"; {cure}" for sign, cure in _CURES if sign in told), "")
    return f"{what}: {place}{type(error).__name__}: {told}".rstrip(": ") + cure


def _place(error: BaseException, file: str) -> str:
    frames = traceback.extract_tb(error.__traceback__)
    at = [frame for frame in frames if frame.filename == file] or [
        frame for frame in frames if not _is_ours(frame.filename)
    ]
    return f"{at[-1].filename}, line {at[-1].lineno}: " if at else ""


def _is_ours(file: str) -> bool:
    """Whether a frame belongs to the machinery around a plugin rather than to the plugin."""
    importing = Path(importlib.__file__ or "").parent
    within = Path(file).parents
    found_by = any(parent.name == "importlib_metadata" for parent in within)  # which may stand in for Python's own
    return file.startswith("<frozen") or _is_machinery(within) or importing in within or found_by


def _is_machinery(within: Sequence[Path]) -> bool:
    """Whether a file in these folders is netsolve's, and neither a component nor a rule."""
    root = Path(__file__).parents[1]
    return root in within and not {root / "components", root / "rules"} & set(within)
