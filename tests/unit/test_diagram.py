"""What the picture promises: the finding on top, verdicts in words and lines, user text as text."""

from __future__ import annotations

import re
from dataclasses import replace
from xml.etree import ElementTree

import pytest

from netsolve.result import Result
from netsolve.views.diagram import diagram
from netsolve.views.palette import look
from netsolve.views.render import RenderError, render
from tests.unit.answers import answer, blanked, pot_hauler, row, unsettled, written

RETROFIT = "screen and check valve"
SVG = "{http://www.w3.org/2000/svg}"
HOSTILE = [
    "<b>bold</b>",
    "a \"quoted\" 'name'",
    "[/red]",
    "feed -> return; } digraph { x",
    "javascript:alert(1)",
    "back\\N slash\\G \\l end\\",
    "<script>alert(1)</script>",
    "&lt;already&gt; &amp; &#92;",
    "]]> --> <!--",
    "> />",
]


def drawn(result: Result, **which: str) -> ElementTree.Element:
    return ElementTree.fromstring(render(diagram(result, **which), "svg"))


def texts(picture: ElementTree.Element) -> str:
    """All that can be read in the picture, in one line."""
    words = [element.text or "" for element in picture.iter(f"{SVG}text")]
    return " ".join(" ".join(words).split())


def with_circuit(result: Result) -> Result:
    """The result with a circuit whose rows have the parts, runs and joints of the pot hauler."""
    rows = tuple(
        replace(
            written(row(without=() if each.change == RETROFIT else ("mesh screen", "check valve"))),
            change=each.change,
        )
        for each in result
    )
    return replace(result, circuit=replace(result.circuit, rows=rows))


def test_the_worst_row_as_found_is_drawn_when_none_is_named() -> None:
    result = answer(row("full", litres=16, verdict="served"), row("idle"), row("idle", RETROFIT))
    assert "Condition: idle. Change: as found." in texts(drawn(result))


def test_the_title_is_the_finding_and_the_svg_has_it_as_its_title() -> None:
    picture = drawn(answer(row()))
    finding = "'oil cooler' gets 4.9 of 5.68 L/min at idle: starved; 'oil cooler' takes 44 %, lift 27 %."
    assert finding in texts(picture)
    title = picture.find(f".//{SVG}title")
    assert title is not None
    assert title.text == finding


def test_a_strip_has_name_flow_in_both_units_verdict_need_and_each_fitted_parts_drop_and_share() -> None:
    shown = texts(drawn(answer(row())))
    for words in (
        "oil cooler branch STARVED 4.9 L/min (1.29 gpm)",
        "oil cooler needs at least 5.68 L/min (1.5 gpm)",
        "oil cooler 3.24 kPa 44 %",
        "lift 2.01 kPa 27 %",
        "raw-water pump gives 8.5 kPa",
    ):
        assert words in shown
    assert "mesh screen" not in shown


def test_joints_show_height_and_pressure() -> None:
    assert "tee-off 0.10 m above waterline 7.3 kPa" in texts(drawn(answer(row())))
    assert "sea 1.64 ft below waterline 0.73 psi" in texts(drawn(answer(row()), system="us"))


@pytest.mark.parametrize("verdict", ["reversed", "shut", "dry", "starved", "marginal", "overfed"])
def test_a_verdict_other_than_served_shows_in_words_and_in_the_line_besides_the_colour(verdict: str) -> None:
    result = answer(row(verdict=verdict))
    assert verdict in texts(drawn(result)).lower()
    served, other = look("served"), look(verdict)
    assert (served.line, served.double, served.border) != (other.line, other.double, other.border)
    edges = [line for line in diagram(result).splitlines() if '"run 3: oil cooler branch" -> ' in line]
    assert [other.double] == [f"{other.colour}:{other.colour}" in line for line in edges]
    assert f'style="{other.line}"' in edges[0]


def test_colours_of_the_words_can_be_read_on_their_tint() -> None:
    def luminance(colour: str) -> float:
        channels = [int(colour[i : i + 2], 16) / 255 for i in (1, 3, 5)]
        red, green, blue = (c / 12.92 if c <= 0.04045 else ((c + 0.055) / 1.055) ** 2.4 for c in channels)
        return 0.2126 * red + 0.7152 * green + 0.0722 * blue

    for verdict in ("reversed", "shut", "dry", "starved", "marginal", "overfed", "served", None):
        words, tint = luminance(look(verdict).colour), luminance(look(verdict).tint)
        assert (tint + 0.05) / (words + 0.05) >= 4.5  # WCAG 2.1, success criterion 1.4.3


def test_lines_are_as_wide_as_their_flow_and_point_where_the_water_goes() -> None:
    forwards = row()
    branch = forwards.runs["oil cooler branch"]
    runs = {
        **forwards.runs,
        "oil cooler branch": replace(branch, flow=-(branch.flow or 0), verdict="reversed"),
    }
    lines = diagram(answer(replace(forwards, runs=runs))).splitlines()
    width = {
        name: float(re.findall(r"penwidth=([\d.]+)", line)[0])
        for name in ("intake", "engine", "oil cooler branch")
        for line in lines
        if f': {name}" -> ' in line
    }
    assert width["intake"] > width["engine"] > width["oil cooler branch"]
    assert 'dir="back"' in next(line for line in lines if 'oil cooler branch" -> ' in line)
    assert 'dir="forward"' in next(line for line in lines if 'engine" -> ' in line)


def test_a_change_is_drawn_before_and_after_on_one_layout_with_signed_differences() -> None:
    shown = texts(drawn(pot_hauler(), condition="idle", change=RETROFIT))
    for words in (
        "oil cooler 5.3 → 4.9 L/min, −0.4 L/min (−8 %), still starved.",
        "oil cooler branch still STARVED 5.3 → 4.9 L/min (1.4 → 1.29 gpm) −0.4 L/min (−8 %)",
        "engine still marginal 37.4 → 37.8 L/min",
        "+0.4 L/min (+1 %)",
        "intake 42.7 L/min (11.3 gpm) no change",
        "+ mesh screen added 0.21 kPa",
        "+ check valve added, barely open",
        "against as found",
    ):
        assert words in shown


def test_a_removed_part_says_removed_and_what_it_took() -> None:
    result = answer(row(without=()), row(change="no screen", without=("mesh screen",)))
    assert "− mesh screen removed was 0.21 kPa" in texts(drawn(result, change="no screen"))


def test_a_part_in_the_place_of_another_says_which_it_replaces() -> None:
    before = answer(row(without=("mesh screen",)), row(change="valve for screen", without=("check valve",)))
    shown = texts(drawn(before, change="valve for screen"))
    assert "− check valve replaced by mesh screen was" in shown
    assert "+ mesh screen replaces check valve" in shown
    assert "added" not in shown
    assert "removed" not in shown


def test_a_part_whose_settings_differ_says_changed() -> None:
    result = with_circuit(answer(row(), row(change="two coolers")))
    first, last = result.circuit.rows
    parts = {**last.parts, "oil cooler": replace(last.parts["oil cooler"], count=2)}
    result = replace(result, circuit=replace(result.circuit, rows=(first, replace(last, parts=parts))))
    shown = texts(drawn(result, change="two coolers"))
    assert "oil cooler changed" in shown
    assert shown.count("changed") == 1


def test_a_blanked_run_says_what_it_carried() -> None:
    result = answer(row(), blanked(row(change="closed"), "oil cooler branch"))
    assert "STARVED → SHUT blanked, was 4.9 L/min (1.29 gpm)" in texts(drawn(result, change="closed"))


@pytest.mark.parametrize("rows", [[unsettled()], [row(), unsettled(change=RETROFIT)]])
def test_an_unsettled_row_is_drawn_with_those_words_and_without_numbers_of_water(rows: list[object]) -> None:
    result = with_circuit(answer(*rows))  # type: ignore[arg-type]
    shown = texts(drawn(result, condition="idle", change=result.rows[-1].change))
    assert "id not settle in 60 steps, so there is no answer" in shown
    assert shown.count("NOT SETTLED") == 3
    assert "feed hose" in shown
    assert "L/min" not in shown


def test_an_unsettled_row_of_an_unknown_circuit_still_says_so() -> None:
    assert "Did not settle in 60 steps" in texts(drawn(answer(unsettled())))


def test_a_row_that_is_not_there_is_a_key_error() -> None:
    with pytest.raises(KeyError, match="storm"):
        diagram(answer(row()), condition="storm")


@pytest.mark.parametrize("name", [*HOSTILE, "long name " * 30, "\x1b[31m\x00red", "漢字 é 😀"])
def test_user_text_is_text_and_nothing_else(name: str) -> None:
    before = row(name, oil_cooler=name)
    after = row(name, name, oil_cooler=name, without=())
    for picture in (drawn(answer(before, name=name)), drawn(answer(before, after, name=name), change=name)):
        tags = {element.tag.removeprefix(SVG) for element in picture.iter()}
        assert set() == tags - {"svg", "g", "title", "text", "polygon", "path", "polyline", "ellipse"}
        links = [key for element in picture.iter() for key in element.attrib if "href" in key or key.startswith("on")]
        assert [] == links
        assert {"Helvetica,sans-Serif"} == {each.attrib["font-family"] for each in picture.iter(f"{SVG}text")}


@pytest.mark.parametrize("name", HOSTILE)
def test_a_hostile_name_can_be_read_letter_by_letter(name: str) -> None:
    shown = texts(drawn(answer(row(), name=name)))
    assert name in shown


def test_the_same_result_gives_the_same_bytes() -> None:
    first, second = diagram(pot_hauler(), change=RETROFIT), diagram(pot_hauler(), change=RETROFIT)
    assert first == second
    for kind in ("svg", "png"):
        assert render(first, kind) == render(second, kind)


def test_png_is_png_and_dot_is_the_text() -> None:
    dot = diagram(pot_hauler())
    assert b"\x89PNG\r\n\x1a\n" == render(dot, "png")[:8]
    assert dot.encode() == render(dot, "dot")


def test_a_picture_that_cannot_be_drawn_says_why_and_what_to_install() -> None:
    with pytest.raises(RenderError, match=r"status 1 .*syntax error.*pip install graphviz-pure"):
        render("digraph {", "svg")
    with pytest.raises(ValueError, match="not as 'pdf'"):
        render("digraph {}", "pdf")


def test_without_any_graphviz_the_error_says_what_to_install(monkeypatch: pytest.MonkeyPatch) -> None:
    monkeypatch.setattr("netsolve.views.render.shutil.which", lambda *args, **kwargs: None)
    with pytest.raises(RenderError, match=r"neither .* installed; install one by: pip install graphviz-pure"):
        render("digraph {}", "svg")


def test_a_run_that_a_change_opens_says_so() -> None:
    result = answer(blanked(row(), "oil cooler branch"), row(change="open"))
    assert "SHUT → STARVED opened: 4.9 L/min (1.29 gpm)" in texts(drawn(result, change="open"))


def test_many_branches_of_one_joint_stay_on_an_upright_page() -> None:
    base = row()
    extra = {f"branch {i}": replace(base.runs["oil cooler branch"], name=f"branch {i}") for i in range(5)}
    picture = drawn(answer(replace(base, runs={**base.runs, **extra})))
    width, height = (float(picture.attrib[side].removesuffix("pt")) for side in ("width", "height"))
    assert height > width
