"""The chart of a pressure line: what it shows, in words and in places on the page."""

from __future__ import annotations

import re
from pathlib import Path
from xml.etree import ElementTree

import pytest

import netsolve
from netsolve.result import Result
from netsolve.views.canvas import Scale
from netsolve.views.lines import pressure_lines
from tests.commands import POT_HAULER, Shell
from tests.hostile import HOSTILE, as_name, hostile_circuit

SVG = "{http://www.w3.org/2000/svg}"


@pytest.fixture
def shell(capsys: pytest.CaptureFixture[str]) -> Shell:
    return Shell(capsys)


@pytest.fixture(scope="module")
def pot_hauler() -> Result:
    return netsolve.solve(netsolve.load(POT_HAULER))


def words(chart: str) -> list[str]:
    return [element.text or "" for element in ElementTree.fromstring(chart).iter(f"{SVG}text")]


def lines(chart: str) -> dict[str, list[tuple[float, float]]]:
    """The longest line of each colour, as places on the page."""
    found: dict[str, list[tuple[float, float]]] = {}
    for element in ElementTree.fromstring(chart).iter(f"{SVG}polyline"):
        places = [(float(x), float(y)) for x, y in re.findall(r"([-\d.]+),([-\d.]+)", element.attrib["points"])]
        colour = element.attrib["stroke"]
        found[colour] = max(found.get(colour, []), places, key=len)
    return found


def test_each_way_has_a_chart_with_its_parts_in_order_joints_with_their_pressure(pot_hauler: Result) -> None:
    to_exhaust, to_sea = pressure_lines(pot_hauler, pot_hauler["idle"], system="metric")
    names = words(to_sea)
    order = ["sea, 4.72 kPa", "seacock", "raw-water pump", "feed hose", "oil cooler", "return hose", "overboard, 0 kPa"]
    assert order == sorted(order, key=names.index)
    assert "injection ring" in words(to_exhaust)
    assert "waterline" in names
    assert "m" in names


def test_where_the_pressure_is_below_the_atmospheres_it_says_so(pot_hauler: Result) -> None:
    assert pot_hauler["idle"].part("raw-water pump").inlet_pressure == pytest.approx(-971, abs=1)
    for chart in pressure_lines(pot_hauler, pot_hauler["idle"], system="metric"):
        assert "below atmosphere: −0.97 kPa" in words(chart)
        assert 'fill="#f3b6a1"' in chart


def test_static_head_stays_below_total_head_and_both_above_what_is_lower(pot_hauler: Result) -> None:
    found = lines(pressure_lines(pot_hauler, pot_hauler["full"], system="metric")[0])
    total, static = dict(found["#1f2933"]), found["#0b6e7f"]
    assert len(static) > 10
    assert all(y >= total[x] - 0.11 for x, y in static)  # down the page is lower; places are rounded to 0.1


def test_a_change_lies_over_the_line_as_found(pot_hauler: Result) -> None:
    changed = pressure_lines(pot_hauler, pot_hauler["idle", "screen and check valve"], system="metric")[1]
    assert "as found: total head before the change" in words(changed)
    found = lines(changed)
    before, after = found["#9a3412"], found["#1f2933"]
    assert {"mesh screen", "check valve"} <= set(words(changed))
    assert 4 == len(after) - len(before)  # two ends each of the two parts that were not there
    assert "as found" not in " ".join(words(pressure_lines(pot_hauler, pot_hauler["idle"], system="metric")[0])[4:])


def test_us_units_are_feet_and_psi(pot_hauler: Result) -> None:
    shown = words(pressure_lines(pot_hauler, pot_hauler["idle"], system="us")[0])
    assert "ft" in shown
    assert "sea, 0.68 psi" in shown


@pytest.mark.parametrize("hostile", HOSTILE)
def test_user_text_is_text(hostile: str) -> None:
    result = netsolve.solve(netsolve.loads(hostile_circuit(hostile)))
    for chart in pressure_lines(result, result.rows[-1], system="metric"):
        tags = {element.tag.removeprefix(SVG) for element in ElementTree.fromstring(chart).iter()}
        assert set() == tags - {"svg", "title", "desc", "rect", "polygon", "polyline", "text"}
        title = ElementTree.fromstring(chart).find(f"{SVG}title")
        assert title is not None
        assert as_name(hostile) in (title.text or "")


def test_ticks_are_round_and_lie_between_the_ends() -> None:
    assert [-1, -0.5, 0, 0.5, 1] == Scale(-1.1, 1.3, 0, 100).ticks(5)
    assert [0, 20, 40, 60] == Scale(-3, 77, 0, 100).ticks()
    assert 25.0 == Scale(0, 4, 0, 100).at(1)


def test_draw_line_writes_every_way_as_one_picture(shell: Shell, tmp_path: Path) -> None:
    file = tmp_path / "line.svg"
    assert 0 == shell("draw", POT_HAULER, "-o", file, "--line", "--condition", "Idle", "--change", "screen").status
    root = ElementTree.fromstring(file.read_bytes())
    charts = root.findall(f"{SVG}svg")
    assert 2 == len(charts)
    assert sum(float(each.attrib["height"]) for each in charts) == float(root.attrib["height"])
    assert "idle, screen" in (charts[0].findtext(f"{SVG}title") or "")


def test_a_pressure_line_is_svg_only(shell: Shell, tmp_path: Path) -> None:
    done = shell("draw", POT_HAULER, "-o", tmp_path / "line.png", "--line")
    assert 2 == done.status
    assert "a pressure line is drawn as .svg" in done.err


def test_without_an_answer_there_is_no_line(shell: Shell, tmp_path: Path, monkeypatch: pytest.MonkeyPatch) -> None:
    monkeypatch.setattr("netsolve.solver.MOST_ITERATIONS", 1)
    done = shell("draw", POT_HAULER, "-o", tmp_path / "line.svg", "--line")
    assert 2 == done.status
    assert "there is no pressure line: did not settle" in done.err
