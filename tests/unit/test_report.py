"""The report: one page that needs nothing but itself and says everything that was asked for, user text as text."""

from __future__ import annotations

import re
from dataclasses import dataclass, field
from html.parser import HTMLParser
from pathlib import Path

import pytest

import netsolve
from netsolve.views.report import report
from tests.commands import CIRCUITS, POT_HAULER, Shell, edited, written
from tests.hostile import HOSTILE, as_name, hostile_circuit

VOID = {"meta", "link", "br", "input"}
SVG_VOID = {"path", "polygon", "polyline", "ellipse"}


@dataclass
class Page(HTMLParser):
    """What a browser would find in a page: its tags with their attributes, its text, what was left open."""

    tags: list[tuple[str, dict[str, str | None]]] = field(default_factory=list)
    words: list[str] = field(default_factory=list)
    open: list[str] = field(default_factory=list)

    def __post_init__(self) -> None:
        super().__init__()

    def handle_starttag(self, tag: str, attrs: list[tuple[str, str | None]]) -> None:
        self.tags.append((tag, dict(attrs)))
        if tag not in VOID:
            self.open.append(tag)

    def handle_startendtag(self, tag: str, attrs: list[tuple[str, str | None]]) -> None:
        self.tags.append((tag, dict(attrs)))

    def handle_endtag(self, tag: str) -> None:
        assert tag == self.open.pop()

    def handle_data(self, data: str) -> None:
        if self.open and self.open[-1] not in ("style", "title", "desc"):
            self.words.append(data)

    @property
    def text(self) -> str:
        return " ".join(" ".join(self.words).split())


def read(html: str) -> Page:
    page = Page()
    page.feed(html)
    assert [] == page.open
    return page


@pytest.fixture(scope="module")
def pot_hauler() -> str:
    return report(netsolve.solve(netsolve.load(POT_HAULER)), made_from="pot_hauler.yaml")


@pytest.mark.parametrize(
    "words",
    [
        "asked does the oil cooler get enough water at idle?",
        "At idle, as found, the worst; trouble in 11 of 15 rows",
        "oil cooler STARVED",
        "needs at least 5.68 L/min (1.5 gpm)",
        "What to buy, take out or alter:",
        "mesh screen buy and fit: strainer cv 8, mesh 60",
        "feed hose alter or replace: hose bore 15.9 mm (0.625 in) → 19 mm (0.75 in)",
        "oil cooler branch blank: run",
        "basis the need written for it",
        "help Ease what takes the most, or raise the pressure where the branch begins.",
        "Exponent 2 of injection ring: as for fittings and turns.",
        "Crane TP-410",
        f"netsolve {netsolve.__version__}, Python 3.",
        "15 of 15 rows settled",
        "flow through oil cooler",
        "signature",
        "Flooding.",
    ],
)
def test_the_page_says_what_was_asked_found_assumed_and_how_it_was_computed(pot_hauler: str, words: str) -> None:
    assert words in read(pot_hauler).text


def test_flows_are_in_both_systems_the_one_that_is_asked_for_first() -> None:
    result = netsolve.solve(netsolve.load(POT_HAULER), system="us")
    text = read(report(result, system="us")).text
    assert re.search(r"oil cooler STARVED 1\.\d+ gpm \(4\.\d+ L/min\)", text)
    assert re.search(r"1\.16 → 1\.\d+ gpm \(4\.4 → 4\.\d+ L/min\)", text)


def test_each_condition_is_drawn_and_each_change_before_and_after(pot_hauler: str) -> None:
    page = read(pot_hauler)
    pictures = [attributes for tag, attributes in page.tags if tag == "svg"]
    assert (3 + 4) * (1 + 2) - 1 == len(pictures)  # each with two pressure lines; one change closes a way
    for attributes in pictures:
        assert "img" == attributes["role"]
        title, description = (attributes["aria-labelledby"] or "").split()
        assert f'<title id="{title}">' in pot_hauler
        assert f'<desc id="{description}">' in pot_hauler
    ids = [attributes["id"] for _, attributes in page.tags if "id" in attributes]
    assert len(ids) == len(set(ids))


def test_tabs_are_radio_buttons_with_labels_and_the_worst_is_picked(pot_hauler: str) -> None:
    tags = read(pot_hauler).tags
    picks = [attributes for tag, attributes in tags if tag == "input"]
    labels = {attributes["for"] for tag, attributes in tags if tag == "label"}
    assert labels == {attributes["id"] for attributes in picks}
    assert {("radio", "condition")} == {(attributes["type"], attributes["name"]) for attributes in picks}
    assert [True, False, False] == ["checked" in attributes for attributes in picks]


def test_the_page_asks_for_nothing_and_runs_nothing(pot_hauler: str) -> None:
    tags = read(pot_hauler).tags
    assert set() == {tag for tag, _ in tags} & {"script", "iframe", "object", "embed", "img", "form", "base"}
    attributes = [(key, value or "") for _, each in tags for key, value in each.items()]
    assert [] == [key for key, _ in attributes if key.startswith("on") or key in ("style", "src", "srcset")]
    assert [] == [value for key, value in attributes if "href" in key and value[0] != "#" and value != "data:,"]
    assert "url(" not in pot_hauler
    assert "@import" not in pot_hauler
    policy = next(each["content"] or "" for _, each in tags if each.get("http-equiv") == "Content-Security-Policy")
    assert policy.startswith("default-src 'none'; style-src 'sha256-")


def test_the_same_circuit_gives_the_same_bytes(pot_hauler: str) -> None:
    assert pot_hauler == report(netsolve.solve(netsolve.load(POT_HAULER)), made_from="pot_hauler.yaml")


def test_a_circuit_of_forty_parts_stays_small_enough_to_send() -> None:
    hoses = "\n".join(f"      - hose {n}: {{type: hose, bore: 20 mm, length: 1 m}}" for n in range(30))
    text = edited("      - return hose:    {type: hose, bore: 5/8 in, length: 3 m, bends: 2}\n", f"{hoses}\n")
    result = netsolve.solve(netsolve.loads(text))
    assert 40 <= len(result.states[0].parts)
    assert 500_000 > len(report(result).encode())


@pytest.mark.parametrize("words", HOSTILE)
def test_user_text_is_text_wherever_it_stands(words: str) -> None:
    html = report(netsolve.solve(netsolve.loads(hostile_circuit(words))), made_from=words)
    page = read(html)
    assert page.text.count(words) >= 3
    assert page.text.count(as_name(words)) > 20
    assert {"html", "head", "body"} <= {tag for tag, _ in page.tags}
    assert set() == {tag for tag, _ in page.tags} & {"script", "img", "b\\", "iframe", "injected"}
    assert [] == [key for _, each in page.tags for key in each if key.startswith("on") or key == "style"]


def test_an_unsettled_row_says_that_there_is_no_answer(monkeypatch: pytest.MonkeyPatch) -> None:
    circuit = netsolve.load(POT_HAULER)
    monkeypatch.setattr("netsolve.solver.MOST_ITERATIONS", 1)
    text = read(report(netsolve.solve(circuit))).text
    assert "NOT SETTLED idle, as found: Did not settle in 2 steps, so there is no answer" in text
    assert "No row settled." in text
    assert "no answer" in text


@pytest.fixture
def shell(capsys: pytest.CaptureFixture[str]) -> Shell:
    return Shell(capsys)


@pytest.mark.parametrize("circuit", sorted(CIRCUITS.glob("*.yaml")), ids=lambda path: path.stem)
def test_the_command_writes_the_page_of_every_circuit(circuit: Path, shell: Shell, tmp_path: Path) -> None:
    page = tmp_path / "boat.html"
    assert 0 == shell("report", circuit, "-o", page).status
    assert netsolve.load(circuit).name in read(page.read_text(encoding="utf-8")).text


def test_only_the_conditions_and_changes_asked_for_are_on_the_page(shell: Shell, tmp_path: Path) -> None:
    page = tmp_path / "boat.html"
    shell("report", POT_HAULER, "-o", page, "--condition", "idle", "--change", "screen")
    text = read(page.read_text(encoding="utf-8")).text
    assert "trouble in 2 of 2 rows" in text
    assert "bigger feed hose:" not in text


def test_what_is_wrong_with_the_command_line_is_told(shell: Shell, tmp_path: Path) -> None:
    done = shell("report", POT_HAULER, "-o", tmp_path / "boat.txt")
    assert (2, "") == (done.status, done.out)
    assert "write for example -o boat.html" in done.err
    done = shell("report", POT_HAULER, "-o", tmp_path / "nowhere" / "boat.html")
    assert 2 == done.status
    assert "cannot be written" in done.err


def test_without_a_browser_pdf_says_what_to_do_and_the_page_is_there(
    shell: Shell, tmp_path: Path, monkeypatch: pytest.MonkeyPatch
) -> None:
    monkeypatch.setattr("netsolve.views.paper.BROWSERS", ("no-such-browser",))
    done = shell("report", POT_HAULER, "-o", tmp_path / "boat.html", "--pdf")
    assert 2 == done.status
    assert "no browser was found to print a PDF with" in done.err
    assert (tmp_path / "boat.html").exists()


def test_a_file_whose_limits_are_off_says_so(shell: Shell, tmp_path: Path) -> None:
    text = edited("conditions:\n", "limits: {suction_vacuum: off}\nconditions:\n")
    shell("report", written(tmp_path, text), "-o", tmp_path / "boat.html")
    page = (tmp_path / "boat.html").read_text(encoding="utf-8")
    assert "because limits has them off: suction_vacuum." in read(page).text


def test_the_command_adds_margins_and_heat(shell: Shell, tmp_path: Path) -> None:
    done = shell("report", POT_HAULER, "-o", tmp_path / "pot.html", "--change", "screen")
    assert (0, "") == (done.status, done.err)
    page = read((tmp_path / "pot.html").read_text(encoding="utf-8")).text
    assert "Weed strainer: blinded 0 % now, 87.74 % at the limit (92 % of the way)." in page
    assert "Missed already, so not counted: oil cooler." in page
    assert "How hot the oil gets" not in page
    done = shell("report", CIRCUITS / "winch_tank.yaml", "-o", tmp_path / "winch.html")
    assert 0 == done.status
    page = read((tmp_path / "winch.html").read_text(encoding="utf-8")).text
    assert "hauling, as found: At hauling winch oil passes its 71 °C alarm after 68 min (30 min to never)." in page


def test_the_command_adds_bands_diagnosis_flush_and_trial(shell: Shell, tmp_path: Path) -> None:
    file, readings = tmp_path / "boat.html", CIRCUITS / "readings" / "pot_hauler.yaml"
    more = ("--bands", "--readings", readings, "--flush", "oil cooler", "--trial")
    assert 0 == shell("report", POT_HAULER, "-o", file, *more).status
    page = read(file.read_text(encoding="utf-8"))
    words = page.text
    topics = ("Bands", "Diagnosis", "Flush", "Trial")
    links = [dict(tags).get("href", "") for tag, tags in page.tags if tag == "a"]
    assert len(topics) == sum((link or "").startswith("#more") for link in links)
    ids = {attributes.get("id") for tag, attributes in page.tags if tag == "section"}
    assert {(link or "").removeprefix("#") for link in links} <= ids
    first = shell("diagnose", POT_HAULER, readings, "--json").json["ranked"][0]
    assert f"{first['part']}: {first['fault']}" in words
    met = shell("solve", POT_HAULER, "--bands", "--condition", "idle", "--change", "as found").words
    assert "3.98 to 4.85" in met
    assert "3.98 to 4.85" in words
    assert words.index("Acid burns eyes and skin") < words.index("add the agent to the water")
    assert "predicted" in words


def test_the_flush_on_the_page_is_word_for_word_that_of_its_command(shell: Shell, tmp_path: Path) -> None:
    options = ("--scale", "0.5 mm", "--agent", "citric", "--bucket", "15 L")
    report_page, flush_page = tmp_path / "boat.html", tmp_path / "flush.html"
    assert 0 == shell("report", POT_HAULER, "-o", report_page, "--flush", "oil cooler", *options).status
    assert 0 == shell("flush", POT_HAULER, "oil cooler", *options, "-o", flush_page).status
    sections = flush_page.read_text(encoding="utf-8").partition("<main>")[2].split("<section>")[1:]
    page = re.sub("\\s", " ", report_page.read_text(encoding="utf-8"))
    for section in sections:
        body = section.partition("</h2>")[2].partition("</section>")[0]
        assert re.sub("\\s", " ", body) in page
    assert len(sections) == 5


@pytest.mark.parametrize(
    "more", [("--flush", "oil coler"), ("--readings", "nowhere.yaml"), ("--agent", "citric"), ("--scale", "1 mm")]
)
def test_what_cannot_be_added_is_told(shell: Shell, tmp_path: Path, more: tuple[str, str]) -> None:
    done = shell("report", POT_HAULER, "-o", tmp_path / "boat.html", *more)
    assert (2, False) == (done.status, (tmp_path / "boat.html").exists())
    assert "help:" in done.err
