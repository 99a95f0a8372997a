"""The charts of a sweep: the need across, every line by mark and dash, nothing that a user wrote as markup."""

import re
import xml.etree.ElementTree as ElementTree

import numpy as np
import pytest

import netsolve
from netsolve.study.crossings import crossings, needs_of
from netsolve.views.chart import Chart, chart_lines, charts_of
from netsolve.views.chart_svg import charts_svg
from tests.commands import POT_HAULER, Shell, edited, written

HAULER = netsolve.load(POT_HAULER)
SPEEDS = ("--vary", "main.speed = 700 .. 2600 rpm, 7 points")
ONE = ("--condition", "cruise", "--change", "as found")


@pytest.fixture
def shell(capsys: pytest.CaptureFixture[str]) -> Shell:
    return Shell(capsys)


def charts(**settings: list[str]) -> list[Chart]:
    sweep = netsolve.sweep(
        HAULER,
        {path.replace("__", ".").replace("_", " "): values for path, values in settings.items()},
        conditions=["cruise"],
        changes=["as found"],
    )
    axis = sweep.axes[0]
    return charts_of(sweep, axis, crossings(sweep, axis, needs_of(sweep)), "metric")


def test_a_chart_holds_the_flows_and_where_the_need_is_crossed():
    (chart,) = charts(main__speed=["700 rpm", "1500 rpm", "2600 rpm"])
    assert chart.part == "oil cooler"
    (line,) = chart.lines
    flows = [
        float(
            netsolve.sweep(HAULER, {"main.speed": [speed]}, conditions=["cruise"], changes=["as found"]).flow(
                "oil cooler"
            )[0]
        )
        for speed in line.values
    ]
    assert flows == pytest.approx(line.amounts.tolist(), rel=1e-9)
    ((value, flow),) = chart.crossed
    assert line.values[1] < value < line.values[2]
    assert flow == pytest.approx(3 * 6.30902e-5, rel=1e-5)


def test_values_in_any_order_are_drawn_rising():
    (chart,) = charts(main__speed=["2600 rpm", "700 rpm", "1500 rpm"])
    assert np.all(np.diff(chart.lines[0].values) > 0)
    assert np.all(np.diff(chart.lines[0].amounts) > 0)


def test_the_terminal_chart_has_the_need_at_its_height():
    (chart,) = charts(main__speed=["700 rpm", "1500 rpm", "2600 rpm"])
    lines = list(chart_lines(chart, "metric"))
    rows = [line for line in lines if " |" in line]
    assert max(map(len, lines)) <= 80
    assert "".join(lines).isascii()
    need = next(place for place, line in enumerate(rows) if "-----" in line)
    share = 1 - need / (len(rows) - 1)
    assert share == pytest.approx(3 * 6.30902e-5 / chart.top, abs=0.5 / (len(rows) - 1))
    assert sum(line.count("o") for line in rows) == 3
    assert rows[0].endswith("o")
    assert "the least it needs, 11.4 L/min (3 gpm)" in lines[-2]


def test_lines_beyond_six_are_counted_and_not_drawn(shell):
    out = shell("sweep", POT_HAULER, *SPEEDS).out
    assert "9 lines more" in out
    assert max(map(len, out.splitlines())) <= 80


def test_lines_out_of_many_are_spread_over_all_of_them_with_their_crossings():
    bores = [f"{bore} mm" for bore in range(10, 30)]
    (chart, *_) = charts(main__speed=["700 rpm", "1500 rpm", "2600 rpm"], feed_hose__bore=bores)
    assert (len(chart.lines), chart.left_out) == (6, 14)
    assert ("10 mm" in chart.lines[0].label, "29 mm" in chart.lines[-1].label) == (True, True)
    assert len(chart.crossed) <= 6
    for value, flow in chart.crossed:
        assert any(np.interp(value, line.values, line.amounts) == pytest.approx(flow, rel=0.02) for line in chart.lines)


def test_two_values_make_no_chart(shell):
    out = shell("sweep", POT_HAULER, "--vary", "main.speed = 700 rpm, 2600 rpm", *ONE).out
    assert " |" not in out


def texts(svg: str) -> list[str]:
    root = ElementTree.fromstring(svg)
    return [each.text or "" for each in root.iter() if each.tag.endswith("text")]


def test_the_picture_says_the_need_and_the_root_in_words(shell, tmp_path):
    file = tmp_path / "chart.svg"
    done = shell("sweep", POT_HAULER, *SPEEDS, *ONE, "-o", file)
    assert done.status == 0
    said = texts(file.read_text(encoding="utf-8"))
    (root,) = [each["value"] for each in shell("sweep", POT_HAULER, *SPEEDS, *ONE, "--json").json["crossings"]]
    assert f"{60 * root:.4g} rpm" in said
    assert "the least it needs: 11.4 L/min (3 gpm)" in said
    assert "cruise, as found" in said


def test_lines_differ_by_more_than_colour():
    (chart, *_) = charts(
        main__speed=["700 rpm", "1500 rpm", "2600 rpm"], feed_hose__bore=["10 mm", "13 mm", "16 mm", "19 mm"]
    )
    svg = charts_svg([chart], "x", "metric")
    dashes = re.findall(r'<polyline [^>]*stroke-dasharray="([^"]*)"', svg)
    assert len(dashes) == 4
    assert len(set(dashes)) == 4


def test_what_a_user_wrote_is_text(shell, tmp_path):
    text = edited(
        "circuit: Pot-hauler oil cooler on a 12 m crab boat", "circuit: '</text><script>alert(1)</script>'"
    ).replace("oil cooler", "oil <b> & cooler")
    file = tmp_path / "chart.svg"
    done = shell("sweep", written(tmp_path, text), *SPEEDS, *ONE, "-o", file)
    assert done.status == 0
    svg = file.read_text(encoding="utf-8")
    assert "<script" not in svg
    assert "</text><script>alert(1)</script>" in texts(svg)
    assert any("oil <b> & cooler" in each for each in texts(svg))


def test_rows_may_be_written_by_o_too(shell, tmp_path):
    by_o, by_csv = tmp_path / "a.csv", tmp_path / "b.txt"
    assert shell("sweep", POT_HAULER, *SPEEDS, *ONE, "-o", by_o).status == 0
    assert shell("sweep", POT_HAULER, *SPEEDS, *ONE, "--csv", by_csv).status == 0
    assert by_o.read_bytes() == by_csv.read_bytes()


@pytest.mark.parametrize(
    ("more", "message"),
    [
        (("-o", "chart.pdf"), "neither .csv nor .svg"),
        (("-o", "nowhere/chart.svg"), "cannot be written"),
        (("-o", "x.svg", "--find", "main.speed", "--for", "oil cooler = 3 gpm"), "--find prints none"),
    ],
)
def test_a_file_that_cannot_be_is_told(shell, more, message):
    done = shell("sweep", POT_HAULER, *SPEEDS, *ONE, *more)
    assert done.status == 2
    assert message in done.err


def test_nothing_to_draw_is_told(shell, tmp_path):
    done = shell("sweep", POT_HAULER, "--vary", "feed hose.wall = smooth, corrugated", *ONE, "-o", tmp_path / "x.svg")
    assert done.status == 2
    assert "nothing to draw" in done.err
