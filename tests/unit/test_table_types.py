"""A CSV file as a type: what it makes, and what is wrong with one that makes none."""

from __future__ import annotations

import importlib
from pathlib import Path

import pytest

import netsolve
from netsolve.registry import PluginError, Registry
from netsolve.testing import check_component, plugin, solved
from tests.commands import written

HEAD = "# about: A cooler on a bench\n# source: made up for the test\n"
POINTS = "flow L/min, drop kPa\n5, 0.9\n10, 3.2\n20, 11.6\n"
CIRCUIT = """format: 1
circuit: A bucket and a cooler
{gallon}water: {{kind: {water}}}
joints:
  bucket: {{type: tank, level: 1 m}}
  side: {{type: fixed_flow, flow: -10 L/min, height: 0 m}}
runs:
  line: {{from: bucket, to: side, parts: [part: {{type: bench{more}}}]}}
"""
SEA = "sea, temperature: 15 degC, salinity: 35 g/kg"


def drop(folder: Path, *, water: str = SEA, gallon: str = "", more: str = "") -> float:
    (row,) = solved(CIRCUIT.format(water=water, gallon=gallon, more=more), folder).rows
    return row.parts["part"].pressure_drop or 0.0


def test_a_drop_makes_a_measured_loss_with_its_words_and_parameters(tmp_path: Path) -> None:
    written(
        tmp_path, HEAD + "# source: and another\n# roles: cooler, restrictor\n# bore: 3/4 in\n" + POINTS, "bench.csv"
    )
    kind = plugin("bench", tmp_path)
    assert kind.__name__ == "Bench"
    assert (kind.__doc__ or "").startswith("A cooler on a bench\n\ndrop = sign(q) T(|q|)")
    assert kind.sources == ("made up for the test", "and another")
    assert kind.roles == ("cooler", "restrictor")
    check_component(kind)
    assert drop(tmp_path) == pytest.approx(3.2e3, rel=1e-6)
    assert kind().bore == pytest.approx(0.01905)
    with pytest.raises(netsolve.CircuitError, match="a bench has no 'curve'"):
        drop(tmp_path, more=", curve: [{flow: 1 L/min, drop: 1 kPa}, {flow: 2 L/min, drop: 2 kPa}]")


def test_a_head_is_of_the_water_in_the_circuit(tmp_path: Path) -> None:
    written(tmp_path, HEAD + "flow L/min, head m\n0, 5\n10, 4\n20, 0\n", "bench.csv")
    # g 9.80665, density as given: 4 m are 39.2 kPa in fresh and 47.1 kPa in heavy water
    for density in (1000, 1200):
        liquid = f"custom, density: {density} kg/m3, viscosity: 1 mPa.s"
        assert drop(tmp_path, water=liquid) == pytest.approx(-4 * 9.80665 * density, rel=1e-4)


@pytest.mark.parametrize("gallon", ["us", "imperial"])
def test_its_gallon_is_its_own_whatever_the_circuits_is(tmp_path: Path, gallon: str) -> None:
    written(tmp_path, f"{HEAD}# gallon: {gallon}\nflow gpm, drop kPa\n1, 1\n2, 2\n4, 4\n", "bench.csv")
    litres = {"us": 3.785411784, "imperial": 4.54609}[gallon]
    for circuit in ("", "gallon: us\n", "gallon: imperial\n"):
        assert drop(tmp_path, gallon=circuit) == pytest.approx(10 / litres * 1e3, rel=1e-6)


def test_its_type_may_be_said(tmp_path: Path) -> None:
    text = "# type: impeller_pump\n# rated_flow: 20 L/min\n# rated_speed: 1500 rpm\n# speed: 1500 rpm\nflow L/min, head kPa\n5, 200\n15, 100\n20, 0\n"
    written(tmp_path, HEAD + text, "bench.csv")
    assert "pump" in plugin("bench", tmp_path).roles
    assert drop(tmp_path) < -100e3


FAULTS = {
    "no about": (POINTS, ": it does not say its about: begin the file with '# about: what it is, in a sentence'"),
    "no source": (
        "# about: A cooler\n" + POINTS,
        ": it does not say its source: begin the file with '# source: whose ",
    ),
    "an unknown key": (
        HEAD + "# boar: 19 mm\n" + POINTS,
        ": it says '# boar:', which is none of about, source, type, roles, gallon, note, version, bore",
    ),
    "an unknown type": (HEAD + "# type: messured\n" + POINTS, ": its type 'messured' is none: 'netsolve components' "),
    "a type without points": (HEAD + "# type: loss\n" + POINTS, ": its type 'loss' takes no points: say '# type: meas"),
    "an unknown role": (
        HEAD + "# roles: fridge\n" + POINTS,
        ": it has the role 'fridge', which no rule knows: take one of",
    ),
    "a value without unit": (
        HEAD + "# bore: 19\n" + POINTS,
        ": its bore: a length is wanted, '19' has no unit; write 19 mm or 19 in",
    ),
    "other columns": (HEAD + "flow L/min, loss kPa\n1, 1\n2, 2\n", ": its columns are flow, loss: head them 'flow L/m"),
    "a word for a number": (
        HEAD + "flow L/min, drop kPa\n1, 1\n2, two\n",
        ", line 5: a bare number is wanted, not 'two'",
    ),
    "one point": (HEAD + "flow L/min, drop kPa\n1, 1\n", ": 'bench.csv' holds no two points"),
    "a falling drop": (HEAD + "flow L/min, drop kPa\n1, 2\n2, 1\n", ": the curve's drop must rise from point to point"),
    "no text": ("", ": 'bench.csv' holds no two points"),
}


@pytest.mark.parametrize("case", FAULTS)
def test_a_table_that_makes_no_type_is_told_with_the_cure(tmp_path: Path, case: str) -> None:
    text, told = FAULTS[case]
    file = written(tmp_path, text, "bench.csv")
    with pytest.raises(PluginError) as raised:
        Registry.built_in().with_folder(tmp_path).component("bench")
    assert str(raised.value).startswith(f"'bench' from {file}{told}")


def test_a_table_and_a_file_of_one_name_are_told(tmp_path: Path) -> None:
    written(tmp_path, HEAD + POINTS, "bench.csv")
    written(tmp_path, "", "bench.py")
    with pytest.raises(PluginError, match=r"'bench' is there twice: from .*bench\.csv and .*bench\.py"):
        Registry.built_in().with_folder(tmp_path)


@pytest.fixture
def package(tmp_path: Path, monkeypatch: pytest.MonkeyPatch) -> Path:
    """An installed package without code that runs: its import would fail."""
    info = tmp_path / "bench_tables-2.0.dist-info"
    info.mkdir()
    written(info, "Metadata-Version: 2.1\nName: bench-tables\nVersion: 2.0\n", "METADATA")
    written(info, "[netsolve.components]\nbench = bench_tables:cooler.csv\n", "entry_points.txt")
    (tmp_path / "bench_tables").mkdir()
    written(tmp_path / "bench_tables", "raise RuntimeError\n", "__init__.py")
    monkeypatch.syspath_prepend(str(tmp_path))
    importlib.invalidate_caches()
    return tmp_path / "bench_tables"


def test_a_package_may_hold_a_table_and_is_not_imported_for_it(package: Path) -> None:
    written(package, HEAD + POINTS, "cooler.csv")
    assert plugin("bench").__doc__ is not None
    (row,) = solved(CIRCUIT.format(water=SEA, gallon="", more="")).rows
    assert row.parts["part"].pressure_drop == pytest.approx(3.2e3, rel=1e-6)


def test_a_package_without_its_table_is_told(package: Path) -> None:
    with pytest.raises(
        PluginError, match=r"'bench' from installed package bench-tables: there is no file 'cooler\.csv'"
    ):
        Registry.built_in().component("bench")
