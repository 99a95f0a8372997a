"""Standard sizes of pipe and hose: the name a size goes by, and its bore in metres.

Steel pipe is named after a bore it does not have, so `NPS` (schedule 40) and `BSP` (medium series) give the
true one: the outside diameter less two walls. Hose is named after its bore, which `HOSE_INCH` and
`HOSE_METRIC` give; metric hose may differ a little: the middle of the range allowed to mandrel-built hose is
16.1 mm for "16", 25.7 mm for "25" and 32.2 mm for "31.5".

Source: NPS: ASME B36.10M, schedule 40. BSP: EN 10255, medium series (walls as a maker's table quotes the
standard, outside diameters from memory). HOSE_METRIC: ISO 1307:2006, as a hose maker's table quotes it.
HOSE_INCH: common practice, no source.
"""

from __future__ import annotations

from collections.abc import Mapping
from types import MappingProxyType

_INCH = 0.0254


def _in_metres(millimetres: Mapping[str, float]) -> Mapping[str, float]:
    return MappingProxyType({name: bore / 1000 for name, bore in millimetres.items()})


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
