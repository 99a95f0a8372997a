"""netsolve: how much water reaches each cooler of a boat's raw-water circuit, and what a change does to it."""

from __future__ import annotations

from typing import TYPE_CHECKING, Any

if TYPE_CHECKING:
    from netsolve.facade import compare, load, loads, margin, solve, sweep
    from netsolve.problems import CircuitError

__version__ = "0.1.0"
__all__ = ["CircuitError", "__version__", "compare", "load", "loads", "margin", "solve", "sweep"]

_HOMES = {
    "CircuitError": "netsolve.problems",
    "compare": "netsolve.facade",
    "load": "netsolve.facade",
    "loads": "netsolve.facade",
    "margin": "netsolve.facade",
    "solve": "netsolve.facade",
    "sweep": "netsolve.facade",
}


def __getattr__(name: str) -> Any:
    """Import a public name when it is first used, so that `import netsolve` costs nothing."""
    if name not in _HOMES:
        raise AttributeError(f"module 'netsolve' has no attribute '{name}'")
    from importlib import import_module

    return getattr(import_module(_HOMES[name]), name)
