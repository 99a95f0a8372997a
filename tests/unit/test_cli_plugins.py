"""Components and rules from a folder: they are found, and a broken one harms only the circuit that asks for it."""

from __future__ import annotations

from pathlib import Path

import pytest

from tests.commands import POT_HAULER, Shell, edited, written

BOX = '''"""A plugin."""
from netsolve.plugin import Component, quantity


class {name}(Component):
    """A box that the water goes through."""

    bore: float = quantity("length", "inside diameter", above=0)
    sources = ("none: made up for the test",)

    def pressure_drop(self, flow, water):
        return {drop}
'''

RULE = '''"""A rule."""
from netsolve.plugin import Rule, quantity


class {name}(Rule):
    """Says that there are boxes."""

    limit: float = quantity("number", "how many", default=1.0)
    severity = "danger"
    basis = "made up for the test"

    def findings(self, row):
        return [self.finding(part, {message}, limit=self.limit) for part in row.parts() if part.type == "good_box"]
'''

LOSS = "{type: rated_loss, drop: 12 kPa, at: 150 L/min}"


@pytest.fixture
def shell(capsys: pytest.CaptureFixture[str], monkeypatch: pytest.MonkeyPatch) -> Shell:
    monkeypatch.setenv("COLUMNS", "80")
    return Shell(capsys)


@pytest.fixture
def folder(tmp_path: Path) -> Path:
    """A folder with one component that works, one that cannot be imported, and two that fail when asked."""
    folder = tmp_path / "parts"
    folder.mkdir()
    written(folder, BOX.format(name="GoodBox", drop="1e9 * flow * abs(flow) + 1e5 * flow"), "good_box.py")
    written(folder, BOX.format(name="RaisingBox", drop="1 / self.nothing"), "raising_box.py")
    written(folder, BOX.format(name="EmptyBox", drop="None"), "empty_box.py")
    late = 'flow * (float("nan") if getattr(flow, "ndim", 0) == 2 else 1e5)'
    written(folder, BOX.format(name="NanBox", drop=late), "nan_box.py")
    written(folder, BOX.format(name="LateBox", drop=late.replace('float("nan")', "self.nothing")), "late_box.py")
    written(folder, "import a_module_that_there_is_not\n", "broken_box.py")
    return folder


def with_box(folder: Path, type: str) -> Path:
    return written(folder.parent, edited(LOSS, f"{{type: {type}, bore: 32 mm}}"))


def test_a_plugin_that_works_is_a_component_like_any_other(shell: Shell, folder: Path) -> None:
    done = shell("solve", with_box(folder, "good_box"), "--plugins", folder, "--json")
    assert (done.status, done.err) == (0, "")
    part = done.json["rows"][2]["parts"]["injection ring"]
    assert part["type"] == "good_box"
    flow = part["flow_m3_s"]
    assert part["pressure_drop_pa"] == pytest.approx(1e9 * flow**2 + 1e5 * flow, rel=1e-6)
    assert "A box that the water goes through." in shell("components", "good_box", "--plugins", folder).out
    assert '"const": "good_box"' in shell("schema", "--plugins", folder).out


def test_without_the_folder_the_type_is_not_known(shell: Shell, folder: Path) -> None:
    done = shell("check", with_box(folder, "good_box"))
    assert (done.status, done.out) == (2, "")
    assert ":36:32: error[unknown-type]: there is no type 'good_box'" in done.err


def test_a_broken_plugin_disturbs_nobody_who_does_not_ask_for_it(shell: Shell, folder: Path) -> None:
    plain, beside = shell("solve", POT_HAULER), shell("solve", POT_HAULER, "--plugins", folder)
    assert (beside.status, beside.err, beside.out) == (0, "", plain.out)
    assert shell("schema", "--plugins", folder).status == 0
    listed = shell("components", "--plugins", folder)
    assert listed.status == 0
    assert "'broken_box' cannot be loaded" in listed.words
    assert "A box that the water goes through." in listed.words


@pytest.mark.parametrize("command", ["check", "solve", "compare"])
def test_a_broken_plugin_is_a_problem_at_the_line_that_asks_for_it(shell: Shell, folder: Path, command: str) -> None:
    file = with_box(folder, "broken_box")
    done = shell(command, file, "--plugins", folder)
    assert (done.status, done.out) == (2, "")
    assert f"{file}:36:32: error[plugin-failed]: 'broken_box' cannot be loaded: " in done.err
    assert f"{folder / 'broken_box.py'}, line 1: ModuleNotFoundError: No module named" in done.err
    assert "help: mend the plugin" in done.err


def test_the_page_of_a_broken_plugin_says_why_there_is_none(shell: Shell, folder: Path) -> None:
    done = shell("components", "broken_box", "--plugins", folder)
    assert (done.status, done.out) == (2, "")
    assert f"{folder / 'broken_box.py'}, line 1: ModuleNotFoundError" in done.err


@pytest.mark.parametrize(
    ("type", "fault"),
    [
        ("raising_box", "'RaisingBox' fails: {folder}/raising_box.py, line 12: AttributeError: "),
        ("empty_box", "'EmptyBox' fails: {folder}/empty_box.py, line 11: pressure_drop gives nothing for an array"),
    ],
)
@pytest.mark.parametrize("command", ["check", "solve"])
def test_a_plugin_whose_law_fails_is_a_problem_at_its_part(
    shell: Shell, folder: Path, command: str, type: str, fault: str
) -> None:
    file = with_box(folder, type)
    done = shell(command, file, "--plugins", folder, "--json")
    assert (done.status, done.out) == (2, "")
    assert f"{file}:36:9: error[plugin-failed]: {fault.format(folder=folder)}" in done.err


def test_a_plugin_that_fails_only_while_solving_is_a_problem_at_its_part(shell: Shell, folder: Path) -> None:
    file = with_box(folder, "late_box")
    assert shell("check", file, "--plugins", folder).status == 0
    done = shell("solve", file, "--plugins", folder, "--json")
    assert (done.status, done.out) == (2, "")
    told = f"'late_box' fails: {folder / 'late_box.py'}, line 12: AttributeError: "
    assert f"{file}:36:9: error[plugin-failed]: {told}" in done.err


def test_a_plugin_whose_curve_is_no_number_gives_no_answer_but_no_crash(shell: Shell, folder: Path) -> None:
    file = with_box(folder, "nan_box")
    data = shell("solve", file, "--plugins", folder, "--json")
    assert data.status == 3
    assert [row["settled"] for row in data.json["rows"]] == [False] * 15
    assert data.json["rows"][0]["unsettled"]["imbalance_pa"] is None
    table = shell("solve", file, "--plugins", folder, "--condition", "idle")
    assert table.status == 3
    assert "comes to no number at all" in table.words
    assert "nan" not in table.words.replace("nan_box", "")


@pytest.mark.parametrize("place", ["", "        "])
def test_a_plugin_that_asks_to_leave_ends_nothing(shell: Shell, folder: Path, place: str) -> None:
    text = (folder / "good_box.py").read_text()
    after = "flow, water):\n" if place else "plugin import Component, quantity\n"
    written(folder, text.replace(after, f"{after}{place}raise SystemExit(0)\n"), "good_box.py")
    done = shell("solve", with_box(folder, "good_box"), "--plugins", folder)
    assert (done.status, done.out) == (2, "")
    assert f"{folder / 'good_box.py'}, line {12 if place else 3}: SystemExit: 0" in done.err


def test_what_a_plugin_prints_is_not_among_the_data(shell: Shell, folder: Path) -> None:
    text = (folder / "good_box.py").read_text()
    written(
        folder, "print('loading')\n" + text.replace("water):\n", "water):\n        print('asked')\n"), "good_box.py"
    )
    file = with_box(folder, "good_box")
    for command in (("check", file, "--json"), ("solve", file, "--json"), ("schema",)):
        done = shell(*command, "--plugins", folder)
        assert done.status == 0
        assert done.json
        assert "loading" in done.err
    assert "asked" in shell("solve", file, "--plugins", folder, "--condition", "idle").err


@pytest.mark.parametrize(
    ("line", "fault"),
    [
        ("width = 1", ", line 5: PydanticUserError: A non-annotated attribute"),
        (
            'width: float = quantity("lenght", "how wide")',
            ", line 5: its 'width' is of the kind 'lenght', which there is not",
        ),
        ('min_flow: float = quantity("flow", "needs")', ", line 5: its parameter 'min_flow' has a reserved name"),
    ],
)
def test_a_faulty_declaration_is_told_before_anything_is_solved(
    shell: Shell, folder: Path, line: str, fault: str
) -> None:
    text = (folder / "good_box.py").read_text()
    written(folder, text.replace("    sources =", f"    {line}\n    sources ="), "good_box.py")
    done = shell("check", with_box(folder, "good_box"), "--plugins", folder)
    assert (done.status, done.out) == (2, "")
    assert f"{folder / 'good_box.py'}{fault}" in done.err
    page = shell("components", "good_box", "--plugins", folder)
    assert (page.status, page.out) == (2, "")
    assert fault in page.err


def test_a_rule_of_ones_own_speaks_and_is_limited_by_its_file_name(shell: Shell, folder: Path) -> None:
    written(folder, RULE.format(name="Boxes", message='f"there is a box, limit {self.limit:g}"'), "boxes.py")
    file = with_box(folder, "good_box")
    row = shell("solve", file, "--plugins", folder, "--json", "--condition", "full").json["rows"][0]
    assert [each["message"] for each in row["findings"] if each["code"] == "boxes"] == ["there is a box, limit 1"]
    assert shell("solve", file, "--plugins", folder, "--condition", "full", "--strict").status == 1
    text = file.read_text()
    limited = shell("solve", written(folder.parent, text + "limits: {boxes: 3}\n"), "--plugins", folder)
    assert "there is a box, limit 3" in limited.words
    silenced = shell("solve", written(folder.parent, text + "limits: {boxes: off}\n"), "--plugins", folder)
    assert "there is a box" not in silenced.words


@pytest.mark.parametrize(
    ("text", "fault"),
    [
        (RULE.format(name="Boxes", message="1 / 0"), "'boxes' fails: {file}, line 13: ZeroDivisionError"),
        ("class Boxes(Rule):\n    pass\n", "'boxes' cannot be loaded: {file}, line 1: NameError"),
    ],
)
def test_a_rule_that_fails_is_named_with_its_file_and_line(shell: Shell, folder: Path, text: str, fault: str) -> None:
    rule = written(folder, text, "boxes.py")
    done = shell("solve", with_box(folder, "good_box"), "--plugins", folder)
    assert (done.status, done.out) == (2, "")
    assert fault.format(file=rule) in done.err


def test_a_folder_that_is_not_there_or_takes_a_name_in_use_is_refused(shell: Shell, folder: Path) -> None:
    done = shell("check", POT_HAULER, "--plugins", folder / "nowhere")
    assert (done.status, done.out) == (2, "")
    assert f"there is no folder '{folder / 'nowhere'}' to take plugins from" in done.err
    written(folder, BOX.format(name="Hose", drop="flow"), "hose.py")
    done = shell("check", POT_HAULER, "--plugins", folder)
    assert (done.status, done.out) == (2, "")
    assert f"'hose' is there twice: from netsolve and {folder / 'hose.py'}" in done.err
