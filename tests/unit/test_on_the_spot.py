"""A change made on the spot is the change that the file could have written; what is wrong with it is shown in it."""

from __future__ import annotations

import pytest

from tests.commands import POT_HAULER, Shell, edited, written

ELBOW = "elbow: {type: loss, k: 1.5, bore: 16 mm}"


@pytest.fixture
def shell(capsys: pytest.CaptureFixture[str]) -> Shell:
    return Shell(capsys)


def flows(shell: Shell, *arguments: object) -> list[tuple[str, str, float, float]]:
    effects = shell("compare", *map(str, arguments), "--json").json["effects"]
    return [(each["condition"], each["about"], each["before"], each["after"]) for each in effects]


def test_fitting_on_the_spot_is_the_change_that_fits(shell: Shell) -> None:
    asked = flows(shell, POT_HAULER, "--fit", "Mesh  Screen", "--fit", "check valve")
    assert asked == flows(shell, POT_HAULER, "--change", "screen and check valve")


def test_setting_on_the_spot_is_the_change_that_sets(shell: Shell) -> None:
    asked = flows(shell, POT_HAULER, "--set", "feed hose.bore = 3/4 in")
    assert asked == flows(shell, POT_HAULER, "--change", "bigger feed hose")


def test_a_part_taken_out_is_the_part_written_as_not_fitted(shell: Shell, tmp_path) -> None:
    bare = written(tmp_path, edited("length: 3 m, bends: 2}", "length: 3 m, bends: 2, fitted: no}"))
    asked = flows(shell, POT_HAULER, "--remove", "return hose")
    assert [after for *_, after in asked] == [before for *_, before, _ in flows(shell, bare, "--fit", "return hose")]


@pytest.mark.parametrize(("option", "beside"), [("--after", "feed hose"), ("--before", "mesh screen")])
def test_a_new_part_is_the_part_written_into_the_file(shell: Shell, tmp_path, option: str, beside: str) -> None:
    line = "length: 2.5 m, bends: 2}"
    longer = written(tmp_path, edited(line, f"{line}\n      - {ELBOW.replace('16 mm', '16 mm, fitted: no')}"))
    asked = flows(shell, POT_HAULER, "--insert", ELBOW, option, beside)
    assert asked == flows(shell, longer, "--fit", "elbow")


def test_new_parts_stand_in_the_order_given_and_can_be_set(shell: Shell) -> None:
    options = ["--insert", ELBOW, "--insert", "plug: {type: blockage, hole: 9 mm, bore: 16 mm}"]
    data = shell("compare", POT_HAULER, *options, "--after", "feed hose", "--set", "elbow.k = 40", "--json").json
    budget = next(each for each in data["budgets"] if each["about"] == "oil cooler")
    names = [each["name"] for each in budget["takes"]]
    assert names[:4] == ["feed hose", "elbow", "plug", "oil cooler"]
    taken = {each["name"]: each for each in budget["takes"]}
    effect = next(each for each in data["effects"] if each["about"] == "oil cooler")
    head = 1025.4 / 2 * (effect["after"] / (3.141592653589793 / 4 * 0.016**2)) ** 2  # sea water of 14 degC, 34 g/kg
    assert taken["elbow"]["after"] == pytest.approx(40 * head, rel=5e-3)  # the law adds 10/Re
    assert taken["elbow"]["before"] is None


def test_the_bore_of_an_opening_is_not_that_of_a_part_yet_to_come(shell: Shell, tmp_path) -> None:
    file = written(tmp_path, edited("height: 0.2 m, bore: 16 mm}", "height: 0.2 m}"))
    narrow = "nozzle: {type: loss, k: 1, bore: 8 mm}"
    with_it = flows(shell, file, "--insert", narrow, "--after", "return hose")
    assert [before for *_, before, _ in with_it] == [
        before for *_, before, _ in flows(shell, file, "--change", "screen")
    ]


def test_a_change_on_the_spot_stands_beside_those_of_the_file(shell: Shell) -> None:
    data = shell("compare", POT_HAULER, "--change", "screen", "--fit", "check valve", "--json").json
    assert list(dict.fromkeys(each["change"] for each in data["effects"])) == ["screen", "check valve fitted"]


def test_its_name_is_none_of_the_files(shell: Shell, tmp_path) -> None:
    file = written(tmp_path, edited("  screen:  ", "  mesh screen fitted: {fit: mesh screen}\n  screen:  "))
    data = shell("compare", file, "--fit", "mesh screen", "--json").json
    assert {each["change"] for each in data["effects"]} == {"mesh screen fitted on the spot"}


def test_a_file_without_changes_takes_one(shell: Shell, tmp_path) -> None:
    text = POT_HAULER.read_text(encoding="utf-8")
    file = written(tmp_path, text[: text.index("changes:")])
    assert flows(shell, file, "--fit", "mesh screen") == flows(shell, POT_HAULER, "--change", "screen")


@pytest.mark.parametrize(
    ("options", "place", "code", "help"),
    [
        (["--fit", "screen"], "--fit:1:1", "unknown-part", "did you mean 'mesh screen'?"),
        (["--remove", "tee-off"], "--remove:1:1", "unknown-part", "'remove' takes the name of a part"),
        (["--set", "feed hose.bore = 16"], "--set:1:18", "no-unit", "write 16 mm or 16 in"),
        (["--set", "feed hos.bore = 16 mm"], "--set:1:1", "unknown-name", "did you mean 'feed hose'?"),
        (["--set", "feed hose.bore 16 mm"], "--set:1:1", "bad-setting", "--set"),
        (["--set", "feed hose.fitted = no"], "--set:1:1", "not-a-setting", "use a change"),
        (["--insert", ELBOW], "--insert:1:1", "no-place", "add --after PART"),
        (["--insert", ELBOW, "--after", "feed hos"], "--after:1:1", "unknown-part", "did you mean 'feed hose'?"),
        (["--insert", "elbow", "--after", "feed hose"], "--insert:1:1", "not-a-part", "--insert"),
        (["--insert", "elbow: bend", "--after", "feed hose"], "--insert:1:1", "not-a-table", "{type: …}"),
        (["--insert", "e: {type: bnd}", "--after", "feed hose"], "--insert:1:11", "unknown-type", "'bend'"),
        (["--insert", "e: {type: [", "--after", "feed hose"], "--insert:", "not-yaml", ""),
        (["--insert", "feed hose: {type: loss, k: 1, bore: 1 in}", "--after", "oil cooler"], "", "duplicate-name", ""),
        (["--insert", ELBOW[:-1] + ", fitted: no}", "--after", "oil cooler"], "--insert:1:42", "contradiction", ""),
        (
            ["--insert", ELBOW, "--after", "oil cooler", "--before", "oil cooler"],
            "--after",
            "contradiction",
            "keep one",
        ),
        (["--after", "oil cooler"], "--after:1:1", "nothing-to-insert", "add --insert"),
        (["--fit", "mesh screen", "--remove", "mesh screen"], "--remove:1:1", "contradiction", "keep one of them"),
        (["--fit", "a\x07b"], "--fit:1:2", "not-text", ""),
        (["--fit", ""], "", "unknown-part", ""),
    ],
)
def test_what_is_wrong_is_shown_in_the_words_of_the_option(
    shell: Shell, options: list[str], place: str, code: str, help: str
) -> None:
    done = shell("compare", POT_HAULER, *options)
    assert (done.status, done.out) == (2, "")
    assert place in done.err
    assert f"error[{code}" in done.err
    assert help in done.err
    assert done.err.count("error[") == 1
