"""How a component or a rule loads: whether, how long it takes, what it prints on the way."""

from __future__ import annotations

import io
import sys
import time
from collections.abc import Callable
from contextlib import redirect_stderr, redirect_stdout
from dataclasses import dataclass
from typing import Any

import netsolve.plugin  # noqa: F401  else the first plugin that is timed would pay for it
from netsolve.registry import PluginError

SLOW = 2.0
"""s: an import that takes longer keeps whoever asks for the catalogue waiting."""


@dataclass(frozen=True)
class Loading:
    """The class, or why there is none; seconds that it took; what it printed."""

    kind: type[Any] | None
    error: str
    seconds: float
    printed: str

    @property
    def complaint(self) -> str:
        """What is wrong with how it loads, in a sentence; nothing where all is well."""
        if self.error:
            return self.error
        if self.printed.strip():
            return f"prints on import: '{self.printed.strip().splitlines()[0]}'; take that out"
        if self.seconds > SLOW:
            return f"takes {self.seconds:.1f} s to import: import what is slow inside the method that needs it"
        return ""


def loading(load: Callable[[], type[Any]]) -> Loading:
    """What happens as a class is loaded."""
    printed = io.StringIO()
    begun = time.perf_counter()
    kind, error = None, ""
    with redirect_stdout(printed), redirect_stderr(printed):
        try:
            kind = load()
        except PluginError as failure:
            error = str(failure)
    return Loading(kind, error, time.perf_counter() - begun, printed.getvalue())


def version_of(kind: type[Any] | None, written: str) -> str:
    """The version of the package it is from, or the `__version__` of its own file."""
    return written or str(getattr(sys.modules.get(kind.__module__ if kind else ""), "__version__", ""))
