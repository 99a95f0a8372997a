"""The waters that a file can name, as declared records; each gives its properties."""

from __future__ import annotations

from collections.abc import Mapping
from typing import Any, ClassVar

from netsolve.contract.declare import Declared, quantity, word
from netsolve.laws.glycol import FRACTION, GLYCOLS, glycol_fluid, glycol_water
from netsolve.water import (
    SALINITY,
    Array,
    Water,
    custom_water,
    fresh_fluid,
    fresh_water,
    sea_fluid,
    sea_water,
)

_USUAL = "15 degC and 35 g/kg: the usual reference for sea water"

_BY_CONDITIONS = "write one temperature here, and others as water.temperature in conditions"


class SeaWater(Declared):
    """Sea water."""

    temperature: float = quantity(
        "temperature", "temperature", shown="degC", default=288.15, assumed=_USUAL, exact=_BY_CONDITIONS
    )
    salinity: float = quantity(
        "salinity",
        "salinity",
        shown="g/kg",
        at_least=SALINITY[0],
        at_most=SALINITY[1],
        default=35.0,
        assumed=_USUAL,
    )

    def water(self) -> Water:
        """Its properties; ValueError outside the range of the correlations."""
        return sea_water(self.temperature, self.salinity)

    def fluid_at(self, temperature: Array) -> tuple[Array, Array]:
        """Density (kg/m3) and viscosity (Pa s) at other temperatures (K); out of range those at its end."""
        return sea_fluid(temperature, self.salinity)


def _as_for_the_sea() -> Any:
    """The temperature of a liquid that is not sea water."""
    return quantity(
        "temperature",
        "temperature",
        shown="degC",
        default=288.15,
        assumed="15 degC, as for sea water",
        exact=_BY_CONDITIONS,
    )


class FreshWater(Declared):
    """Fresh water."""

    scales: ClassVar[bool] = False

    temperature: float = _as_for_the_sea()

    def water(self) -> Water:
        """Its properties; ValueError outside the range of the correlations."""
        return fresh_water(self.temperature)

    def fluid_at(self, temperature: Array) -> tuple[Array, Array]:
        """Density (kg/m3) and viscosity (Pa s) at other temperatures (K); out of range those at its end."""
        return fresh_fluid(temperature)


class CustomWater(Declared):
    """A liquid known by its numbers; what is left out is that of fresh water at 20 degC."""

    density: float = quantity("density", "density", shown="kg/m3", above=0)
    viscosity: float = quantity("viscosity", "dynamic viscosity", shown="mPa s", above=0)
    heat_capacity: float | None = quantity("heat capacity", "heat capacity", above=0, default=None)
    vapour_pressure: float | None = quantity("pressure", "vapour pressure, absolute", at_least=0, default=None)
    conductivity: float | None = quantity("conductivity", "conductivity of heat", above=0, default=None)
    temperature: float | None = quantity(
        "temperature",
        "temperature at which it comes in, where heat is asked for; its properties are as written",
        shown="degC",
        default=None,
        exact=_BY_CONDITIONS,
    )

    def water(self) -> Water:
        """Its properties."""
        optional = ("heat_capacity", "vapour_pressure", "conductivity")
        given = {name: value for name in optional if (value := getattr(self, name)) is not None}
        return custom_water(self.density, self.viscosity, **given)

    def fluid_at(self, temperature: Array) -> tuple[Array, Array]:
        """Density (kg/m3) and viscosity (Pa s) as written, whatever the temperature (K)."""
        return self.density + 0.0 * temperature, self.viscosity + 0.0 * temperature


class GlycolWater(Declared):
    """Antifreeze: glycol and water, as in the closed side of an engine."""

    scales: ClassVar[bool] = False

    base: str = word("which glycol it is, from the label", *GLYCOLS)
    fraction: float = quantity(
        "ratio",
        "share of glycol by mass; 50 % is 47 % (ethylene) or 49 % (propylene) by volume, as labels and testers have it",
        shown="%",
        at_least=FRACTION[0],
        at_most=FRACTION[1],
    )
    temperature: float = _as_for_the_sea()

    def water(self) -> Water:
        """Its properties; ValueError where it is frozen or hotter than the correlations go."""
        return glycol_water(self.base, self.fraction, self.temperature)

    def fluid_at(self, temperature: Array) -> tuple[Array, Array]:
        """Density (kg/m3) and viscosity (Pa s) at other temperatures (K); out of range those at its end."""
        return glycol_fluid(self.base, self.fraction, temperature)


Liquid = SeaWater | FreshWater | GlycolWater | CustomWater

KINDS: Mapping[str, type[Liquid]] = {
    "sea": SeaWater,
    "fresh": FreshWater,
    "glycol": GlycolWater,
    "custom": CustomWater,
}
"""What may stand after `kind:`."""
