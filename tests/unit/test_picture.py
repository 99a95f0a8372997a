"""What the finished picture has besides strips: folds, marks, gauges, a way across, words for who cannot see it."""

from __future__ import annotations

import re
from dataclasses import replace
from pathlib import Path
from xml.etree import ElementTree

import pytest

import netsolve
from netsolve.result import Result
from netsolve.views.diagram import diagram, drawing
from netsolve.views.fold import MOST_LINES, Line, folded
from netsolve.views.gauge import Gauge, gauge
from netsolve.views.picture import picture, svg
from netsolve.views.scene import bare, scene
from tests.commands import CIRCUITS, POT_HAULER, Shell
from tests.unit.answers import answer, pot_hauler, row

SVG = "{http://www.w3.org/2000/svg}"
RETROFIT = "screen and check valve"


@pytest.fixture
def shell(capsys: pytest.CaptureFixture[str]) -> Shell:
    return Shell(capsys)


def hoses(count: int) -> list[Line]:
    return [Line(f"hose {n}", "1 kPa", 1e-5 * n, pressure=10.0 * n) for n in range(count)]


def test_a_strip_of_few_lines_is_not_folded() -> None:
    lines = hoses(MOST_LINES)
    assert lines == folded(lines, "metric")


def test_a_long_strip_keeps_what_takes_most_and_adds_up_the_rest_in_place() -> None:
    lines = hoses(200)
    lines[100] = replace(lines[100], pressure=9e4, share=0.5)
    shown = folded(lines, "metric")
    assert len(shown) < MOST_LINES
    assert "hose 100" in [line.name for line in shown]
    assert "100 in line" == shown[0].name
    assert "hose 0 to hose 99" == shown[0].note
    assert sum(line.pressure for line in lines) == pytest.approx(sum(line.pressure for line in shown))
    assert sum(line.share or 0 for line in lines) == pytest.approx(sum(line.share or 0 for line in shown))


def test_what_a_change_touches_and_what_is_no_part_keeps_its_line() -> None:
    lines = hoses(60)
    lines[3] = replace(lines[3], mark="added")
    lines.append(Line("exit", "0 kPa", 0.01, aside=True))
    names = [line.name for line in folded(lines, "metric")]
    assert {"hose 3", "exit"} <= set(names)


def test_what_has_a_need_keeps_its_line_and_like_hoses_are_folded_in_one() -> None:
    """Hoses that differ in what is left over of a solution are alike to whoever looks."""
    lines = [Line(f"hose {n}", "1 kPa", 0.05, pressure=1000 + 1e-6 * (n * 7 % 20)) for n in range(20)]
    assert 7 == len(folded(lines, "metric"))
    lines[15] = replace(lines[15], asked=True)
    names = [line.name for line in folded(lines, "metric")]
    assert [*(f"hose {n}" for n in range(5)), "10 in line", "hose 15", "4 in line"] == names


def two_hundred_parts() -> str:
    lines = ["format: 1", "circuit: a ship", "joints:", "  sea: {type: tank, level: 5 m}"]
    lines += ["  main: {type: manifold, height: 1 m}", *(f"  out {n}: {{type: tank, level: 0 m}}" for n in range(10))]
    lines += ["runs:", "  feed: {from: sea, to: main}"]
    for n in range(10):
        parts = ", ".join(f"{{part {n} {m}: {{type: loss, k: {1 + m}, bore: 20 mm}}}}" for m in range(20))
        lines.append(f"  branch {n}: {{from: main, to: out {n}, parts: [{parts}]}}")
    return "\n".join(lines)


def test_two_hundred_parts_stay_readable_on_an_upright_page() -> None:
    result = netsolve.solve(netsolve.loads(two_hundred_parts()))
    assert 200 == len(result.states[0].parts)
    root = ElementTree.fromstring(svg(scene(result)))
    width, height = (float(root.attrib[side].removesuffix("pt")) for side in ("width", "height"))
    assert width < 1200  # three strips abreast
    assert height < 3 * width
    smallest = min(float(text.attrib["font-size"]) for text in root.iter(f"{SVG}text") if (text.text or "").strip())
    assert smallest >= 9


def test_added_removed_and_changed_parts_are_framed_each_in_its_own_way() -> None:
    added = diagram(pot_hauler(), condition="idle", change=RETROFIT)
    framed = [line for line in added.splitlines() if 'STYLE="solid"' in line]
    assert ["oil cooler branch"] == [re.findall(r"run \d: ([a-z ]+)", line)[0] for line in framed]
    assert 2 * 4 == framed[0].count('STYLE="solid"')  # two parts of four cells
    removed = diagram(answer(row(without=()), row(change="no screen", without=("mesh screen",))), change="no screen")
    assert 'STYLE="dotted"' in removed
    assert "SIDES" not in diagram(answer(row()))
    changed = drawing(scene(netsolve.solve(netsolve.load(POT_HAULER)), condition="idle", change="bigger feed hose"))
    assert 4 == changed.count('BORDER="2" COLOR="#1f2933" SIDES="LTB" STYLE="dashed"') + changed.count("SIDES") - 1


def test_the_gauge_of_a_joint_is_true_to_scale() -> None:
    scale = Gauge(-1.0, 3.0)
    pieces = [
        (int(height), colour) for height, colour in re.findall(r'HEIGHT="(\d+)" BGCOLOR="(#\w+)"', scale.drawn(2.0))
    ]
    total = sum(height for height, _ in pieces)
    assert ["#ffffff", "#1f2933", "#ffffff", "#8fbbdb"] == [colour for _, colour in pieces]
    assert pieces[-1][0] / total == pytest.approx(1 / 4, abs=0.03)  # a quarter of the scale is under water
    assert (pieces[0][0] + 1.5) / total == pytest.approx(1 / 4, abs=0.03)  # 2 m is a quarter below the top
    assert "from 1 m below the waterline to 3 m above it" in scale.told("metric")
    assert "3.28 ft below" in scale.told("us")


def test_without_heights_to_tell_apart_there_is_no_gauge() -> None:
    found = row()
    assert gauge(replace(joint, height=None) for joint in found.joints.values()) is None
    assert "from 0.5 m" not in (told := gauge(found.joints.values()).told("metric"))  # type: ignore[union-attr]
    assert "from 500 mm below the waterline to 350 mm above it" in told


def test_left_to_right_is_wider_than_high(shell: Shell, tmp_path: Path) -> None:
    down, across = tmp_path / "down.svg", tmp_path / "across.svg"
    assert 0 == shell("draw", POT_HAULER, "-o", down).status
    assert 0 == shell("draw", POT_HAULER, "-o", across, "--left-to-right").status
    shapes = []
    for file in (down, across):
        root = ElementTree.fromstring(file.read_bytes())
        shapes.append(float(root.attrib["width"][:-2]) / float(root.attrib["height"][:-2]))
    assert shapes[0] < 1 < shapes[1]


def test_the_picture_has_a_title_and_says_in_words_what_it_shows() -> None:
    result = netsolve.solve(netsolve.load(POT_HAULER))
    root = ElementTree.fromstring(svg(scene(result, condition="idle", change=RETROFIT), name="p"))
    assert ("img", "p-title p-desc") == (root.attrib["role"], root.attrib["aria-labelledby"])
    title, description = (root.findtext(f"{SVG}{tag}") or "" for tag in ("title", "desc"))
    assert "oil cooler 4.4 → 4.07 L/min, −0.33 L/min (−8 %), still starved." in title
    for words in (
        "Condition idle, change screen and check valve, before and after, against as found.",
        "oil cooler branch from tee-off.branch to overboard, 4.4 → 4.07 L/min, −0.33 L/min (−8 %), STARVED; of its",
        "oil cooler 2.97 kPa (54 %)",
    ):
        assert words in description


@pytest.mark.parametrize("circuit", sorted(CIRCUITS.glob("*.yaml")), ids=lambda path: path.stem)
def test_the_same_circuit_gives_the_same_bytes(circuit: Path) -> None:
    def made() -> list[bytes]:
        shown = scene(netsolve.solve(netsolve.load(circuit)))
        return [picture(shown, format, across=across) for format in ("svg", "dot", "png") for across in (False, True)]

    assert made() == made()


def test_a_circuit_that_is_not_solved_is_drawn_without_numbers_of_water() -> None:
    circuit = netsolve.load(POT_HAULER)
    shown = drawing(bare(circuit))
    assert "oil cooler" in shown
    assert "NOT SETTLED" not in shown
    assert "kPa" not in shown


def test_names_of_any_length_are_wrapped_or_cut() -> None:
    name = "a very long name of a cooler that goes on and on without an end to it " * 3
    result: Result = answer(row(oil_cooler=name))
    root = ElementTree.fromstring(svg(scene(result)))
    assert max(len(text.text or "") for text in root.iter(f"{SVG}text")) < 90
    assert any((text.text or "").endswith("…") for text in root.iter(f"{SVG}text"))


def test_a_picture_as_pdf_needs_a_browser_and_says_so(
    shell: Shell, tmp_path: Path, monkeypatch: pytest.MonkeyPatch
) -> None:
    monkeypatch.setattr("netsolve.views.paper.BROWSERS", ("no-such-browser",))
    done = shell("draw", POT_HAULER, "-o", tmp_path / "boat.pdf")
    assert 2 == done.status
    assert "no browser was found to print a PDF with; install one of no-such-browser" in done.err
    assert not (tmp_path / "boat.pdf").exists()
