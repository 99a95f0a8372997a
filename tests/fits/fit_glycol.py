"""Find the coefficients of `netsolve.laws.glycol` again: `python -m tests.fits.fit_glycol` prints them with their errors.

Values of INCOMP::MEG and INCOMP::MPG of the CoolProp library (Melinder 2010) are fitted by least squares, from the
freezing point to 100 degC and from none to 60 % by mass, with polynomials of the same terms as Melinder's.
"""

from __future__ import annotations

from collections.abc import Iterator
from dataclasses import dataclass

import numpy as np
import numpy.typing as npt
from CoolProp.CoolProp import PropsSI

Floats = npt.NDArray[np.float64]

FLUIDS = {"ethylene": "MEG", "propylene": "MPG"}
PROPERTIES = {"density": "D", "log_viscosity": "V", "heat_capacity": "C", "conductivity": "L"}
ROWS = (4, 4, 4, 3, 2, 1)
"""How many powers of temperature stand with each power of the fraction."""

_SHARES = np.linspace(0.0, 0.6, 61)
_HOTTEST = 373.15
_TEMPERATURES = 41


@dataclass(frozen=True)
class Fit:
    """Rows of coefficients in powers of u, along them powers of z, and the largest error: relative, or K of a point."""

    rows: tuple[Floats, ...]
    error: float


def fit(base: str, name: str) -> Fit:
    """The polynomial of a property of a mixture; the logarithm of the viscosity."""
    points = list(_points(base))
    values = np.array([_value(base, PROPERTIES[name], share, kelvin) for share, kelvin in points])
    shares, kelvins = np.array(points).T
    u, z = (shares - 0.3) / 0.3, (kelvins - 313.15) / 60.0
    terms = np.stack([u**i * z**j for i, length in enumerate(ROWS) for j in range(length)], axis=1)
    wanted = np.log(values) if name == "log_viscosity" else values
    found = np.linalg.lstsq(terms, wanted, rcond=None)[0]
    fitted = np.exp(terms @ found) if name == "log_viscosity" else terms @ found
    return Fit(tuple(np.split(found, np.cumsum(ROWS)[:-1])), float(np.abs(fitted / values - 1.0).max()))


def fit_freezing(base: str) -> Fit:
    """The polynomial of the freezing point in degC, by powers of u alone."""
    values = np.array([_freezing(base, share) for share in _SHARES]) - 273.15
    terms = np.vander((_SHARES - 0.3) / 0.3, len(ROWS), increasing=True)
    found = np.linalg.lstsq(terms, values, rcond=None)[0].astype(np.float64)
    return Fit((found,), float(np.abs(terms @ found - values).max()))


def _points(base: str) -> Iterator[tuple[float, float]]:
    for share in _SHARES:
        coldest = _freezing(base, share) + 1e-3  # CoolProp refuses the freezing point itself
        yield from ((float(share), float(kelvin)) for kelvin in np.linspace(coldest, _HOTTEST, _TEMPERATURES))


def _freezing(base: str, share: float) -> float:
    return _value(base, "T_freeze", share, 300.0)


def _value(base: str, name: str, share: float, kelvin: float) -> float:
    return float(PropsSI(name, "T", kelvin, "P", 101325, f"INCOMP::{FLUIDS[base]}[{share}]"))


def main() -> None:
    """Print every polynomial and the largest error of it before its coefficients are rounded."""
    for base in FLUIDS:
        for name in PROPERTIES:
            found = fit(base, name)
            print(f"{base} {name}: within {100 * found.error:.2g} %")
            for row in found.rows:
                print("    ", ", ".join(f"{value:.7g}" for value in row))
        freezing = fit_freezing(base)
        print(f"{base} freezing: within {freezing.error:.2g} K")
        print("    ", ", ".join(f"{value:.6g}" for value in freezing.rows[0]))


if __name__ == "__main__":
    main()
