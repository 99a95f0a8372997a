"""The pages of diagnosis, flush, trial and hand-over in a real browser: telephone, desk and paper, whatever is written."""

from __future__ import annotations

from pathlib import Path

import pytest
from axe_playwright_python.sync_playwright import Axe
from click.testing import CliRunner

from netsolve.cli import main
from tests.browser.conftest import Opened
from tests.commands import CIRCUITS, POT_HAULER
from tests.hostile import AWKWARD, HOSTILE
from tests.unit.test_sheets_hostile import commands

READINGS = CIRCUITS / "readings" / "pot_hauler.yaml"
PLAIN: dict[str, tuple[str | Path, ...]] = {
    "diagnosis": ("diagnose", POT_HAULER, READINGS),
    "flush": ("flush", POT_HAULER, "oil cooler", "--scale", "0.5 mm", "--before", "3 L/min", "--after", "14 L/min"),
    "trial": ("trial", POT_HAULER, "--readings", READINGS),
    "owner": ("trial", POT_HAULER, "--change", "screen", "--readings", READINGS, "--hand-over"),
}
TOO_WIDE = """() => [...document.querySelectorAll('body *')]
    .filter(each => !each.closest('.picture') && each.getBoundingClientRect().right > innerWidth + 1)
    .map(each => each.tagName + ': ' + each.textContent.slice(0, 40))"""


def made(command: tuple[str | Path, ...], page: Path) -> Path:
    """The page that a command writes."""
    done = CliRunner().invoke(main, [*map(str, command), "-o", str(page)])
    assert 0 == done.exit_code, done.output
    return page


@pytest.mark.parametrize("width", [390, 1280])
@pytest.mark.parametrize("name", PLAIN)
def test_a_sheet_opens_without_request_complaint_fault_or_sideways_scrolling(
    name: str, width: int, opened: Opened, tmp_path: Path
) -> None:
    file = made(PLAIN[name], tmp_path / "page.html")
    page = opened.goto(file)
    assert ([], []) == (opened.fetched(file), opened.complaints)
    assert width >= page.evaluate("document.documentElement.scrollWidth")
    assert [] == page.evaluate(TOO_WIDE)
    found = Axe().run(page).response["violations"]
    assert [] == [(each["id"], [node["html"][:200] for node in each["nodes"]][:3]) for each in found]


@pytest.mark.parametrize("width", [680])
@pytest.mark.parametrize("name", PLAIN)
def test_a_sheet_is_printed_with_blanks_and_nothing_cut_off(
    name: str, width: int, opened: Opened, tmp_path: Path
) -> None:
    page = opened.goto(made(PLAIN[name], tmp_path / "page.html"))
    page.emulate_media(media="print")
    assert width >= page.evaluate("document.documentElement.scrollWidth")
    assert [] == page.evaluate(TOO_WIDE)
    assert all(each.is_visible() for each in page.locator(".blank, .sign p").all())
    assert page.pdf(format="A4").startswith(b"%PDF-")


@pytest.mark.parametrize("width", [390, 1280])
@pytest.mark.parametrize("words", [HOSTILE[0], HOSTILE[1], HOSTILE[2], *AWKWARD])
def test_nothing_that_is_written_runs_or_sticks_out(words: str, width: int, opened: Opened, tmp_path: Path) -> None:
    for name, command in commands(words, tmp_path).items():
        file = made(command, tmp_path / f"{name}.html")
        page = opened.goto(file)
        assert ([], []) == (opened.fetched(file), opened.complaints)
        assert width >= page.evaluate("document.documentElement.scrollWidth")
        assert [] == page.evaluate(TOO_WIDE)
        assert 0 == page.locator("script, img, injected, iframe, p b, td b").count()
        opened.asked.clear()
