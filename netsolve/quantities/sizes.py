"""Standard sizes of pipe, hose and wire cloth: the name a size goes by, and its bore or holes in metres.

Steel pipe is named after a bore it does not have, so `NPS` (schedule 40) and `BSP` (medium series) give the
true one: the outside diameter less two walls. Hose is named after its bore, which `HOSE_INCH` and
`HOSE_METRIC` give; metric hose may differ a little: the middle of the range allowed to mandrel-built hose is
16.1 mm for "16", 25.7 mm for "25" and 32.2 mm for "31.5". `HOSE_RANGE` has the least and the most allowed.
Valves and strainers are named after the pipe that they fit (`DN`, or its inches); a full-way valve is about as wide.
Cloth is an opening and a wire: `SIEVE_CLOTH` by the number of the sieve, `MARKET_CLOTH` by the wires to the inch.

Source: NPS: ASME B36.10M, schedule 40. BSP: EN 10255, medium series (walls as a maker's table quotes the
standard, outside diameters from memory). HOSE_METRIC, HOSE_RANGE: ISO 1307:2006, as a hose maker's table quotes
it, the ranges for mandrel-built hose. HOSE_INCH: common practice, no source. COPPER_L: ASTM B88, type L. SIEVE_CLOTH:
ASTM E11 and ISO 3310-1, table 1, preferred wires. MARKET_CLOTH: wires from memory, openings by geometry. DN: ISO 6708
(from memory). DRILL: the usual sets of a workshop, by half millimetres and sixteenths: common practice, no source.
"""

from __future__ import annotations

from collections.abc import Mapping
from fractions import Fraction
from types import MappingProxyType

_INCH = 0.0254


def _in_metres(millimetres: Mapping[str, float]) -> Mapping[str, float]:
    return MappingProxyType({name: bore / 1000 for name, bore in millimetres.items()})


def _named(form: str, sizes: Mapping[str, float]) -> Mapping[str, float]:
    return MappingProxyType({form.format(name): bore for name, bore in sizes.items()})


NPS = _in_metres(
    {
        "1/4": 9.22,
        "3/8": 12.48,
        "1/2": 15.76,
        "3/4": 20.96,
        "1": 26.64,
        "1-1/4": 35.08,
        "1-1/2": 40.94,
        "2": 52.48,
        "2-1/2": 62.68,
        "3": 77.92,
    }
)

BSP = _in_metres(
    {
        "1/4": 8.9,
        "3/8": 12.6,
        "1/2": 16.1,
        "3/4": 21.7,
        "1": 27.3,
        "1-1/4": 36.0,
        "1-1/2": 41.9,
        "2": 53.1,
    }
)

HOSE_INCH: Mapping[str, float] = MappingProxyType(
    {
        "1/4": 0.25 * _INCH,
        "3/8": 0.375 * _INCH,
        "1/2": 0.5 * _INCH,
        "5/8": 0.625 * _INCH,
        "3/4": 0.75 * _INCH,
        "1": 1.0 * _INCH,
        "1-1/8": 1.125 * _INCH,
        "1-1/4": 1.25 * _INCH,
        "1-1/2": 1.5 * _INCH,
        "1-5/8": 1.625 * _INCH,
        "2": 2.0 * _INCH,
        "2-1/2": 2.5 * _INCH,
        "3": 3.0 * _INCH,
    }
)

HOSE_METRIC = _in_metres(
    {
        "6.3": 6.3,
        "8": 8.0,
        "10": 10.0,
        "12.5": 12.5,
        "16": 16.0,
        "19": 19.0,
        "20": 20.0,
        "25": 25.0,
        "31.5": 31.5,
        "38": 38.0,
        "40": 40.0,
        "50": 50.0,
        "51": 51.0,
        "63": 63.0,
        "76": 76.0,
    }
)

HOSE_RANGE: Mapping[str, tuple[float, float]] = MappingProxyType(
    {
        name: (low / 1000, high / 1000)
        for name, (low, high) in {
            "10": (9.3, 10.1),
            "12.5": (12.3, 13.5),
            "16": (15.5, 16.7),
            "19": (18.6, 19.8),
            "20": (19.6, 20.8),
            "25": (25.0, 26.4),
            "31.5": (31.4, 33.0),
            "38": (37.7, 39.3),
            "40": (39.7, 41.3),
            "51": (50.4, 52.0),
        }.items()
    }
)
"""Least and most inside diameter of mandrel-built hose by its nominal bore in mm."""

COPPER_L: Mapping[str, float] = MappingProxyType(
    {
        name: bore * _INCH
        for name, bore in {
            "3/8": 0.430,
            "1/2": 0.545,
            "5/8": 0.666,
            "3/4": 0.785,
            "1": 1.025,
            "1-1/4": 1.265,
            "1-1/2": 1.505,
            "2": 1.985,
        }.items()
    }
)

DN = _in_metres({str(size): float(size) for size in (8, 10, 15, 20, 25, 32, 40, 50, 65, 80)})

VALVE_INCH: Mapping[str, float] = MappingProxyType({name: HOSE_INCH[name] for name in NPS})

DRILL_METRIC = _in_metres({f"{half / 2:g}": half / 2 for half in (*range(4, 27), *range(28, 52, 2))})

DRILL_INCH: Mapping[str, float] = MappingProxyType(
    {name: float(Fraction(name)) * _INCH for name in (str(Fraction(count, 16)) for count in range(2, 17))}
)

STANDARD: Mapping[str, Mapping[str, Mapping[str, float]]] = MappingProxyType(
    {
        "hose": {"metric": _named("{} mm", HOSE_METRIC), "us": _named("{} in", HOSE_INCH)},
        "valve": {"metric": _named("DN {}", DN), "us": _named("{} in", VALVE_INCH)},
        "drill": {"metric": _named("{} mm", DRILL_METRIC), "us": _named("{} in", DRILL_INCH)},
        "pipe": {"metric": _named("BSP {}", BSP), "us": _named("NPS {}", NPS)},
    }
)
"""What a parameter may come in, by the name of the list and the system of units: the size as one asks for it, and m."""

Cloth = tuple[float, float]
"""Opening and wire, m."""

SIEVE_CLOTH: Mapping[int, Cloth] = MappingProxyType(
    {
        number: (opening / 1000, wire / 1000)
        for number, (opening, wire) in {
            10: (2.0, 0.9),
            12: (1.7, 0.8),
            16: (1.18, 0.63),
            20: (0.85, 0.5),
            30: (0.6, 0.4),
            40: (0.425, 0.28),
            60: (0.25, 0.16),
        }.items()
    }
)

MARKET_CLOTH: Mapping[int, Cloth] = MappingProxyType(
    {
        mesh: ((1 / mesh - wire) * _INCH, wire * _INCH)
        for mesh, wire in {8: 0.028, 10: 0.025, 16: 0.018, 20: 0.016, 40: 0.010, 60: 0.0075, 80: 0.0055}.items()
    }
)


def open_share(opening: float, wire: float) -> float:
    """Open share of square cloth, (w/(w + d))^2, for a strainer's `open_area_ratio`."""
    return (opening / (opening + wire)) ** 2
