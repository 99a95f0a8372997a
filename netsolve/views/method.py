"""How an answer was computed: versions, what is left over in the balances, the sources of each law in use."""

from __future__ import annotations

import platform
from collections.abc import Iterator, Mapping
from importlib import metadata

from netsolve import units
from netsolve.circuit import Row
from netsolve.result import Result

_LIBRARIES = ("numpy", "scipy", "networkx", "pydantic", "pint")


def versions() -> str:
    """netsolve, Python and the libraries that the numbers come from, each with its version."""
    from netsolve import __version__

    libraries = ", ".join(f"{name} {metadata.version(name)}" for name in _LIBRARIES)
    return f"netsolve {__version__}, Python {platform.python_version()}, {libraries}"


def balances(result: Result, system: str) -> str:
    """How many rows settled in how many steps, and the most that is left over in any of them."""
    settled = [row for row in result if row.settled]
    if not settled:
        return "No row settled."
    most = max(row.iterations for row in settled)
    mass = max(abs(row.mass_imbalance) for row in settled)
    energy = max(abs(row.energy_imbalance) for row in settled)
    left = f"{units.show(mass, 'flow', system=system)} at a joint and {units.show(energy, 'pressure', system=system)}"
    return f"{len(settled)} of {len(result.rows)} rows settled, in at most {most} steps; at most {left} are left over."


def water(row: Row, system: str) -> str:
    """The water of a row, with the properties that are computed with."""
    density = units.show(float(row.water.density), "density", system=system)
    viscosity = units.show(float(row.water.viscosity), "viscosity", system=system)
    return f"density {density}, viscosity {viscosity} as it comes in"


def sources(result: Result) -> Mapping[str, tuple[str, ...]]:
    """The sources of the law of every kind of part and joint in use, by the kind's name."""
    used: dict[str, tuple[str, ...]] = {}
    for state in result.states:
        for name, given in _laws(state):
            used.setdefault(name, given)
    return dict(sorted(used.items()))


def _laws(row: Row) -> Iterator[tuple[str, tuple[str, ...]]]:
    yield from ((place.type, type(place.joint).sources) for place in row.places.values())
    yield from ((part.type, type(part.component).sources) for part in row.parts.values() if part.fitted)
