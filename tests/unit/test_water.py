"""Water: ranges, arrays, and agreement with other libraries' formulations."""

from __future__ import annotations

import gsw
import numpy as np
import numpy.typing as npt
import pytest
from CoolProp.CoolProp import PropsSI

from netsolve.water import FRESH_TEMPERATURE, SALINITY, SEA_TEMPERATURE, custom_water, fresh_water, sea_water

CELSIUS = np.tile(np.linspace(0.0, 40.0, 21), 5)
GRAMS = np.repeat([1.0, 10.0, 20.0, 35.0, 42.0], 21)


def coolprop_values(name: str, kelvin: npt.NDArray[np.float64], pressure: float, fluid: str) -> list[float]:
    return [PropsSI(name, "T", t, "P", pressure, fluid) for t in kelvin]


def test_sea_water_density_and_heat_capacity_agree_with_teos_10() -> None:
    water = sea_water(CELSIUS + 273.15, GRAMS)
    conservative = gsw.CT_from_t(GRAMS, CELSIUS, 0.0)
    assert gsw.rho(GRAMS, conservative, 0.0) == pytest.approx(water.density, rel=0.0006)
    assert gsw.cp_t_exact(GRAMS, CELSIUS, 0.0) == pytest.approx(water.heat_capacity, rel=0.003)


def test_sea_water_agrees_with_another_fit_of_the_same_data() -> None:
    # CoolProp's MITSW is its own polynomial through Sharqawy et al. (2010); 0.9 % off in viscosity at 0 degC.
    kelvin = np.linspace(273.15, 313.15, 21)
    water, other = sea_water(kelvin, 35.0), "INCOMP::MITSW[0.035]"
    assert coolprop_values("V", kelvin, 101325.0, other) == pytest.approx(water.viscosity, rel=0.015)
    assert coolprop_values("D", kelvin, 101325.0, other) == pytest.approx(water.density, rel=0.0001)
    assert coolprop_values("C", kelvin, 101325.0, other) == pytest.approx(water.heat_capacity, rel=0.0002)


def test_sea_water_lowers_the_vapour_pressure_as_teos_10_says() -> None:
    # Liquid and vapour have one potential: ln(p/p0) = (mu - mu0)/(R T), R 461.52 J/(kg K); gsw gives J/g.
    for celsius in (5.0, 15.0, 30.0):
        salty, pure = (gsw.chem_potential_water_t_exact(salinity, celsius, 0.0) for salinity in (35.0, 0.0))
        expected = np.exp(1000.0 * (salty - pure) / (461.52 * (celsius + 273.15)))
        sea, fresh = sea_water(celsius + 273.15, 35.0), fresh_water(celsius + 273.15)
        assert expected == pytest.approx(sea.vapour_pressure / fresh.vapour_pressure, rel=0.0005)


def test_fresh_water_agrees_with_iapws_95_over_its_range() -> None:
    kelvin = np.linspace(273.16, 372.0, 41)
    water, pressure = fresh_water(kelvin), 1e5
    assert coolprop_values("D", kelvin, pressure, "Water") == pytest.approx(water.density, rel=5e-6)
    assert coolprop_values("C", kelvin, pressure, "Water") == pytest.approx(water.heat_capacity, rel=1e-4)
    assert coolprop_values("V", kelvin, pressure, "Water") == pytest.approx(water.viscosity, rel=2e-3)
    assert coolprop_values("L", kelvin, pressure, "Water") == pytest.approx(water.conductivity, rel=2e-3)


def test_vapour_pressure_agrees_with_the_saturation_line() -> None:
    kelvin = np.linspace(273.16, 373.0, 41)
    expected = [PropsSI("P", "T", t, "Q", 0, "Water") for t in kelvin]
    assert expected == pytest.approx(fresh_water(kelvin).vapour_pressure, rel=1e-3)


def test_sea_water_without_salt_is_nearly_fresh_water() -> None:
    kelvin = np.linspace(278.15, 333.15, 12)
    salty, fresh = sea_water(kelvin, 0.0), fresh_water(kelvin)
    assert fresh.density == pytest.approx(salty.density, rel=0.0003)
    assert fresh.viscosity == pytest.approx(salty.viscosity, rel=0.002)
    assert fresh.heat_capacity == pytest.approx(salty.heat_capacity, rel=0.003)
    assert fresh.conductivity == pytest.approx(salty.conductivity, rel=0.002)
    assert fresh.vapour_pressure == pytest.approx(salty.vapour_pressure, rel=1e-12)


def test_sea_water_conductivity_falls_by_the_published_share_with_salt() -> None:
    # Nayar et al. (2016): divided by 1 + 0.00022 S.
    pure, salty = sea_water(293.15, 0.0), sea_water(293.15, 100.0)
    assert 1.022 == pytest.approx(pure.conductivity / salty.conductivity, rel=1e-12)


def test_rows_of_temperature_and_salinity_broadcast() -> None:
    water = sea_water(np.array([[278.15], [293.15]]), np.array([10.0, 20.0, 35.0]))
    assert (2, 3) == np.shape(water.density) == np.shape(water.viscosity) == np.shape(water.vapour_pressure)
    one = sea_water(293.15, 35.0)
    assert one.density == pytest.approx(np.asarray(water.density)[1, 2], rel=1e-15)
    assert one.heat_capacity == pytest.approx(np.asarray(water.heat_capacity)[1, 2], rel=1e-15)


@pytest.mark.parametrize("kelvin", [FRESH_TEMPERATURE[0] - 0.1, FRESH_TEMPERATURE[1] + 0.1, np.nan])
def test_fresh_water_refuses_ice_steam_and_nothing(kelvin: float) -> None:
    with pytest.raises(ValueError, match=r"temperature of fresh water must lie between 0 and 100 degC, not"):
        fresh_water(kelvin)


@pytest.mark.parametrize("kelvin", [SEA_TEMPERATURE[0] - 0.1, SEA_TEMPERATURE[1] + 0.1, 15.0])
def test_sea_water_refuses_temperatures_outside_its_range(kelvin: float) -> None:
    with pytest.raises(ValueError, match=r"temperature of sea water must lie between -2 and 100 degC, not"):
        sea_water(np.array([288.15, kelvin]), 35.0)


@pytest.mark.parametrize("salinity", [SALINITY[0] - 0.1, SALINITY[1] + 0.1])
def test_sea_water_refuses_salinities_outside_its_range(salinity: float) -> None:
    with pytest.raises(ValueError, match=rf"must lie between 0 and 150 g/kg, not {salinity:g} g/kg"):
        sea_water(288.15, salinity)


def test_the_ends_of_the_ranges_are_allowed() -> None:
    ends = sea_water(np.array(SEA_TEMPERATURE), np.array(SALINITY))
    assert np.all(np.isfinite(ends.density))
    assert np.all(np.isfinite(fresh_water(np.array(FRESH_TEMPERATURE)).density))


def test_custom_water_fills_in_fresh_water_at_20_degrees() -> None:
    fresh, custom = fresh_water(293.15), custom_water(1000.0, 1e-3)
    assert (1000.0, 1e-3) == (custom.density, custom.viscosity)
    assert fresh.heat_capacity == pytest.approx(custom.heat_capacity, rel=1e-3)
    assert fresh.conductivity == pytest.approx(custom.conductivity, rel=1e-3)
    assert fresh.vapour_pressure == pytest.approx(custom.vapour_pressure, rel=1e-3)


def test_custom_water_refuses_what_no_liquid_has() -> None:
    with pytest.raises(ValueError, match=r"the viscosity of a liquid must be above zero, not 0\.0"):
        custom_water(1000.0, 0.0)
    with pytest.raises(ValueError, match=r"the vapour pressure of a liquid must not be below zero, not -1\.0"):
        custom_water(1000.0, 1e-3, vapour_pressure=-1.0)
