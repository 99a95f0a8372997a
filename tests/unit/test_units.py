"""Text to SI numbers and back."""

from __future__ import annotations

import math
import subprocess
import sys
from typing import Any

import pytest
from hypothesis import example, given
from hypothesis import strategies as st

from netsolve.units import KINDS, TWO_DECIMALS, UnitError, article, convert, fits, read, show, shown_units, uses_gallon


def refusal(text: str, kind: str, **settings: Any) -> UnitError:
    with pytest.raises(UnitError) as caught:
        read(text, kind, **settings)
    return caught.value


kinds = st.sampled_from(sorted(KINDS))
SPELLINGS = [(kind, spelling) for kind, spec in KINDS.items() for spelling in spec.units]


@pytest.mark.parametrize(
    ("text", "bore"),
    # Source: ASME B36.10M schedule 40; EN 10255 medium series.
    [
        ("NPS 3/4", 0.02096),
        ("nps 1¼", 0.03508),
        ("NPS 1-1/4", 0.03508),
        ("NPS 1 1/4", 0.03508),
        ("BSP 3/4", 0.0217),
        ("BSP 2", 0.0531),
    ],
)
def test_pipe_size_is_its_true_bore(text: str, bore: float) -> None:
    assert read(text, "length").value == pytest.approx(bore, rel=1e-12)


@pytest.mark.parametrize(
    ("text", "kind", "value", "spread"),
    [
        ("16 mm ± 0.5 mm", "length", 0.016, 0.0005),
        ("16 mm +- 0.5 mm", "length", 0.016, 0.0005),
        ("16 mm+/-0.5mm", "length", 0.016, 0.0005),
        ("16 mm ± 1/2 mm", "length", 0.016, 0.0005),
        ("16 ± 0.5 mm", "length", 0.016, 0.0005),
        ("2 m ± 10 cm", "length", 2.0, 0.1),
        ("-2 m ± 5 %", "length", -2.0, 0.1),
        ("8 ± 20 %", "number", 8.0, 1.6),
        ("8 ± 2", "number", 8.0, 2.0),
        ("50 % ± 10 %", "ratio", 0.5, 0.05),
        ("0.5 ± 0.1", "ratio", 0.5, 0.1),
        ("15 degC ± 2 K", "temperature", 288.15, 2.0),
        ("15 degC ± 9 degF", "temperature", 288.15, 5.0),
        ("NPS 3/4 ± 0.5 mm", "length", 0.02096, 0.0005),
        ("16 mm ± 0 mm", "length", 0.016, 0.0),
    ],
)
def test_uncertainty_is_a_half_width_in_si(text: str, kind: str, value: float, spread: float) -> None:
    reading = read(text, kind)
    assert (reading.value, reading.spread) == pytest.approx((value, spread), rel=1e-12)


def test_no_uncertainty_written_is_none() -> None:
    assert read("+16 mm", "length").spread is None


def test_a_head_is_a_pressure_or_a_height_of_the_water() -> None:
    assert read("20 kPa", "head").value == pytest.approx(20e3, rel=1e-12)
    assert read("2 m", "head", density=1025.0).value == pytest.approx(1025.0 * 9.80665 * 2, rel=1e-12)
    assert read("10 ft ± 1 ft", "head", density=1000.0).spread == pytest.approx(9806.65 * 0.3048, rel=1e-12)


def test_a_head_in_metres_needs_the_density_of_the_water() -> None:
    assert refusal("2 m", "head").code == "no-density"


def test_a_head_does_not_remember_another_waters_density() -> None:
    fresh, sea = (read("1 m", "head", density=density).value for density in (1000.0, 1025.0))
    assert sea / fresh == pytest.approx(1.025, rel=1e-12)


def test_a_gallon_is_what_the_circuit_says() -> None:
    # 4.54609 L and 3.785411784 L, exact.
    us, imperial = (read("3 gpm", "flow", gallon=gallon).value for gallon in ("us", "imperial"))
    assert imperial / us == pytest.approx(4.54609 / 3.785411784, rel=1e-12)


def test_a_named_gallon_stays_what_it_is() -> None:
    assert read("3 us gpm", "flow", gallon="imperial") == read("3 gpm", "flow", gallon="us")
    assert read("3 imp gpm", "flow", gallon="us") == read("3 gpm", "flow", gallon="imperial")


@pytest.mark.parametrize(
    ("text", "uses"),
    [
        ("3 gpm", True),
        ("3 GPH", True),
        ("5 gal", True),
        ("6 gpm/bar", True),
        ("10 L/min ± 1 gpm", True),
        ("3 us gpm", False),
        ("3 imp gpm", False),
        ("12 L/min", False),
        ("gpm", False),
        ("", False),
        ("3", False),
    ],
)
def test_uses_gallon_is_true_where_the_text_does_not_say_which(text: str, uses: bool) -> None:
    assert uses_gallon(text) is uses


@pytest.mark.parametrize(
    ("text", "kind", "shown"),
    [
        ("0 L/min", "flow", "0 L/min (0 gpm)"),
        ("4.9 L/min", "flow", "4.9 L/min (1.29 gpm)"),
        ("0.52 L/min", "flow", "0.52 L/min (0.14 gpm)"),
        ("165 L/min", "flow", "165 L/min (43.6 gpm)"),
        ("-42.7 L/min", "flow", "-42.7 L/min (-11.3 gpm)"),
        ("1230 L/min", "flow", "1230 L/min (325 gpm)"),
        ("20 kPa", "pressure", "20 kPa (2.9 psi)"),
        ("16 mm", "length", "16 mm (0.63 in)"),
        ("2.5 m", "length", "2.5 m (8.2 ft)"),
        ("2600 rpm", "rotation", "2600 rpm"),
        ("32 degF", "temperature", "0 °C (32 °F)"),
        ("46 %", "ratio", "46 %"),
        ("20 deg", "angle", "20 deg"),
        ("999.6", "number", "1000"),
        ("12 kW", "power", "12 kW (40900 BTU/h)"),
        ("90 s", "time", "90 s"),
        ("90 min", "time", "90 min"),
        ("3 h", "time", "3 h"),
    ],
)
def test_value_is_shown_in_three_digits_and_both_systems(text: str, kind: str, shown: str) -> None:
    assert show(read(text, kind).value, kind, both=True) == shown


def test_us_system_shows_us_units_first() -> None:
    value = read("3 gpm", "flow").value
    assert show(value, "flow", system="us") == "3 gpm"
    assert show(value, "flow", system="us", both=True) == "3 gpm (11.4 L/min)"


def test_gpm_is_shown_in_the_circuits_gallons() -> None:
    value = read("3 gpm", "flow", gallon="imperial").value
    assert show(value, "flow", system="us", gallon="imperial") == "3 gpm"


def test_rounding_noise_about_freezing_shows_as_zero() -> None:
    assert show(math.nextafter(273.15, 300), "temperature") == "0 °C"


def test_negative_zero_shows_as_zero() -> None:
    assert show(-0.0, "flow") == "0 L/min"


def test_convert_refuses_a_unit_of_another_kind() -> None:
    with pytest.raises(UnitError, match="a flow is wanted, '1 kPa' is a pressure"):
        convert(1.0, "flow", "kPa")


@pytest.mark.parametrize("kind", KINDS)
def test_shown_units_can_be_converted_to(kind: str) -> None:
    assert [math.isfinite(convert(300.0, kind, unit)) for unit in shown_units(kind)] == [True, True]


@pytest.mark.parametrize(
    ("text", "kind", "expected"),
    [
        ("6 gpm/bar", "flow per pressure", True),
        ("12 %/bar", "flow per pressure", False),
        ("12 %/bar ± 10 %", "ratio per pressure", True),
        ("2 m", "head", True),
        ("2 m", "pressure", False),
        ("NPS 1", "length", True),
        ("NPS 1", "flow", False),
        ("0.46", "ratio", True),
        ("16", "length", False),
        ("abc", "length", False),
    ],
)
def test_fits_tells_kinds_apart_by_their_unit(text: str, kind: str, expected: bool) -> None:
    assert fits(text, kind) is expected


def test_article_names_a_kind_as_messages_do() -> None:
    assert [article(kind) for kind in ("length", "angle", "number")] == [
        "a length",
        "an angle",
        "a plain number",
    ]


def test_what_needs_no_factor_loads_no_pint() -> None:
    code = (
        "import sys; from netsolve import units\n"
        "for k in units.KINDS: units.examples(k), units.pattern(k), units.shown_units(k)\n"
        "units.uses_gallon('3 gpm'); units.fits('3 gpm', 'flow'); units.read('8', 'number')\n"
        "print('pint' in sys.modules)"
    )
    ran = subprocess.run([sys.executable, "-c", code], capture_output=True, text=True, check=True, timeout=60)
    assert ran.stdout.strip() == "False"


@given(spelled=st.sampled_from(SPELLINGS))
def test_uses_gallon_is_true_where_the_gallon_changes_the_value(spelled: tuple[str, str]) -> None:
    kind, unit = spelled
    text = f"3 {unit}"
    changes = read(text, kind, gallon="us") != read(text, kind, gallon="imperial")
    assert uses_gallon(text) is changes


@example(spelled=("temperature", "degF"), number=-370.0, system="metric")
@given(
    spelled=st.sampled_from(SPELLINGS),
    number=st.floats(1e-3, 1e6) | st.floats(-1e6, -1e-3),
    system=st.sampled_from(["metric", "us"]),
)
def test_what_is_shown_reads_back_to_three_digits(spelled: tuple[str, str], number: float, system: str) -> None:
    kind, unit = spelled
    value = read(f"{number!r} {unit}", kind).value
    shown = show(value, kind, system=system)
    tolerance = 3.0 if kind == "temperature" and abs(number) < 1000 else 0.0
    if kind in TWO_DECIMALS:
        tolerance = 0.0051 * max(read(f"1 {name}", kind).value for name in shown_units(kind))
    assert read(shown, kind).value == pytest.approx(value, rel=0.0051, abs=tolerance)


@given(value=st.floats(), kind=kinds)
def test_any_float_can_be_shown(value: float, kind: str) -> None:
    assert show(value, kind, both=True) != ""
