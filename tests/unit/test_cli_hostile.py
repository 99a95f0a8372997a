"""A circuit whose every text tries to be more than text is printed by every command as the text that it is."""

from __future__ import annotations

from pathlib import Path

import pytest

from netsolve.commands.watch import Watcher
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
    ("heat", "FILE"),
    ("draw", "FILE", "-o", "DOT"),
]

HOSE = "hose, length: 2 m, bore: 16 mm, roughness: 0.01 mm"
COOLER = "heat_exchanger, drop: 9 kPa, at: 60 L/min, heat: 5 kW"
"""They have sizes, uncertain numbers, heat and ways of fouling, so that all commands have something to say."""

ESCAPES = r"red\e[31m \e]8;;http://x\e\\link \e]0;title\a bell\b \u009b2J \u007f turned"
"""What a terminal would obey, as a YAML text may write it."""


@pytest.fixture(params=HOSTILE)
def words(request: pytest.FixtureRequest) -> str:
    return str(request.param)


@pytest.fixture
def places(tmp_path: Path, words: str) -> dict[str, str]:
    text = hostile_circuit(words).replace("{type: loss, k: 9, bore: 16 mm,", f"{{type: {HOSE},")
    text = text.replace("{type: loss, k: 5, bore: 16 mm,", f"{{type: {COOLER},")
    file, readings, need = tmp_path / "boat.yaml", tmp_path / "read.yaml", f"coil {as_name(words)}"
    file.write_text(text, encoding="utf-8")
    run, condition = (each.replace("'", "''") for each in (f"branch {as_name(words)}", f"idle {as_name(words)}"))
    readings.write_text(
        f"readings:\n  - {{bucket: '{run}', condition: '{condition}', volume: 10 L, took: 12 s}}\n", encoding="utf-8"
    )
    return {
        "FILE": str(file),
        "READINGS": str(readings),
        "NEED": need,
        "PATH": f"{need}.bore",
        "DOT": str(file.with_suffix(".dot")),
    }


@pytest.mark.parametrize("command", COMMANDS, ids=" ".join)
def test_it_is_printed_as_text(
    capsys: pytest.CaptureFixture[str], words: str, places: dict[str, str], command: tuple[str, ...]
) -> None:
    typed = [next((each.replace(key, value) for key, value in places.items() if key in each), each) for each in command]
    done = Shell(capsys)(*typed)
    said = done.out + done.err
    assert done.status == (2 if "--condition" in command else 0), said
    assert "Traceback" not in said
    assert _controls(said) == []
    if command[0] not in ("check", "draw"):
        assert _squeezed(as_name(words)) in _squeezed(said)


def test_it_is_text_while_it_is_watched(capsys: pytest.CaptureFixture[str], words: str, places: dict[str, str]) -> None:
    file = Path(places["FILE"])
    watcher = Watcher(file, None, None, None, (), None)
    watcher.look()
    file.write_text(file.read_text(encoding="utf-8").replace("length: 2 m", "length: 4 m"), encoding="utf-8")
    watcher.look()
    said = capsys.readouterr().out
    assert _controls(said) == []
    assert _squeezed(as_name(words)) in _squeezed(said)


def test_control_characters_do_not_reach_the_terminal(capsys: pytest.CaptureFixture[str], tmp_path: Path) -> None:
    """Colours, a link, a title of the window, a bell and what C1 and DEL do, as a YAML text may escape them."""
    text = hostile_circuit("words").replace("circuit: 'words'", f'circuit: "{ESCAPES}"')
    text = text.replace("'coil words'", f'"coil {ESCAPES}"')
    file = tmp_path / "boat.yaml"
    file.write_text(text, encoding="utf-8")
    for command in ("check", "solve", "margin", "trial", "compare"):
        done = Shell(capsys)(command, file)
        assert _controls(done.out + done.err) == [], command
        assert "Traceback" not in done.err


def _controls(said: str) -> list[str]:
    return [char for char in said if (ord(char) < 32 or 127 <= ord(char) < 160) and char != "\n"]


def _squeezed(text: str) -> str:
    """The text without its spaces and frames, which wrapping moves, in one case."""
    return "".join(char for char in text.casefold() if not char.isspace() and char not in "│└├─")
