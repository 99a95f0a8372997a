"""In a notebook a circuit and a result show their table and their picture."""

from __future__ import annotations

import re
from xml.etree import ElementTree

import pytest

import netsolve
from netsolve.circuit import Circuit
from netsolve.result import Result
from tests.commands import POT_HAULER
from tests.hostile import HOSTILE, as_name, hostile_circuit

SVG = "{http://www.w3.org/2000/svg}"


@pytest.fixture(scope="module")
def circuit() -> Circuit:
    return netsolve.load(POT_HAULER)


@pytest.fixture(scope="module")
def result(circuit: Circuit) -> Result:
    return netsolve.solve(circuit)


def texts(html: str) -> str:
    """All that can be read in well-formed HTML."""
    return " ".join(" ".join(ElementTree.fromstring(html).itertext()).split())


def test_a_result_shows_what_each_need_gets_and_its_worst_row(result: Result) -> None:
    shown = texts(result._repr_html_())
    assert "Pot-hauler oil cooler on a 12 m crab boat: trouble in 11 of 15 rows" in shown
    assert "idle as found oil cooler STARVED 4.4 L/min (1.16 gpm) at least 5.68 L/min (1.5 gpm)" in shown
    assert "Condition: idle. Change: as found." in shown


def test_a_circuit_shows_its_parts_and_itself_without_numbers_of_water(circuit: Circuit) -> None:
    shown = texts(circuit._repr_html_())
    assert "oil cooler cooling coil bore 13.8 mm" in shown
    assert "L/min" not in texts(circuit._repr_svg_() or "").replace("165 L/min", "").replace("150 L/min", "")
    assert "NOT SETTLED" not in shown


def test_every_media_type_is_offered_and_one_may_be_asked_for(circuit: Circuit, result: Result) -> None:
    for thing in (circuit, result):
        made = thing._repr_mimebundle_()
        assert {"text/plain", "text/html", "image/svg+xml"} == set(made)
        assert f"{SVG}svg" == ElementTree.fromstring(made["image/svg+xml"]).tag
        assert {"text/plain"} == set(thing._repr_mimebundle_(include={"text/plain"}))
        assert {"text/html", "text/plain"} == set(thing._repr_mimebundle_(exclude={"image/svg+xml"}))


def test_without_a_program_to_draw_the_table_is_shown_alone(result: Result, monkeypatch: pytest.MonkeyPatch) -> None:
    monkeypatch.setattr("netsolve.views.render.shutil.which", lambda *args, **kwargs: None)
    assert {"text/plain", "text/html"} == set(result._repr_mimebundle_())
    assert result._repr_svg_() is None
    assert "<svg" not in result._repr_html_()


def test_an_unsettled_row_says_so(circuit: Circuit, monkeypatch: pytest.MonkeyPatch) -> None:
    monkeypatch.setattr("netsolve.solver.MOST_ITERATIONS", 1)
    shown = texts(netsolve.solve(circuit)._repr_html_())
    assert re.search(r"idle as found NOT SETTLED Did not settle in \d+ steps, so there is no answer", shown)


@pytest.mark.parametrize("words", HOSTILE)
def test_user_text_is_text(words: str) -> None:
    circuit = netsolve.loads(hostile_circuit(words))
    for thing in (circuit, netsolve.solve(circuit)):
        html = thing._repr_html_()
        assert as_name(words) in texts(html)
        tags = {element.tag.removeprefix(SVG) for element in ElementTree.fromstring(html).iter()}
        assert set() == tags & {"script", "img", "injected", "a"}
