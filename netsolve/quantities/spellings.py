"""The table of quantities: every unit that may be written, by kind, and the units it is shown in.

A spelling maps to an expression in pint's names; `{gallon}` stands for the gallon the circuit means.
Spellings are in plain characters, as `kinds.plain` gives them: `m3` for `m³`, `"` for `″`.
"""

from __future__ import annotations

import math
from collections.abc import Mapping
from types import MappingProxyType

from netsolve.quantities.kinds import Kind, always, each_over, gallons, over, table

_LENGTH = table(
    {
        "micrometer": "um|µm|micron|microns",
        "millimeter": "mm|MM",
        "centimeter": "cm",
        "meter": "m|metre|metres|meter|meters",
        "inch": 'in|in.|inch|inches|"|IN',
        "foot": "ft|ft.|foot|feet|'|FT",
    }
)
_FLOW = table(
    {
        "liter/second": "L/s|l/s|L/sec|l/sec|lps|LPS",
        "liter/minute": "L/min|l/min|lpm|LPM|Lpm|L/mn|litres/min|liters/min",
        "liter/hour": "L/h|l/h|L/hr|l/hr|lph|LPH|litres/h|litres/hour|liters/hour",
        "milliliter/minute": "mL/min|ml/min",
        "meter**3/second": "m3/s",
        "meter**3/minute": "m3/min",
        "meter**3/hour": "m3/h|m3/hr",
        "foot**3/second": "ft3/s",
        "foot**3/minute": "ft3/min|cfm|CFM",
        **gallons("minute", "gpm", "GPM", "gal/min", "gallons/min", "gallons/minute"),
        **gallons("hour", "gph", "GPH", "gal/h", "gal/hr", "gallons/hour"),
    }
)
_PRESSURE = table(
    {
        "pascal": "Pa",
        "kilopascal": "kPa|KPa|kpa|KPA",
        "megapascal": "MPa",
        "hectopascal": "hPa",
        "bar": "bar|Bar|BAR|barg|bar g|bar(g)",
        "millibar": "mbar|mbarg",
        "psi": "psi|PSI|Psi|psig|PSIG|psi g|lb/in2|lbf/in2",
        "inHg": 'inHg|in Hg|in. Hg|"Hg',
        "mmHg": "mmHg|mm Hg",
        "mmH2O": "mmH2O|mm H2O",
        "cmH2O": "cmH2O|cm H2O",
        "meter*g_0*kilogram/liter": "mH2O|m H2O|mWC|m WC",
        "inH2O": 'inH2O|in H2O|in. H2O|"H2O',
        "ftH2O": "ftH2O|ft H2O",
        "kilogram*g_0/centimeter**2": "kgf/cm2|kg/cm2",
    }
)
_RATIO = table({"percent": "%|per cent|percent|pct"})
_BTU = "BTU|Btu|btu"

_BARE_OVER_PRESSURE = each_over({"1": "dimensionless", "": "dimensionless"}, _PRESSURE)

_KINDS = {
    "length": Kind(
        "a length", "meter", _LENGTH, ("16 mm", "5/8 in", "2.5 m"),
        (("mm", 1.0), ("m", math.inf)), (("in", 0.3048), ("ft", math.inf)),
    ),
    "area": Kind(
        "an area", "meter**2",
        table({
            "millimeter**2": "mm2", "centimeter**2": "cm2", "meter**2": "m2",
            "inch**2": "in2|sq in", "foot**2": "ft2|sq ft",
        }),
        ("300 mm2", "0.5 in2", "1.2 m2"),
        (("mm²", 0.01), ("m²", math.inf)), (("in²", 0.09290304), ("ft²", math.inf)),
    ),
    "volume": Kind(
        "a volume", "meter**3",
        table({
            "milliliter": "mL|ml|cm3|cc", "liter": "L|l|litre|litres|liter|liters", "meter**3": "m3",
            "inch**3": "in3|cu in", "foot**3": "ft3|cu ft", "{gallon}": "gal|gallon|gallons",
            "gallon": "us gal|US gal|us gallons|US gallons|US gallon|us gallon",
            "imperial_gallon": "imp gal|Imp gal|UK gal|uk gal|imp gallons|UK gallons|imp gallon|UK gallon",
        }),
        ("20 L", "5 gal", "0.2 m3"), always("L"), always("gal"),
    ),
    "flow": Kind(
        "a flow", "meter**3/second", _FLOW, ("12 L/min", "3 gpm", "700 L/h"),
        always("L/min"), always("gpm"),
    ),
    "pressure": Kind(
        "a pressure", "pascal", _PRESSURE, ("20 kPa", "3 psi", "0.2 bar"), always("kPa"), always("psi"),
    ),
    "head": Kind(
        "a pressure or a head of water", "pascal", _PRESSURE, ("20 kPa", "3 psi", "2 m"),
        always("kPa"), always("psi"),
    ),
    "rotation": Kind(
        "a speed of rotation", "revolution/second",
        table({
            "revolution/minute": "rpm|RPM|r/min|rev/min|1/min|/min",
            "revolution/second": "rev/s|r/s|1/s|Hz|rps",
        }),
        ("2600 rpm", "700 1/min"), always("rpm"), always("rpm"),
    ),
    "velocity": Kind(
        "a speed", "meter/second",
        table({
            "meter/second": "m/s", "foot/second": "ft/s|fps", "knot": "kn|kt|kts|knot|knots",
            "kilometer/hour": "km/h|kph", "mile/hour": "mph",
        }),
        ("2 m/s", "6 ft/s", "8 kn"), always("m/s"), always("ft/s"),
    ),
    "angle": Kind(
        "an angle", "radian",
        table({"degree": "deg|°|degree|degrees", "radian": "rad"}),
        ("90 deg", "0.5 rad"), always("deg"), always("deg"),
    ),
    "temperature": Kind(
        "a temperature", "kelvin",
        table({
            "degC": "degC|°C|C|deg C|° C", "degF": "degF|°F|F|deg F|° F", "kelvin": "K",
        }),
        ("14 degC", "57 degF"), always("°C"), always("°F"),
    ),
    "temperature difference": Kind(
        "a temperature difference", "kelvin",
        table({
            "kelvin": "K", "delta_degC": "degC|°C|C|deg C|° C", "delta_degF": "degF|°F|F|deg F|° F",
        }),
        ("10 K", "18 degF"), always("K"), always("°F"),
    ),
    "ratio": Kind(
        "a ratio", "dimensionless", _RATIO, ("46 %", "0.46"), always("%"), always("%"), bare=True,
    ),
    "number": Kind(
        "a plain number", "dimensionless", MappingProxyType({}), ("8", "1.5"),
        always(""), always(""), bare=True,
    ),
    "density": Kind(
        "a density", "kilogram/meter**3",
        table({
            "kilogram/meter**3": "kg/m3|g/L|g/l", "kilogram/liter": "kg/L|kg/l|g/cm3|g/mL|g/ml",
            "pound/foot**3": "lb/ft3",
        }),
        ("1025 kg/m3", "64 lb/ft3"), always("kg/m³"), always("lb/ft³"),
    ),
    "viscosity": Kind(
        "a dynamic viscosity", "pascal*second",
        table({"millipascal*second": "mPa.s|mPa s|mPas|cP", "pascal*second": "Pa.s|Pa s"}),
        ("1.2 mPa.s", "1.2 cP"), always("mPa s"), always("cP"),
    ),
    "heat capacity": Kind(
        "a heat capacity", "joule/kilogram/kelvin",
        table({
            "joule/kilogram/kelvin": over("J", "kg", "K"), "kilojoule/kilogram/kelvin": over("kJ", "kg", "K"),
            "Btu_it/pound/delta_degF": over(_BTU, "lb", "F"),
        }),
        ("3990 J/(kg K)", "0.95 BTU/(lb F)"), always("J/(kg K)"), always("BTU/(lb F)"),
    ),
    "conductivity": Kind(
        "a thermal conductivity", "watt/meter/kelvin",
        table({
            "watt/meter/kelvin": over("W", "m", "K"),
            "Btu_it/hour/foot/delta_degF": over(_BTU, "h", "ft", "F"),
        }),
        ("50 W/(m K)", "29 BTU/(h ft F)"), always("W/(m K)"), always("BTU/(h ft F)"),
    ),
    "power": Kind(
        "a power", "watt",
        table({
            "watt": "W", "kilowatt": "kW|KW|kw", "horsepower": "hp|HP|bhp|BHP",
            "Btu_it/hour": "BTU/h|BTU/hr|Btu/h|Btu/hr|btu/h|btu/hr",
        }),
        ("12 kW", "16 hp"), (("W", 1000.0), ("kW", math.inf)), always("BTU/h"),
    ),
    "mass": Kind(
        "a mass", "kilogram", table({"gram": "g", "kilogram": "kg", "pound": "lb|lbs"}),
        ("2 kg", "4.4 lb"), always("kg"), always("lb"),
    ),
    "mass flow": Kind(
        "a mass flow", "kilogram/second",
        table({
            "kilogram/second": "kg/s", "kilogram/minute": "kg/min", "kilogram/hour": "kg/h|kg/hr",
            "gram/second": "g/s", "pound/minute": "lb/min", "pound/hour": "lb/h|lb/hr",
        }),
        ("300 kg/h", "660 lb/h"), always("kg/h"), always("lb/h"),
    ),
    "time": Kind(
        "a time", "second",
        table({
            "second": "s|sec|second|seconds", "minute": "min|minute|minutes", "hour": "h|hr|hour|hours",
            "day": "d|day|days",
        }),
        ("30 s", "5 min", "2 h"),
        (("s", 120.0), ("min", 7200.0), ("h", math.inf)), (("s", 120.0), ("min", 7200.0), ("h", math.inf)),
    ),
    "salinity": Kind(
        "a salinity", "gram/kilogram", table({"gram/kilogram": "g/kg|ppt|‰"}),
        ("34 g/kg", "34 ppt"), always("g/kg"), always("g/kg"),
    ),
    "conductance": Kind(
        "a conductance", "watt/kelvin",
        table({
            "watt/kelvin": "W/K", "kilowatt/kelvin": "kW/K", "Btu_it/hour/delta_degF": over(_BTU, "h", "F"),
        }),
        ("800 W/K", "1500 BTU/(h F)"), always("W/K"), always("BTU/(h F)"),
    ),
    "heat transfer": Kind(
        "a heat transfer coefficient", "watt/meter**2/kelvin",
        table({
            "watt/meter**2/kelvin": over("W", "m2", "K"), "kilowatt/meter**2/kelvin": over("kW", "m2", "K"),
            "Btu_it/hour/foot**2/delta_degF": over(_BTU, "h", "ft2", "F"),
        }),
        ("900 W/(m2 K)", "160 BTU/(h ft2 F)"), always("W/(m² K)"), always("BTU/(h ft² F)"),
    ),
    "fouling": Kind(
        "a fouling resistance", "meter**2*kelvin/watt",
        table({
            "meter**2*kelvin/watt": "m2K/W|m2 K/W|m2.K/W",
            "meter**2*kelvin/kilowatt": "m2K/kW|m2 K/kW|m2.K/kW",
            "hour*foot**2*delta_degF/Btu_it": "h ft2 F/BTU|h.ft2.F/BTU|h ft2 F/Btu",
        }),
        ("0.0001 m2K/W", "0.0005 h ft2 F/BTU"), always("m² K/W"), always("h ft² F/BTU"),
    ),
    "ratio per pressure": Kind(
        "a share per pressure", "1/pascal",
        MappingProxyType({**each_over(_RATIO, _PRESSURE), **_BARE_OVER_PRESSURE}),
        ("12 %/bar", "0.8 %/psi"), always("%/bar"), always("%/psi"),
    ),
    "flow per pressure": Kind(
        "a flow per pressure", "meter**3/second/pascal", each_over(_FLOW, _PRESSURE),
        ("6 gpm/bar", "20 L/min/bar"), always("L/min/bar"), always("gpm/psi"),
    ),
}  # fmt: skip

KINDS: Mapping[str, Kind] = MappingProxyType(_KINDS)
