"""Points in a CSV file: read as if written in the circuit, and never from outside its folder."""

from __future__ import annotations

from pathlib import Path

import pytest
from pydantic_core import PydanticCustomError

from netsolve.contract.declare import Reading, Table
from netsolve.laws.curve import Curve, CurveFamily
from netsolve.text.csv_table import CsvError, is_name, read

PUMP = Table("points", {"flow": "flow", "head": "head"}, ("speed", "rotation"))
GPH = 3.785411784e-3 / 3600


def written(folder: Path, text: str, name: str = "pump.csv") -> Reading:
    (folder / name).parent.mkdir(parents=True, exist_ok=True)
    (folder / name).write_bytes(text.encode())
    return Reading(density=1000.0, folder=folder)


def fault(folder: Path, text: str) -> tuple[str, str, str]:
    """The code, the message and the place of what is wrong with a file."""
    with pytest.raises(PydanticCustomError) as raised:
        PUMP.read("pump.csv", written(folder, text))
    context = raised.value.context or {}
    return raised.value.type, context["message"], str(context["at"])


def test_a_file_gives_the_curve_that_its_points_would(tmp_path: Path) -> None:
    reading = written(tmp_path, "flow gph, head m\n0, 3.5\n200,2.5\n\n# not measured above\n400, 0\n")

    points = [{"flow": f"{flow} gph", "head": f"{head} m"} for flow, head in ((0, 3.5), (200, 2.5), (400, 0))]
    assert PUMP.read("pump.csv", reading) == PUMP.read(points, reading)


def test_units_are_read_once_from_the_header(tmp_path: Path) -> None:
    curve = PUMP.read("pump.csv", written(tmp_path, "head kPa,flow gph\r\n30,0\r\n0,100\r\n"))

    assert isinstance(curve, Curve)
    assert curve.columns[0] == pytest.approx((0.0, 100 * GPH))
    assert curve.columns[1] == (30e3, 0.0)


def test_spreadsheets_may_mark_their_file_and_quote_their_words(tmp_path: Path) -> None:
    reading = written(tmp_path, '\ufeff"flow L/min","head bar"\n6,1\n12,0\n')

    assert PUMP.read("pump.csv", reading) == Curve.through([(1e-4, 1e5), (2e-4, 0.0)])


def test_a_column_of_speeds_makes_a_curve_for_each(tmp_path: Path) -> None:
    reading = written(tmp_path, "flow L/min,head kPa,speed rpm\n6,0,600\n0,20,600\n12,0,1200\n0,40,1200\n")

    assert PUMP.read("pump.csv", reading) == CurveFamily.through(
        [(1e-4, 0.0, 10.0), (0.0, 20e3, 10.0), (2e-4, 0.0, 20.0), (0.0, 40e3, 20.0)]
    )


def test_a_file_may_lie_in_a_folder_below(tmp_path: Path) -> None:
    reading = written(tmp_path, "flow L/min,head kPa\n6,1\n12,0\n", "data/old/pump.csv")

    assert PUMP.read("data/old/pump.csv", reading) == Curve.through([(1e-4, 1e3), (2e-4, 0.0)])


BAD = [
    ("flow gph,head m\n0,3.5\nten,2\n", "not-a-number", "a bare number is wanted, not 'ten'", "pump.csv:3:1"),
    ("flow gph,head m\n0,3.5\n10, 2 m\n", "not-a-number", "a bare number is wanted, not '2 m'", "pump.csv:3:5"),
    ("flow gph,head m\n0,3.5\n1,5,2\n", "bad-point", "2 numbers are wanted, not 3", "pump.csv:3:1"),
    ("flow gph,head m\n0,3.5\n0,2\n", "bad-table", "two points of the curve stand at the same place", "pump.csv:1:1"),
    ("flow;head\n0;3,5\n1;2\n", "bad-header", "the columns are not separated by commas", "pump.csv:1:1"),
    ("0,3.5\n1,2\n2,1\n", "bad-header", "a name and a unit are wanted at the head of each column", "pump.csv:1:1"),
    ("flow gph,flow gph\n0,3\n1,2\n", "bad-header", "two columns are called 'flow'", "pump.csv:1:10"),
    (
        "flow gph,drop m\n0,3.5\n1,2\n",
        "bad-header",
        "the columns flow and head are wanted, not flow and drop",
        "pump.csv:1:1",
    ),
]


@pytest.mark.parametrize(("text", "code", "message", "place"), BAD)
def test_what_is_wrong_in_a_file_is_told_at_its_place_there(
    tmp_path: Path, text: str, code: str, message: str, place: str
) -> None:
    assert fault(tmp_path, text) == (code, message, place)


def test_a_unit_that_is_none_is_told_at_the_number_under_it(tmp_path: Path) -> None:
    code, _, place = fault(tmp_path, "flow gph,head furlong\n0,3.5\n1,2\n")
    assert (code, place) == ("unknown-unit", "pump.csv:2:3")


OUTSIDE = ["../pump.csv", "data/../../pump.csv", "/etc/pump.csv", "C:\\pump.csv", "\\\\server\\pump.csv", "a\0.csv"]


@pytest.mark.parametrize("name", OUTSIDE)
def test_a_name_that_leads_out_is_refused_before_it_is_looked_for(tmp_path: Path, name: str) -> None:
    folder = tmp_path / "boat"
    folder.mkdir()
    written(tmp_path, "flow L/min,head kPa\n6,1\n12,0\n")
    with pytest.raises(CsvError, match=r"leads out of the circuit's folder"):
        read(name, folder)


def test_a_link_that_leads_out_is_refused(tmp_path: Path) -> None:
    folder = tmp_path / "boat"
    folder.mkdir()
    written(tmp_path, "flow L/min,head kPa\n6,1\n12,0\n")
    (folder / "pump.csv").symlink_to(tmp_path / "pump.csv")
    (folder / "circle.csv").symlink_to(folder / "circle.csv")
    for name in ("pump.csv", "circle.csv"):
        with pytest.raises(CsvError):
            read(name, folder)


def test_what_cannot_be_a_table_is_refused_with_a_cure(tmp_path: Path) -> None:
    (tmp_path / "folder.csv").mkdir()
    (tmp_path / "empty.csv").write_text("flow gph,head m\n1,2\n")
    (tmp_path / "latin.csv").write_bytes(b"flow gph,head m\n1,\xb52\n3,4\n")
    (tmp_path / "long.csv").write_text("flow gph,head m\n" + "1,2\n" * 2001)
    codes = {}
    for name in ("none.csv", "folder.csv", "empty.csv", "latin.csv", "long.csv"):
        with pytest.raises(CsvError) as raised:
            read(name, tmp_path)
        codes[name] = raised.value.code
        assert raised.value.help
    assert codes == {
        "none.csv": "no-such-file",
        "folder.csv": "no-such-file",
        "empty.csv": "not-a-table",
        "latin.csv": "not-text",
        "long.csv": "too-large",
    }


def test_a_circuit_that_is_no_file_has_no_folder_to_look_in() -> None:
    with pytest.raises(CsvError, match="this circuit is not one"):
        read("pump.csv", None)


def test_only_a_text_that_ends_in_csv_names_a_file() -> None:
    assert [is_name(text) for text in ("pump.csv", "Pump.CSV ", "pump.txt", "csv")] == [True, True, False, False]
