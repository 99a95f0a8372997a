"""Where sea water is sprayed into the exhaust."""

from collections.abc import Iterable

from netsolve.plugin import (
    EXIT,
    Array,
    Opening,
    Quadratic,
    Water,
    k_drop,
    quadratic_mouth,
    quantity,
    word,
)


class ExhaustInjection(Opening):
    """Where water enters the exhaust, against the gas pressure there; water can only leave."""

    roles = ("exhaust",)

    height: float = quantity(
        "length", "height of the injection point above the waterline at rest", shown="m", example="0.3 m"
    )
    bore: float | None = quantity(
        "length", "inside diameter of the nipple", shown="mm", above=0, default=None, example="32 mm"
    )
    back_pressure: float = quantity("pressure", "gas pressure at the injection point", shown="kPa", default=0.0)
    back_pressure_at_rated: float | None = quantity(
        "pressure",
        "gas pressure at the engine's rated speed; it follows the speed squared",
        shown="kPa",
        default=None,
    )
    speed: float | None = quantity(
        "rotation", "engine speed", shown="rpm", at_least=0, default=None, engine="speed", hidden=True
    )
    rated_speed: float | None = quantity(
        "rotation",
        "rated engine speed",
        shown="rpm",
        above=0,
        default=None,
        engine="rated_speed",
        hidden=True,
    )
    gas_flow: float | None = quantity(
        "mass flow", "exhaust gas from the engine; 0.28 kg/s at 170 kW", shown="kg/h", at_least=0, default=None
    )
    gas_temperature: float | None = quantity(
        "temperature", "temperature of the gas before the injection; 300 to 500 degC", shown="degC", default=None
    )
    losses: str = word("entrance and exit losses", "counted", "none", default="counted")

    sources = (
        "common practice, no source: the back pressure of a wet exhaust follows the square of the speed",
        "Borda-Carnot; Crane TP-410, A-30: exit 1.0",
    )

    def pressure(self, flow: Array, water: Water) -> Array:
        """Total gauge pressure before the injection point, Pa; flow positive into the circuit."""
        if self.losses == "none" or self.bore is None:
            return self._gas() + 0.0 * flow
        return self._gas() - k_drop(flow, self.bore, EXIT, water)

    def end_quadratic(self, water: Water) -> Quadratic:
        """The loss at the end as the sum of its powers."""
        return quadratic_mouth(self.bore if self.losses != "none" else None, EXIT, EXIT, water)

    def _gas(self) -> Array:
        if self.back_pressure_at_rated is None:
            return self.back_pressure
        if self.speed is None or self.rated_speed is None:
            return self.back_pressure_at_rated
        share = self.speed / self.rated_speed
        return self.back_pressure_at_rated * share * share

    def one_way(self) -> Array | bool:
        """Gas would come back, never water."""
        return True

    def check(self) -> Iterable[str]:
        """Two back pressures, or one that has no speed to follow."""
        if (self.gas_flow is None) != (self.gas_temperature is None):
            yield "gas_flow and gas_temperature belong together: give both, or neither"
        if self.back_pressure_at_rated is None:
            return
        if self.back_pressure != 0.0:
            yield "back_pressure and back_pressure_at_rated both set the gas pressure: give one"
        if self.speed is None or self.rated_speed is None:
            yield "back_pressure_at_rated follows the engine: give the engine a speed and a rated_speed"
