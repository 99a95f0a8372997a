"""The library of cautions: the README has all of it, rules name what is in it, and answers carry what belongs."""

from __future__ import annotations

from pathlib import Path

import pytest

from netsolve.cautions import CAUTIONS, cautions_of, readme
from netsolve.problems import Finding
from netsolve.registry import Registry
from tests.commands import POT_HAULER, Shell, edited, written

README = (Path(__file__).parents[2] / "README.md").read_text(encoding="utf-8")
RULES = Registry.built_in().rules()


@pytest.fixture
def shell(capsys: pytest.CaptureFixture[str]) -> Shell:
    return Shell(capsys)


def finding(severity: str, *hazards: str) -> Finding:
    return Finding("a_rule", severity, "a part", "it is so", cautions=hazards)


def test_the_readme_has_every_caution_in_full() -> None:
    said = README.partition("## Cautions")[2].partition("\n## ")[0]
    listed = [" ".join(each.split()) for each in said.split("\n- ")[1:]]
    listed[-1] = listed[-1].partition(" netsolve never says")[0]
    assert [f"- {each}" for each in listed] == readme().splitlines()


def test_every_caution_defers_to_somebody_and_is_short_enough_to_read() -> None:
    assert all(each.ask and each.full.endswith(".") and len(each.short) < 110 for each in CAUTIONS.values())


def test_rules_name_only_hazards_that_there_are() -> None:
    assert {hazard for rule in RULES for hazard in rule.hazards} <= set(CAUTIONS)


def test_a_caution_is_given_once_and_not_for_mere_notes() -> None:
    found = [finding("danger", "flooding"), finding("fault", "flooding", "hot"), finding("note", "acid")]
    assert list(cautions_of(found)) == ["flooding", "hot"]


def test_the_answer_ends_with_the_short_cautions_of_what_was_found(shell: Shell, tmp_path: Path) -> None:
    bare = written(tmp_path, edited("      - seacock:        {type: seacock, bore: 38 mm}\n", ""))
    served = ("--condition", "full", "--change", "bigger feed hose")
    sound, flooding = (" ".join(shell("solve", file, *served).out.split()) for file in (POT_HAULER, bare))
    short = CAUTIONS["flooding"].short[1:]
    assert (sound.count(short), flooding.count(short)) == (0, 1)


def test_a_missed_need_cautions_of_the_work_on_it(shell: Shell, tmp_path: Path) -> None:
    asked = ("--condition", "idle", "--change", "as found", "--json")
    (starved,) = [
        each for each in shell("solve", POT_HAULER, *asked).json["rows"][0]["findings"] if each["code"] == "starved"
    ]
    assert starved["cautions"] == ["flooding", "hot"]
    closed = written(tmp_path, edited("seacock, bore: 38 mm}", "seacock, bore: 38 mm, shut: closed}"))
    told = shell("solve", closed, *asked).json["rows"][0]["findings"]
    (dry,) = [each for each in told if (each["code"], each["about"]) == ("dry", "engine cooler")]
    assert "exhaust" in dry["cautions"]


def test_findings_carry_their_cautions_as_data(shell: Shell, tmp_path: Path) -> None:
    bare = written(tmp_path, edited("      - seacock:        {type: seacock, bore: 38 mm}\n", ""))
    findings = shell("solve", bare, "--json").json["rows"][0]["findings"]
    (low,) = [each for each in findings if (each["code"], each["severity"]) == ("hull_shut_off", "danger")]
    assert low["cautions"] == ["flooding"]
