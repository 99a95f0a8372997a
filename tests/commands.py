"""Runs a command in this process as a shell would: its exit status, stdout and stderr."""

from __future__ import annotations

import json
from dataclasses import dataclass
from html.parser import HTMLParser
from pathlib import Path
from typing import Any

import pytest

from netsolve.cli import main

CIRCUITS = Path(__file__).parents[1] / "circuits"
POT_HAULER = CIRCUITS / "pot_hauler.yaml"


@dataclass(frozen=True)
class Done:
    """What a command left behind."""

    status: int
    out: str
    err: str

    @property
    def json(self) -> Any:
        """The answer as data; ValueError for NaN and infinity, which JSON does not have."""

        def refuse(word: str) -> float:
            raise ValueError(f"{word} is not JSON")

        return json.loads(self.out, parse_constant=refuse)

    @property
    def words(self) -> str:
        """The answer on one line."""
        return " ".join(self.out.split())


class Shell:
    """Runs commands; a traceback in place of an exit status fails the test."""

    def __init__(self, capsys: pytest.CaptureFixture[str]) -> None:
        self._capsys = capsys

    def __call__(self, *arguments: str | Path) -> Done:
        with pytest.raises(SystemExit) as ended:
            main([str(each) for each in arguments], prog_name="netsolve")
        out, err = self._capsys.readouterr()
        code = ended.value.code
        return Done(code if isinstance(code, int) else 0, out, err)


def written(folder: Path, text: str | bytes, name: str = "boat.yaml") -> Path:
    """A file of this content."""
    path = folder / name
    path.write_bytes(text if isinstance(text, bytes) else text.encode())
    return path


def edited(old: str, new: str) -> str:
    """The pot hauler's circuit with one piece of its text replaced; it must stand there once."""
    text = POT_HAULER.read_text(encoding="utf-8")
    assert text.count(old) == 1, f"{old!r} stands {text.count(old)} times"
    return text.replace(old, new)


class _Words(HTMLParser):
    """Gathers the words between the tags of a page's body."""

    def __init__(self) -> None:
        super().__init__()
        self.words: list[str] = []
        self._skip = 0

    def handle_starttag(self, tag: str, attrs: list[tuple[str, str | None]]) -> None:
        self._skip += tag in ("head", "svg")

    def handle_endtag(self, tag: str) -> None:
        self._skip -= tag in ("head", "svg")

    def handle_data(self, data: str) -> None:
        self.words += [] if self._skip else data.split()


def words_of(html: str) -> list[str]:
    """The words of a page's body, pictures left out."""
    reader = _Words()
    reader.feed(html)
    return reader.words
