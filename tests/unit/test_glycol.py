"""Glycol and water: the published polynomials, their range, and how they join pure water."""

from __future__ import annotations

import numpy as np
import pytest
from CoolProp.CoolProp import PropsSI

from netsolve.contract.declare import declared
from netsolve.contract.waters import KINDS, GlycolWater
from netsolve.laws.glycol import _GLYCOLS, FRACTION, GLYCOLS, HOTTEST, freezing_point, glycol_water
from netsolve.water import fresh_water
from tests.fits.fit_glycol import PROPERTIES, fit, fit_freezing

FLUIDS = {"ethylene": "MEG", "propylene": "MPG"}
SHARES = np.linspace(0.0, 0.6, 13)


def coolprop(name: str, base: str, share: float, kelvin: float) -> float:
    return float(PropsSI(name, "T", kelvin, "P", 101325, f"INCOMP::{FLUIDS[base]}[{share}]"))


@pytest.mark.parametrize("base", GLYCOLS)
@pytest.mark.parametrize(
    ("name", "field", "error"),
    [
        ("D", "density", 4e-6),
        ("V", "viscosity", 4e-6),
        ("C", "heat_capacity", 4e-6),
        ("L", "conductivity", 1.1e-4),
    ],
)
def test_properties_are_melinders_within_the_stated_error(base: str, name: str, field: str, error: float) -> None:
    # Source: Melinder (2010), as CoolProp evaluates it, from freezing to 100 degC.
    for share in SHARES:
        kelvin = np.linspace(float(freezing_point(base, share)) + 1e-3, HOTTEST, 15)
        expected = [coolprop(name, base, share, t) for t in kelvin]
        assert getattr(glycol_water(base, share, kelvin), field) == pytest.approx(expected, rel=error)


@pytest.mark.parametrize("name", PROPERTIES)
@pytest.mark.parametrize("base", GLYCOLS)
def test_coefficients_are_those_of_the_fit_rounded(base: str, name: str) -> None:
    found = fit(base, name)

    assert found.error < 1e-12  # so the fit has the terms of the published polynomials
    for row, expected in zip(getattr(_GLYCOLS[base], name), found.rows, strict=True):
        assert row == pytest.approx(expected, rel=6e-4)


@pytest.mark.parametrize("base", GLYCOLS)
def test_freezing_points_coefficients_are_those_of_the_fit_rounded(base: str) -> None:
    assert _GLYCOLS[base].freezing == pytest.approx(fit_freezing(base).rows[0], abs=1e-4)


@pytest.mark.parametrize("base", GLYCOLS)
def test_freezing_point_is_melinders(base: str) -> None:
    expected = [coolprop("T_freeze", base, share, 300.0) for share in SHARES]
    assert freezing_point(base, SHARES) == pytest.approx(expected, abs=0.01)


@pytest.mark.parametrize(
    ("share", "density", "viscosity", "heat_capacity"), [(0.3, 1038.0, 2.17e-3, 3718.0), (0.5, 1064.9, 3.69e-3, 3312.0)]
)
def test_ethylene_glycol_at_20_degrees(share: float, density: float, viscosity: float, heat_capacity: float) -> None:
    # Source: Melinder (2010) through CoolProp, noted to four digits.
    water = glycol_water("ethylene", share, 293.15)
    assert water.density == pytest.approx(density, rel=1e-4)
    assert water.viscosity == pytest.approx(viscosity, rel=3e-3)
    assert water.heat_capacity == pytest.approx(heat_capacity, rel=2e-4)


@pytest.mark.parametrize("base", GLYCOLS)
def test_without_glycol_it_is_nearly_fresh_water(base: str) -> None:
    kelvin = np.linspace(274.0, 372.0, 15)
    none, fresh = glycol_water(base, 0.0, kelvin), fresh_water(kelvin)
    assert none.density == pytest.approx(fresh.density, rel=0.001)
    assert none.viscosity == pytest.approx(fresh.viscosity, rel=0.02)
    assert none.heat_capacity == pytest.approx(fresh.heat_capacity, rel=0.002)
    assert none.conductivity == pytest.approx(fresh.conductivity, rel=0.01)
    assert none.vapour_pressure == pytest.approx(fresh.vapour_pressure, rel=1e-12)


def test_vapour_pressure_is_that_of_the_water_among_the_molecules() -> None:
    # Raoult: a mole of ethylene glycol is 62.07 g, of water 18.015 g; 57.5 % by mass is 28.2 % of the molecules.
    share = 0.575
    of_water = (0.425 / 18.015) / (0.425 / 18.015 + 0.575 / 62.07)
    water = glycol_water("ethylene", share, 353.15)
    assert water.vapour_pressure == pytest.approx(of_water * fresh_water(353.15).vapour_pressure, rel=1e-9)


def test_rows_of_shares_and_temperatures_broadcast() -> None:
    rows = glycol_water("propylene", np.array([[0.2], [0.4]]), np.array([290.0, 310.0, 330.0]))
    assert np.shape(rows.density) == np.shape(rows.viscosity) == (2, 3)
    assert np.asarray(rows.viscosity)[1, 2] == pytest.approx(glycol_water("propylene", 0.4, 330.0).viscosity, rel=1e-14)


@pytest.mark.parametrize(
    ("share", "kelvin", "sentence"),
    [
        (0.3, 253.15, r"temperature of 30 % ethylene glycol must lie between -14\.6 \(where it freezes\) and 100 degC"),
        (0.5, 380.0, r"temperature of 50 % ethylene glycol must lie between -36\.0 .* not 106\.85 degC"),
        (0.3, np.nan, "temperature of 30 % ethylene glycol must lie between"),
        (0.7, 300.0, "share of ethylene glycol must lie between 0 and 60 %, not 70 %"),
    ],
)
def test_ice_steam_and_too_much_glycol_are_refused(share: float, kelvin: float, sentence: str) -> None:
    with pytest.raises(ValueError, match=sentence):
        glycol_water("ethylene", share, kelvin)


def test_a_file_names_it_by_its_base_and_its_share() -> None:
    record = KINDS["glycol"].model_validate({"base": "propylene", "fraction": "40 %", "temperature": "80 degC"})

    assert record == GlycolWater(base="propylene", fraction=0.4, temperature=353.15)
    assert record.water() == glycol_water("propylene", 0.4, 353.15)
    assert declared(GlycolWater)["fraction"].at_most == FRACTION[1]  # type: ignore[union-attr]
