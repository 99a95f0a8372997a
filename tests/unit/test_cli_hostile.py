"""A circuit whose every text tries to be more than text is printed by every command as the text that it is."""

from __future__ import annotations

from pathlib import Path

import pytest

from tests.commands import Shell
from tests.hostile import HOSTILE, as_name, hostile_circuit

COMMANDS = [
    ("check", "FILE"),
    ("solve", "FILE"),
    ("solve", "FILE", "--bands"),
    ("solve", "FILE", "--sensitivity", "NEED"),
    ("compare", "FILE"),
    ("compare", "FILE", "--each-part"),
    ("sweep", "FILE", "--vary", "PATH = 10 .. 16 mm, 3 points"),
    ("margin", "FILE"),
    ("size", "FILE", "PATH"),
    ("diagnose", "FILE", "READINGS"),
    ("flush", "FILE", "NEED"),
    ("trial", "FILE"),
    ("trial", "FILE", "--readings", "READINGS"),
    ("solve", "FILE", "--condition", "NEED"),
]

HOSE = "hose, length: 2 m, bore: 16 mm, roughness: 0.01 mm"
"""It has sizes, uncertain numbers and ways of fouling, so that all commands have something to say."""


@pytest.fixture(params=HOSTILE)
def words(request: pytest.FixtureRequest) -> str:
    return str(request.param)


@pytest.fixture
def places(tmp_path: Path, words: str) -> dict[str, str]:
    text = hostile_circuit(words).replace("{type: loss, k: 9, bore: 16 mm,", f"{{type: {HOSE},")
    file, readings, need = tmp_path / "boat.yaml", tmp_path / "read.yaml", f"coil {as_name(words)}"
    file.write_text(text, encoding="utf-8")
    run, condition = (each.replace("'", "''") for each in (f"branch {as_name(words)}", f"idle {as_name(words)}"))
    readings.write_text(
        f"readings:\n  - {{bucket: '{run}', condition: '{condition}', volume: 10 L, took: 12 s}}\n", encoding="utf-8"
    )
    return {"FILE": str(file), "READINGS": str(readings), "NEED": need, "PATH": f"{need}.bore"}


@pytest.mark.parametrize("command", COMMANDS, ids=" ".join)
def test_it_is_printed_as_text(
    capsys: pytest.CaptureFixture[str], words: str, places: dict[str, str], command: tuple[str, ...]
) -> None:
    typed = [next((each.replace(key, value) for key, value in places.items() if key in each), each) for each in command]
    done = Shell(capsys)(*typed)
    said = done.out + done.err
    assert done.status == (2 if "--condition" in command else 0), said
    assert "Traceback" not in said
    assert [char for char in said if ord(char) < 32 and char != "\n"] == []
    if command != ("check", "FILE"):
        assert _squeezed(as_name(words)) in _squeezed(said)


def _squeezed(text: str) -> str:
    """The text without its spaces and frames, which wrapping moves, in one case."""
    return "".join(char for char in text.casefold() if not char.isspace() and char not in "│└├─")
