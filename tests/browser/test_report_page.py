"""The report in a real browser: it opens without network at every width, by keyboard, on paper, for everyone."""

from __future__ import annotations

import re
from pathlib import Path

import pytest
from axe_playwright_python.sync_playwright import Axe
from click.testing import CliRunner

import netsolve
from netsolve.cli import main
from netsolve.views.paper import printed
from netsolve.views.picture import picture
from netsolve.views.report import report
from netsolve.views.scene import scene
from tests.browser.conftest import Opened
from tests.commands import CIRCUITS, POT_HAULER
from tests.hostile import HOSTILE, as_name, hostile_circuit

EVERY = sorted(CIRCUITS.glob("*.yaml"))
WIDTHS = (360, 768, 1440)
circuits = pytest.mark.parametrize("circuit", EVERY, ids=lambda path: path.stem)


@pytest.fixture(scope="session")
def folder(tmp_path_factory: pytest.TempPathFactory) -> Path:
    return tmp_path_factory.mktemp("pages")


def page_of(circuit: Path, folder: Path) -> Path:
    """The report of a circuit as a file, with all that can be added, made once."""
    page = folder / f"{circuit.stem}.html"
    if not page.exists():
        more = ["--bands", "--trial"]
        readings = CIRCUITS / "readings" / circuit.name
        more += ["--readings", str(readings), "--flush", "oil cooler"] if readings.exists() else []
        done = CliRunner().invoke(main, ["report", str(circuit), "-o", str(page), *more])
        assert 0 == done.exit_code, done.output
    return page


@circuits
@pytest.mark.parametrize("width", WIDTHS)
def test_it_opens_without_network_request_complaint_or_sideways_scrolling(
    circuit: Path, width: int, folder: Path, opened: Opened
) -> None:
    file = page_of(circuit, folder)
    page = opened.goto(file)
    assert [] == opened.fetched(file)
    assert [] == opened.complaints
    assert width >= page.evaluate("document.documentElement.scrollWidth")
    assert page.evaluate("document.body.innerText.length") > 2000


def test_a_page_that_asks_for_something_is_noticed(opened: Opened, tmp_path: Path) -> None:
    file = tmp_path / "asks.html"
    file.write_text("<img src='file:///nowhere.png'><script>console.error('so'); alert(1)</script>", encoding="utf-8")
    opened.goto(file)
    assert ["file:///nowhere.png"] == opened.fetched(file)
    assert {"so", "dialog: 1"} <= set(opened.complaints)


def test_its_style_is_let_in_by_its_own_policy_and_no_script_is(opened: Opened, folder: Path) -> None:
    page = opened.goto(page_of(POT_HAULER, folder))
    assert "8px" == page.evaluate("getComputedStyle(document.querySelector('.finding')).borderLeftWidth")
    with pytest.raises(Exception, match="Content Security Policy"):
        page.add_script_tag(content="document.title = 'run'")


def test_tabs_are_gone_through_by_keyboard(opened: Opened, folder: Path) -> None:
    page = opened.goto(page_of(POT_HAULER, folder))

    def shown() -> list[str]:
        panels = page.locator(".panel").all()
        return [panel.locator("h3").first.text_content() or "" for panel in panels if panel.is_visible()]

    assert ["idle"] == shown()
    page.locator("nav a").last.focus()
    page.keyboard.press("Tab")
    assert "tab1" == page.evaluate("document.activeElement.id")
    for name in ("cruise", "full", "idle"):
        page.keyboard.press("ArrowRight")
        assert [name] == shown()
    outline = page.evaluate("getComputedStyle(document.activeElement.nextElementSibling).outlineWidth")
    assert "3px" == outline


@circuits
@pytest.mark.parametrize(("width", "scheme"), [(360, "light"), (1440, "light"), (1440, "dark")])
def test_axe_finds_no_fault_serious_or_not(
    circuit: Path, width: int, scheme: str, folder: Path, opened: Opened
) -> None:
    page = opened.goto(page_of(circuit, folder))
    found = Axe().run(page).response["violations"]
    faults = [(each["id"], [node["html"][:200] for node in each["nodes"]][:3]) for each in found]
    assert [] == faults


def test_axe_finds_a_fault_where_there_is_one(opened: Opened, folder: Path) -> None:
    page = opened.goto(page_of(POT_HAULER, folder))
    page.evaluate("document.querySelector('label').remove()")
    found = {(each["id"], each["impact"]) for each in Axe().run(page).response["violations"]}
    assert ("label", "critical") in found


@pytest.mark.parametrize("width", [680])
def test_on_paper_every_condition_is_there_and_nothing_is_cut_off(width: int, opened: Opened, folder: Path) -> None:
    page = opened.goto(page_of(POT_HAULER, folder))
    page.emulate_media(media="print")
    heads = [each.inner_text() for each in page.locator(".panel h3").all() if each.is_visible()]
    assert ["idle", "cruise", "full"] == heads
    assert all(each.is_visible() for each in page.locator(".panel svg").all())
    assert not page.locator("nav").is_visible()
    assert width >= page.evaluate("document.documentElement.scrollWidth")
    for paper in ("A4", "Letter"):
        assert page.pdf(format=paper).startswith(b"%PDF-")


def test_pdf_is_printed_by_the_browser_that_is_installed(browser: object, folder: Path, tmp_path: Path) -> None:
    pdf = tmp_path / "boat.pdf"
    printed(page_of(POT_HAULER, folder), pdf)
    assert pdf.read_bytes().startswith(b"%PDF-")
    assert pdf.stat().st_size > 50_000


def test_a_picture_is_printed_as_pdf_on_one_sheet_of_its_own_size(browser: object) -> None:
    result = netsolve.solve(netsolve.load(POT_HAULER))
    pdf = picture(scene(result), "pdf")
    assert pdf.startswith(b"%PDF-")
    assert 1 == len(re.findall(rb"/Type\s*/Page\b", pdf))


@pytest.mark.parametrize("words", HOSTILE)
def test_user_text_is_only_read(words: str, opened: Opened, tmp_path: Path) -> None:
    result = netsolve.solve(netsolve.loads(hostile_circuit(words)))
    change = result.circuit.changes[-1]
    for name, content in (
        ("page.html", report(result, made_from=words).encode()),
        ("picture.svg", picture(scene(result, change=change), "svg")),
    ):
        file = tmp_path / name
        file.write_bytes(content)
        page = opened.goto(file)
        assert [] == opened.fetched(file)
        assert [] == opened.complaints
        told = page.evaluate("document.documentElement.textContent").split()
        assert as_name(words) in " ".join(told)
        assert 0 == page.locator("script, img, injected, iframe").count()
        opened.asked.clear()
