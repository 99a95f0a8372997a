"""Whatever a user writes is text on the pages of diagnosis, flush, trial and hand-over, on the terminal, in a baseline."""

from __future__ import annotations

from html.parser import HTMLParser
from pathlib import Path

import pytest

import netsolve
from netsolve.problems import printable
from netsolve.study.diagnosis.read import read_file
from tests.commands import Shell, words_of, written
from tests.hostile import AWKWARD, HOSTILE, as_name, hostile_boat, hostile_readings

EVERY = [*HOSTILE, *AWKWARD]
ALLOWED = {
    *(
        "html",
        "head",
        "meta",
        "title",
        "link",
        "style",
        "body",
        "header",
        "main",
        "section",
        "h1",
        "h2",
        "p",
        "ol",
        "li",
    ),
    *("table", "thead", "tbody", "tr", "th", "td", "div", "svg", "g", "desc", "path", "polygon", "polyline", "ellipse"),
    *("text", "a", "lineargradient", "stop", "defs", "rect"),
}


class Tags(HTMLParser):
    """Gathers the tags of a page, and what could run."""

    def __init__(self) -> None:
        super().__init__()
        self.tags: set[str] = set()
        self.running: list[str] = []

    def handle_starttag(self, tag: str, attrs: list[tuple[str, str | None]]) -> None:
        self.tags.add(tag)
        self.running += [name for name, _ in attrs if name.startswith("on") or name in ("style", "src", "srcset")]


@pytest.fixture
def shell(capsys: pytest.CaptureFixture[str]) -> Shell:
    return Shell(capsys)


def commands(words: str, folder: Path) -> dict[str, tuple[str | Path, ...]]:
    """Each page's command."""
    boat = written(folder, hostile_boat(words))
    readings = written(folder, hostile_readings(words), "readings.yaml")
    name = as_name(words)
    told = [
        piece for option in ("--reported", "--found", "--done", "--not-done") for piece in (option, f"it is {words}")
    ]
    return {
        "diagnosis": ("diagnose", boat, readings),
        "flush": ("flush", boat, f"coil {name}", "--scale", "0.5 mm"),
        "trial": ("trial", boat, "--readings", readings),
        "owner": ("trial", boat, "--change", f"change {name}", "--hand-over", *told),
    }


@pytest.mark.parametrize("words", EVERY)
def test_user_text_is_text_on_every_page_and_on_the_terminal(words: str, shell: Shell, tmp_path: Path) -> None:
    shown = " ".join(printable(as_name(words)).split())
    for name, command in commands(words, tmp_path).items():
        page = tmp_path / f"{name}.html"
        done = shell(*command, "-o", page)
        assert (0, "") == (done.status, done.out), done.err
        html = page.read_text(encoding="utf-8")
        tags = Tags()
        tags.feed(html)
        assert set() == tags.tags - ALLOWED
        assert [] == tags.running
        assert shown in " ".join(words_of(html))
        told = shell(*command).out
        assert max(map(len, told.splitlines())) <= 80
        assert "\x1b" not in told
    assert f"it is {' '.join(printable(words).split())}" in " ".join(words_of(html))


@pytest.mark.parametrize("words", EVERY)
def test_a_baseline_with_any_name_is_read_again(words: str, shell: Shell, tmp_path: Path) -> None:
    kept = tmp_path / "kept.yaml"
    done = shell(*commands(words, tmp_path)["trial"], "--baseline", kept)
    assert 0 == done.status
    circuit = netsolve.load(tmp_path / "boat.yaml")
    assert [f"oil {as_name(words)}"] == [each.probe.names[0] for each in read_file(kept, circuit)]
