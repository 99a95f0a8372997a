"""The sheet of a trial: what is predicted, how readings are judged, the baseline, and the page for the owner."""

from __future__ import annotations

from html.parser import HTMLParser
from pathlib import Path

import pytest

import netsolve
from netsolve.study.diagnosis.probe import Probe, Reading, Situation
from netsolve.study.diagnosis.read import read_text
from netsolve.study.trial import HIGH, LOW, PASS, STARVED, UNREAD, Line, baseline, trial
from tests.commands import CIRCUITS, POT_HAULER, Shell, written

CIRCUIT = netsolve.load(POT_HAULER)
READINGS = CIRCUITS / "readings/pot_hauler.yaml"
BUCKET = Probe("bucket", ("oil cooler branch",), Situation("cruise"))


def judged(value: float, *, deviation: float = 0.0, least: float | None = None) -> str:
    """The verdict on a reading of what is predicted as 10, from 9.5 to 10.5."""
    return Line(BUCKET, 9.5, 10.0, 10.5, least, Reading(BUCKET, value, deviation)).verdict


@pytest.mark.parametrize(("value", "verdict"), [(8.4, LOW), (8.6, PASS), (10, PASS), (11.4, PASS), (11.6, HIGH)])
def test_a_reading_passes_within_fifteen_per_cent(value: float, verdict: str):
    assert verdict == judged(value)


def test_a_reading_passes_in_a_band_that_is_wider_than_that():
    assert PASS == Line(BUCKET, 7.0, 10.0, 13.0, None, Reading(BUCKET, 7.5, 0.0)).verdict


def test_how_well_it_was_read_counts_in_its_favour():
    assert PASS == judged(8.0, deviation=0.3)  # 8.0 ± 0.6 reaches 8.5
    assert LOW == judged(8.0, deviation=0.2)


def test_a_need_is_not_missed_for_fifteen_per_cent():
    assert STARVED == judged(9.0, least=9.5)
    assert UNREAD == Line(BUCKET, 9.5, 10.0, 10.5, 9.5).verdict


def test_what_is_predicted_is_what_the_circuit_gives_and_lies_in_its_band():
    lines = {(line.probe.names[0], line.probe.situation.condition): line for line in trial(CIRCUIT).lines}
    for condition in CIRCUIT.conditions:
        row = netsolve.solve(CIRCUIT)[condition, "as found"]
        line = lines["oil cooler branch", condition]
        assert row.run("oil cooler branch").flow == pytest.approx(line.middle, rel=0.02)
        assert line.low < line.middle < line.high
        assert row.part("oil cooler").min_flow == line.least


def test_a_hose_off_at_the_inlet_lets_in_what_a_hole_of_its_bore_does():
    """A 3/4 in hose off 0.6 m down: 35 to 60 L/min; common practice, no source. The least is a sharp hole, C 0.62."""
    text = POT_HAULER.read_text(encoding="utf-8").replace("height: -0.5 m, bore: 38 mm", "height: -0.6 m, bore: 3/4 in")
    (flood,) = trial(netsolve.loads(text)).floods
    assert 35 <= 6e4 * flood.flow <= 60


def test_the_baseline_keeps_what_was_accepted_and_reads_back_as_it_was():
    readings = read_text(
        """
readings:
  - {bucket: oil cooler branch, condition: cruise, volume: 10 L, took: 51 s}
  - {bucket: oil cooler branch, condition: full, volume: 10 L, took: 150 s}
  - {vacuum: raw-water pump.in, condition: idle, value: 3 kPa, accuracy: 0.5 kPa, height: 0.2 m}
  - {clear hose: tee-off.common, condition: idle, level: 0.65 m}
""",
        CIRCUIT,
    )
    sheet = trial(CIRCUIT, readings=readings)
    verdicts = {line.probe: line.verdict for line in sheet.read}
    assert STARVED == verdicts.pop(readings[1].probe)
    assert {PASS} == set(verdicts.values())
    again = read_text(baseline(sheet), CIRCUIT)
    kept = {each.probe: each for each in readings if each is not readings[1]}
    assert set(kept) == {each.probe for each in again}
    for each in again:
        assert (kept[each.probe].value, kept[each.probe].deviation) == pytest.approx(
            (each.value, each.deviation), rel=2e-3
        )


def test_last_years_readings_stand_beside_this_years():
    (before,) = read_text("readings: [{bucket: oil cooler, condition: cruise, volume: 10 L, took: 55 s}]", CIRCUIT)
    (line,) = [each for each in trial(CIRCUIT, before=[before]).lines if each.probe == before.probe]
    assert before.value == line.before


@pytest.fixture
def shell(capsys: pytest.CaptureFixture[str]) -> Shell:
    return Shell(capsys)


def test_the_sheet_has_cautions_steps_and_a_blank_for_each_reading(shell: Shell) -> None:
    done = shell("trial", POT_HAULER)
    assert 0 == done.status
    assert max(map(len, done.out.splitlines())) <= 80
    assert done.words.index("carbon monoxide") < done.words.index("at the dock") < done.words.index("idle what")
    assert done.out.count("________   ") >= 3 * 4
    assert "to be filled in" in done.out


def test_readings_fill_the_sheet_and_are_judged_and_kept(shell: Shell, tmp_path: Path) -> None:
    kept = tmp_path / "next year.yaml"
    done = shell("trial", POT_HAULER, "--readings", READINGS, "--baseline", kept)
    assert "3 readings, 1 not accepted" in done.out
    assert "misses" in done.out
    again = shell("trial", POT_HAULER, "--last-year", kept)
    assert (0, True) == (again.status, "last year" in again.out)


def test_json_has_each_line_in_si(shell: Shell) -> None:
    lines = shell("trial", POT_HAULER, "--readings", READINGS, "--json").json["lines"]
    read = [line for line in lines if line["read"] is not None]
    assert {"pass", "misses its need"} == {line["verdict"] for line in read}
    assert all(line["low"] <= line["predicted"] <= line["high"] for line in lines)


class Tags(HTMLParser):
    """Counts tags, and collects what loads anything."""

    def __init__(self) -> None:
        super().__init__()
        self.count: dict[str, int] = {}
        self.loads: list[str] = []

    def handle_starttag(self, tag: str, attrs: list[tuple[str, str | None]]) -> None:
        self.count[tag] = self.count.get(tag, 0) + 1
        self.loads += [value or "" for name, value in attrs if name in ("src", "href") and value != "data:,"]


def test_the_page_to_print_needs_nothing_but_itself_and_escapes_what_is_told(shell: Shell, tmp_path: Path) -> None:
    page = tmp_path / "owner.html"
    told = ["--reported", "<script>alert(1)</script>", "--found", "a plug", "--not-done", "the seacock"]
    assert 0 == shell("trial", POT_HAULER, "--change", "screen", "--hand-over", *told, "-o", page).status
    text = page.read_text(encoding="utf-8")
    tags = Tags()
    tags.feed(text)
    assert "script" not in tags.count
    assert tags.count["svg"] == 1
    assert [] == [each for each in tags.loads if not each.startswith("#")]
    order = [text.index(each) for each in ("you reported", "we found", "we did", "before and after", "what to look at",
                                           "not done", "limits", "cautions", "signature")]  # fmt: skip
    assert sorted(order) == order


@pytest.mark.parametrize(
    ("options", "said"),
    [
        (["--change", "scren"], "did you mean 'screen'?"),
        (["--baseline", "x.yaml"], "add --readings FILE"),
        (["-o", "sheet.doc"], "-o trial.html"),
        (["--readings", "nowhere.yaml"], "there is no file 'nowhere.yaml'"),
    ],
)
def test_a_mistake_is_told_with_the_cure(shell: Shell, options: list[str], said: str) -> None:
    done = shell("trial", POT_HAULER, *options)
    assert (2, True) == (done.status, said in done.err)


def test_a_sheet_that_cannot_be_written_is_told(shell: Shell, tmp_path: Path) -> None:
    blocked = written(tmp_path, "", "file")
    done = shell("trial", POT_HAULER, "-o", blocked / "sheet.html")
    assert (2, True) == (done.status, "cannot be written" in done.err)
