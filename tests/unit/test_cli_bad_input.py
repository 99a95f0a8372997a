"""Bad files through the command line: status 2, every problem at file:line:column with a cure, never a traceback."""

from __future__ import annotations

import re
import time
from itertools import pairwise
from pathlib import Path

import pytest

from tests.commands import POT_HAULER, Done, Shell, edited, written
from tests.large import large

PROBLEMS = sorted((Path(__file__).parents[1] / "problems").glob("*.yaml"))
FEED = "{type: hose, bore: 5/8 in, length: 2.5 m, bends: 2}"
OVERBOARD = "{type: discharge, height: 0.2 m, bore: 16 mm}"
ANCHORS = "abcdefgh"


@pytest.fixture
def shell(capsys: pytest.CaptureFixture[str], monkeypatch: pytest.MonkeyPatch, tmp_path: Path) -> Shell:
    monkeypatch.setenv("COLUMNS", "80")
    monkeypatch.chdir(tmp_path)
    return Shell(capsys)


def refused(done: Done) -> str:
    """What a command said of a file that it could not use."""
    assert (done.status, done.out) == (2, "")
    assert "Traceback" not in done.err
    return done.err


@pytest.mark.parametrize("file", PROBLEMS, ids=lambda file: file.stem)
@pytest.mark.parametrize("command", ["check", "solve"])
def test_every_known_bad_file_is_refused_at_a_place(shell: Shell, command: str, file: Path) -> None:
    told = refused(shell(command, file)).split("\n\n")
    for problem in filter(None, (each.strip() for each in told)):
        assert re.match(rf"({re.escape(str(file))}|[a-z_]+\.csv):\d+:\d+: error\[[a-z-]+\]: ", problem)
        assert re.search(r"^ +\d+ \| .*\n +\| +\^", problem, re.MULTILINE)


def hose(parameters: str) -> str:
    return edited(FEED, "{type: hose, " + parameters + "}")


def bomb() -> str:
    """Nine lists of nine of the one before: 9^8 values in a few lines."""
    lines = [f"{ANCHORS[0]}: &a [x, x, x, x, x, x, x, x, x]"]
    for before, name in pairwise(ANCHORS):
        lines.append(f"{name}: &{name} [{', '.join([f'*{before}'] * 9)}]")
    return "\n".join(lines) + "\n"


@pytest.mark.parametrize(
    ("text", "place", "message", "cure"),
    [
        ("", "1:1", "there is nothing in this file", "begin with 'format: 1'"),
        ("# only a remark\n", "1:1", "there is nothing in this file", "begin with 'format: 1'"),
        (b"\x89PNG\r\n\x1a\n\0\0", "1:1", "the byte 0x89 is not UTF-8 text", "save the file as UTF-8"),
        (b"\0" * 64, "1:1", "the character U+0000 does not belong in a text", "save the file as plain UTF-8"),
        ("- hose\n- pump\n", "1:1", "this is a list, not names with values", "begin with 'format: 1'"),
        ("dear boatyard,\n", "1:1", "this is a single text", "begin with 'format: 1'"),
        ("what: a: mess\n", "1:8", "a second ': ' on one line", "put the value in quotes: 'a: mess'"),
        (hose("bore: -16 mm, length: 2 m"), "41:44", "must be above 0 mm, not -16 mm", "for example 16 mm"),
        (hose("bore: 16 mm, length: 2,5 m"), "41:59", "'2,5 m' has a comma in its number", "write 2.5 m"),
        (hose("bore: 16 mm, length: '2,5 m'"), "41:59", "'2,5 m' has a comma in its number", "write 2.5 m"),
        (hose("bore: nan mm, length: 2 m"), "41:44", "'nan mm' is not a finite number", "write a number, such as"),
        (hose("bore: inf mm, length: 2 m"), "41:44", "'inf mm' is not a finite number", "write a number, such as"),
        (hose("bore: 1e999 mm, length: 2 m"), "41:44", "'1e999 mm' is too large a number", "check its exponent"),
        (hose("bore: 16 mm, length: 2 m, bore: 19 mm"), "41:64", "'bore' is given twice", "keep one of the two"),
        (hose("<<: *most, bore: 16 mm"), "41:38", "'<<' is not used here", "write the values out"),
        (hose("bore: !inch 5/8, length: 2 m"), "41:44", "'!inch' is a tag", "leave it out"),
        (hose("bore: *usual, length: 2 m"), "41:44", "'*usual' repeats a value", "put it in quotes: '*usual'"),
        (edited("return hose:  ", "FEED  hose:   "), "45:9", "two parts are named 'feed hose'", "another name"),
        (edited("return hose:  ", "hose #2:      "), "45:9", "'#2' is cut off the name 'hose'", "leave the # out"),
        (edited("feed hose.bore: 3/4 in", "feed horse.bore: 3/4 in"), "57:34", "no 'feed horse'", "mean 'feed hose'"),
        (edited("{fit: mesh screen}", "{fit: sea}"), "55:33", "'sea' is a joint, and 'fit' takes a part", "'fit' takes"),
        (POT_HAULER.read_text() + "---\nformat: 1\n", "59:1", "a second document begins here", "one circuit to a file"),
        (hose("bore: 16 mm, length: 2 m, count: 2.5"), "41:71", "count is a whole number: write 3", ""),
        (hose("bore: 16 mm, length: 2 m, min_flow: 3 gpm, max_flow: 2 gpm"), "41:91", "min_flow is above max_flow: swap", ""),
        (hose("bore: 5/8'', length: 2 m"), "41:44", "is not a unit that is known", "write 5/8 in"),
        (hose("bore: 16 mm, length: 2 mtr"), "41:59", "'mtr' is not a unit that is known", "write 2 m"),
        (edited("- feed hose:  ", "- feed hose   "), "41:9", "no colon after 'feed hose'", "write feed hose: {"),
        (POT_HAULER.read_text() + "limits: {starved: 20 %}\n", "59:19", "'starved' is a verdict: it has no limit", "write starved: off"),
        (POT_HAULER.read_text() + "limits: {bore_step: 3 gpm}\n", "59:21", "limit of bore_step: ", "for example"),
        (POT_HAULER.read_text() + "limits: {bore_step: {good: 1}}\n", "59:22", "a bore_step has no 'good'", "limit"),
        (bomb(), "6:", "aliases repeat more than", "write the values out"),
        ("a: " + "[" * 100_000, "1:", "levels deep", "close the brackets"),
        ("{a: " * 100_000, "1:", "levels deep", "close the brackets"),
        ("a: &a [*a]\n", "1:8", "'*a' stands inside the very value it repeats", "write the value out"),
        (edited("joints:\n", "joints:\n  spare: {type: tank, level: 1 m}\n"), "16:3", "no run begins or ends at", "delete"),
        (edited(OVERBOARD, "{type: manifold}"), "37:3", "run 'oil cooler branch' leads nowhere", "lead another run"),
        (edited("from: tee-off.straight\n    to: exhaust", "from: tee-off.branch\n    to: exhaust"), "38:11",
         "runs 'engine' and 'oil cooler branch' take the same port, tee-off.branch", "give each run its own port"),
        (edited("from: tee-off.branch\n", "from: sea\n"), "38:11", "take the same port, sea", "branch at a tee or manifold"),
    ],
)  # fmt: skip
def test_a_bad_file_is_told_at_its_place_with_a_cure(
    shell: Shell, tmp_path: Path, text: str | bytes, place: str, message: str, cure: str
) -> None:
    written(tmp_path, text)
    started = time.perf_counter()
    told = refused(shell("check", "boat.yaml"))
    assert time.perf_counter() - started < 5.0  # the worst take milliseconds; the rest is for a busy machine
    head, _, rest = told.partition("\n")
    assert head.startswith(f"boat.yaml:{place}")
    assert message in head
    assert cure in rest.partition("  help: ")[2]
    assert cure or ": " in message  # such a message ends with its cure
    assert told.count("error[") == 1 + ("<<: *most" in str(text))


def test_a_name_pasted_with_wider_spaces_is_the_name_with_plain_ones(shell: Shell, tmp_path: Path) -> None:
    written(tmp_path, edited("- feed hose:", "- feed\N{NO-BREAK SPACE}hose:"))
    change = ("--change", "bigger feed hose", "--json")
    pasted, plain = shell("solve", "boat.yaml", *change).json, shell("solve", POT_HAULER, *change).json
    for row, other in zip(pasted["rows"], plain["rows"], strict=True):
        assert row["parts"] == other["parts"]


def test_parameters_beside_the_name_of_a_joint_a_run_or_an_engine_are_one_mistake(shell: Shell, tmp_path: Path) -> None:
    text = POT_HAULER.read_text()
    joint = re.sub(r"  overboard: \{(.*?), (.*?), (.*?)\}", r"  overboard:\n  \1\n  \2\n  \3", text)
    engine = re.sub(r"  main: \{(.*?), (.*?)\}.*", r"  main:\n  \1\n  \2", text)
    run = text.replace(
        "  engine:\n    from: tee-off.straight\n    to: exhaust\n    parts:",
        "  engine:\n  from: tee-off.straight\n  to: exhaust\n  parts:",
    )
    for broken, place, keys in (
        (joint, "19:3", "type, height, bore"),
        (engine, "12:3", "speed, rated_speed"),
        (run, "31:3", "from, to, parts"),
    ):
        told = refused(shell("check", written(tmp_path, broken).name))
        assert told.startswith(f"boat.yaml:{place}: error[not-indented]")
        assert f"help: indent {keys} by two more spaces" in told
        assert told.count("error[") == 1


def test_a_tee_with_an_open_port_is_told(shell: Shell, tmp_path: Path) -> None:
    text = POT_HAULER.read_text()
    start, end = text.index("  oil cooler branch:\n"), text.index("# A condition")
    cut = text[:start] + text[end : text.index("conditions:")]
    cut = cut.replace("  overboard: " + OVERBOARD + "\n", "")
    told = refused(shell("check", written(tmp_path, cut).name))
    assert told.startswith("boat.yaml:17:3: error[open-port]: nothing is connected to port 'branch' of 'tee-off'")
    assert "help: lead a run to 'tee-off.branch'" in told


def test_a_piece_without_an_opening_and_a_run_from_a_joint_to_itself_are_told(shell: Shell, tmp_path: Path) -> None:
    loop = "  a: {type: manifold}\n  b: {type: manifold}\n"
    runs = "  there: {from: a, to: b, parts: [p: {type: hose, bore: 16 mm, length: 1 m}]}\n"
    back = runs.replace("there", "back").replace("p:", "q:").replace("from: a, to: b", "from: b, to: a")
    text = edited("joints:\n", f"joints:\n{loop}").replace("\nruns:\n", f"\nruns:\n{runs}{back}")
    told = refused(shell("check", written(tmp_path, text).name))
    assert "error[no-opening]: nothing fixes the pressure of the piece with 'there', 'back'" in told
    assert "help: connect it to a sea_inlet" in told
    itself = text.replace("from: b, to: a", "from: b, to: b")
    assert "run 'back' begins and ends at the same port" in refused(shell("check", written(tmp_path, itself).name))


@pytest.mark.parametrize(
    ("text", "note", "help"),
    [
        (hose("bore: 16 m, length: 2.5 m"), "bore of feed hose: 16 m is out of the ordinary", "did you mean 16 mm?"),
        (hose("bore: 19 mm, length: 2.5 m, min_flow: 3 gph"), "3 gph through 19 mm is 0.011 m/s", "mean 3 gpm?"),
        (edited("oil cooler.min_flow: 1.5 gpm", "oil cooler.min_flow: 1.5 gph"), "1.5 gph through 13.8 mm", "mean 1.5 gpm?"),
        (POT_HAULER.read_text() + "limits: {bore_stop: off}\n", "there is no rule 'bore_stop'", "mean 'bore_step'?"),
    ],
)  # fmt: skip
def test_a_suspicious_value_is_said_and_not_refused(
    shell: Shell, tmp_path: Path, text: str, note: str, help: str
) -> None:
    done = shell("check", written(tmp_path, text).name)
    assert done.status == 0
    assert "no problems" in done.out
    assert "note[" in done.err
    assert note in done.err
    assert help in done.err


NAMES = [
    "<b>bold</b>",
    "[/red] [bold]",
    "a \"quoted\" 'one'",
    "to → sea",
    "x" * 300,
    "насос",
    "a &amp; <script>",
    "\\N \\n",
]


@pytest.mark.parametrize("name", NAMES)
def test_a_name_is_text_and_nothing_else_wherever_it_is_printed_or_drawn(
    shell: Shell, tmp_path: Path, name: str
) -> None:
    quoted = "'" + name.replace("'", "''") + "'"
    text = POT_HAULER.read_text().replace("feed hose.bore: 3/4 in", "return hose.bore: 3/4 in")
    bad = shell("check", written(tmp_path, text.replace("- feed hose:", f"- {quoted}:")).name)
    if any(char in name for char in "[]"):
        assert f"cannot be named '{name}': it has a '['" in refused(bad)
        return
    assert (bad.status, bad.err) == (0, "")
    line = shell("solve", "boat.yaml", "--condition", "idle", "--show", f"{name}.flow").out
    assert "".join(f"{name}.flow:".split()) in "".join(line.split())
    for format in ("svg", "png", "dot"):
        assert shell("draw", "boat.yaml", "-o", f"x.{format}").status == 0
    drawn = Path("x.svg").read_text(encoding="utf-8")
    assert "<script" not in drawn
    assert "<b>bold" not in drawn


def test_every_fault_of_a_long_file_stands_at_its_own_line_and_column(shell: Shell, tmp_path: Path) -> None:
    lines, places = large(1_000).splitlines(), []
    for index, line in enumerate(lines):
        if index % 37 == 0 and "length: " in line:
            lines[index] = line.replace("length: ", "length: -", 1)
            places.append((index + 1, line.index("length: ") + len("length: ") + 1))
    written(tmp_path, "\n".join(lines))
    told = refused(shell("check", "boat.yaml"))
    found = re.findall(r"^boat.yaml:(\d+):(\d+): error\[out-of-range\]", told, re.MULTILINE)
    assert [(int(line), int(column)) for line, column in found] == places
    assert len(places) > 20
    assert shell("check", written(tmp_path, large(1_000)).name).status == 0
