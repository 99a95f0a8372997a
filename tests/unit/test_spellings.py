"""Every spelling of a unit, its dimension and its factor."""

from __future__ import annotations

import math
from typing import Any

import pint
import pytest

from netsolve.quantities.kinds import plain
from netsolve.units import KINDS, convert, read


@pytest.fixture(scope="module")
def registry() -> pint.UnitRegistry[Any]:
    return pint.UnitRegistry()


# Exact definitions: international inch and nautical mile, US gallon of 231 in³, imperial gallon of the UK
# Units of Measurement Regulations 1995, pound 0.45359237 kg. Conventional columns of mercury and water, psi,
# horsepower and BTU: NIST SP 811 (2008) appendix B, to the digits given there (from memory).
@pytest.mark.parametrize(
    ("text", "kind", "value", "within"),
    [
        ("1 in", "length", 0.0254, 1e-15),
        ("1 ft", "length", 0.3048, 1e-15),
        ("1 gal", "volume", 3.785411784e-3, 1e-15),
        ("1 us gal", "volume", 3.785411784e-3, 1e-15),
        ("1 imp gal", "volume", 4.54609e-3, 1e-15),
        ("1 gpm", "flow", 3.785411784e-3 / 60, 1e-15),
        ("1 UK gpm", "flow", 4.54609e-3 / 60, 1e-15),
        ("60 L/min", "flow", 1e-3, 1e-15),
        ("3.6 m³/h", "flow", 1e-3, 1e-15),
        ("1 psi", "pressure", 0.45359237 * 9.80665 / 0.0254**2, 1e-14),
        ("1 psig", "pressure", 6894.757, 1e-7),
        ("1 bar", "pressure", 1e5, 0.0),
        ("1 inHg", "pressure", 3386.389, 2e-7),
        ("1 mmHg", "pressure", 133.3224, 2e-7),
        ("1 inH2O", "pressure", 249.0889, 2e-7),
        ("1 ftH2O", "pressure", 2989.067, 2e-7),
        ("1 mH2O", "pressure", 9806.65, 1e-15),
        ("1 kgf/cm2", "pressure", 98066.5, 1e-15),
        ("1 kn", "velocity", 1852 / 3600, 1e-15),
        ("60 rpm", "rotation", 1.0, 1e-15),
        ("60 1/min", "rotation", 1.0, 1e-15),
        ("1 Hz", "rotation", 1.0, 0.0),
        ("180 deg", "angle", math.pi, 1e-15),
        ("0 degC", "temperature", 273.15, 1e-15),
        ("32 °F", "temperature", 273.15, 1e-15),
        ("212 F", "temperature", 373.15, 1e-15),
        ("18 degF", "temperature difference", 10.0, 1e-15),
        ("10 °C", "temperature difference", 10.0, 0.0),
        ("46 %", "ratio", 0.46, 1e-15),
        ("0.46", "ratio", 0.46, 0.0),
        ("34 g/kg", "salinity", 34.0, 0.0),
        ("1 cP", "viscosity", 1e-3, 1e-15),
        ("1 kJ/kgK", "heat capacity", 1000.0, 1e-15),
        ("1 hp", "power", 745.6999, 2e-7),
        ("1 BTU/h", "power", 0.2930711, 2e-7),
        ("12 %/bar", "ratio per pressure", 1.2e-6, 1e-15),
        ("6 gpm/bar", "flow per pressure", 6 * 3.785411784e-3 / 60 / 1e5, 1e-14),
        ("6 L/min/kPa", "flow per pressure", 1e-7, 1e-14),
    ],
)
def test_factor_is_that_of_the_definition(text: str, kind: str, value: float, within: float) -> None:
    assert read(text, kind).value == pytest.approx(value, rel=within, abs=0)


@pytest.mark.parametrize("kind", KINDS)
def test_pint_gives_every_spelling_the_dimension_of_its_kind(kind: str, registry: pint.UnitRegistry[Any]) -> None:
    wanted = registry.Unit(KINDS[kind].si).dimensionality
    found = {
        unit: registry.Unit(expression.format(gallon="gallon")).dimensionality
        for unit, expression in KINDS[kind].units.items()
    }
    assert {unit: dimension for unit, dimension in found.items() if dimension != wanted} == {}


@pytest.mark.parametrize("kind", KINDS)
def test_every_spelling_is_read_and_converts_back(kind: str) -> None:
    units = KINDS[kind].units
    back = {unit: convert(read(f"2 {unit}", kind).value, kind, unit) for unit in units}
    assert back == pytest.approx(dict.fromkeys(units, 2.0), rel=1e-12)


@pytest.mark.parametrize("kind", KINDS)
def test_spellings_are_in_plain_characters(kind: str) -> None:
    assert [unit for unit in KINDS[kind].units if plain(unit) != unit] == []


@pytest.mark.parametrize(
    ("written", "same", "kind"),
    [
        ('5/8"', "0.625 in", "length"),
        ("1-1/4in", "1.25 in", "length"),
        ("5/8″", "0.625 in", "length"),
        ("6’", "6 ft", "length"),
        ("1½ in", "1.5 in", "length"),
        ("12L/min", "12 l/min", "flow"),
        ("3 m³ / h", "3 m3/h", "flow"),
        ("3 m^3/h", "3 m3/h", "flow"),
        ("3 US gpm", "3 us gpm", "flow"),
        ("1.2 mPa·s", "1.2 mPa.s", "viscosity"),
        ("900 W/(m² K)", "900 W/m2K", "heat transfer"),
        ("3\u00a0bar", "3 barg", "pressure"),
        ("6 in  Hg", "6 inHg", "pressure"),
        ("50 \u03bcm", "0.05 mm", "length"),
    ],
)
def test_other_ways_to_write_it_mean_the_same(written: str, same: str, kind: str) -> None:
    assert read(written, kind).value == pytest.approx(read(same, kind).value, rel=1e-12)
