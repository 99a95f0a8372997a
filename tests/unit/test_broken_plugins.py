"""Every usual way to break a plugin gives one clear message, and a circuit file cannot make code load."""

from __future__ import annotations

import importlib
import sys
from collections.abc import Iterator
from pathlib import Path

import pytest

from netsolve.registry import Registry
from netsolve.testing import plugin
from tests.commands import POT_HAULER, Shell, edited, written

SOUND = '''"""A weir box."""

import numpy as np

from netsolve.plugin import Array, Component, Water, quantity, velocity_pressure


class WeirBox(Component):
    """A box with a weir in it."""

    bore: float = quantity("length", "inside diameter", shown="mm", above=0)

    sources = ("invented for the test",)

    def pressure_drop(self, flow: Array, water: Water) -> Array:
        """Two velocity heads, and a little that is straight."""
        return 2.0 * velocity_pressure(flow, self.bore, water) + 1e5 * flow
'''
LAW = "        return 2.0 * velocity_pressure(flow, self.bore, water) + 1e5 * flow\n"
LINE = "line 15"  # of pressure_drop
LOSS = "{type: rated_loss, drop: 12 kPa, at: 150 L/min}"
PLACE = "boat.yaml:36:"


@pytest.fixture
def shell(capsys: pytest.CaptureFixture[str], monkeypatch: pytest.MonkeyPatch, tmp_path: Path) -> Shell:
    monkeypatch.setenv("COLUMNS", "80")
    monkeypatch.chdir(tmp_path)
    (tmp_path / "parts").mkdir()
    written(tmp_path, edited(LOSS, "{type: weir_box, bore: 32 mm}"))
    return Shell(capsys)


def told(shell: Shell, text: str) -> str:
    """What `check` says of the circuit that asks for the plugin: one problem, its first line without its code."""
    written(Path("parts"), text, "weir_box.py")
    done = shell("check", "boat.yaml", "--plugins", "parts")
    assert (done.status, done.out) == (2, "")
    assert done.err.count("error[") == 1
    place, _, message = done.err.splitlines()[0].partition(" error[plugin-failed]: ")
    assert place.startswith(PLACE)
    return message.replace(f"{Path.cwd()}/", "")


def changed(old: str, new: str) -> str:
    assert SOUND.count(old) == 1
    return SOUND.replace(old, new)


def test_the_sound_plugin_is_used(shell: Shell) -> None:
    written(Path("parts"), SOUND, "weir_box.py")
    assert shell("check", "boat.yaml", "--plugins", "parts").status == 0
    assert plugin("weir_box", "parts").__name__ == "WeirBox"


ABOUT_LAWS = {
    "a list": (
        "        return [2.0 * each for each in np.atleast_1d(flow)]\n",
        "pressure_drop gives a list for an array of flows: compute it from `flow` and return that",
    ),
    "another shape": (
        "        return 0.0 * flow[:3]\n",
        "pressure_drop gives an array of shape (3,) for flows of shape (9,): compute it from `flow`, and write "
        "np.where for if",
    ),
    "no number": (
        "        return np.sqrt(flow)\n",
        "pressure_drop is not finite at -0.001 m3/s: keep 0/0, logarithms and roots away from there",
    ),
    "a falling curve": (
        "        return velocity_pressure(np.abs(flow), self.bore, water)\n",
        "pressure_drop falls from -0.001 to -0.0001 m3/s: it must rise strictly with flow in both directions; use "
        "v|v|, not v*v",
    ),
    "complex numbers": (
        "        return np.emath.power(flow, 1.75)\n",
        "pressure_drop gives complex numbers: a root of what is below zero; take it of np.abs(flow)",
    ),
    "whole numbers": (
        "        return np.sign(flow).astype(int)\n",
        "pressure_drop gives int64 instead of floats: compute it from `flow`",
    ),
}


@pytest.mark.parametrize("case", ABOUT_LAWS)
def test_a_law_that_gives_something_else(shell: Shell, case: str) -> None:
    law, sentence = ABOUT_LAWS[case]
    assert f"'WeirBox' fails: parts/weir_box.py, {LINE}: {sentence}" == told(shell, changed(LAW, law))


ABOUT_RAISING = {
    "an if on an array": (
        "        return flow if flow > 0 else 2 * flow\n",
        "line 17: ValueError: The truth value of an array with more than one element is ambiguous. Use a.any() or "
        "a.all(); write np.where for if: flows come as arrays",
    ),
    "an objection to reversed flow": (
        "        if np.any(flow < 0):\n            raise ValueError('this valve knows one direction only')\n        return flow\n",
        "line 18: ValueError: this valve knows one direction only",
    ),
}


@pytest.mark.parametrize("case", ABOUT_RAISING)
def test_a_law_that_raises(shell: Shell, case: str) -> None:
    law, sentence = ABOUT_RAISING[case]
    assert f"'WeirBox' fails: parts/weir_box.py, {sentence}" == told(shell, changed(LAW, law))


ABOUT_LOADING = {
    "a syntax error": (
        ("class WeirBox(Component):", "class WeirBox(Component:"),
        "line 8: SyntaxError: invalid syntax",
    ),
    "a missing dependency": (
        ("import numpy as np\n", "import a_library_that_there_is_not\n"),
        "line 3: ModuleNotFoundError: No module named 'a_library_that_there_is_not'; install what it needs, or mend "
        "the name",
    ),
}


@pytest.mark.parametrize("case", ABOUT_LOADING)
def test_a_file_that_cannot_be_loaded(shell: Shell, case: str) -> None:
    change, sentence = ABOUT_LOADING[case]
    assert f"'weir_box' cannot be loaded: parts/weir_box.py, {sentence}" == told(shell, changed(*change))


QUANTITY = 'quantity("length", "inside diameter", shown="mm", above=0)'
ABOUT_THE_CLASS = {
    "a wrong signature": (
        ("def pressure_drop(self, flow: Array, water: Water)", "def pressure_drop(self, flow: Array)"),
        "its pressure_drop takes (self, flow): write def pressure_drop(self, flow, water)",
    ),
    "no law": (
        ("def pressure_drop(", "def pressure_dorp("),
        "has no pressure_drop: define pressure_drop(self, flow, water), Pa from m3/s",
    ),
    "no docstring": (
        ('    """A box with a weir in it."""\n', ""),
        "has no docstring: its first line is what the catalogue says of it",
    ),
    "no sources": (
        ('    sources = ("invented for the test",)\n', ""),
        "names no sources: say which handbook and table its law is from, or 'common practice, no source'",
    ),
    "one source without its comma": (
        ('("invented for the test",)', '("invented for the test")'),
        "gives its sources as no tuple: write sources = (…,), with a comma behind the last",
    ),
    "a kind of unit that there is not": (
        (QUANTITY, QUANTITY.replace('"length"', '"lenght"')),
        "its 'bore' is of the kind 'lenght', which there is not: did you mean 'length'?",
    ),
    "a reserved name": (
        ("    bore: float =", f"    count: float = {QUANTITY}\n    bore: float ="),
        "its parameter 'count' has a reserved name: give it another",
    ),
    "a worst value out of bounds": (
        (QUANTITY, QUANTITY.replace("above=0", "above=0, worst=0.0")),
        "its 'bore' has the worst value 0, which it may not take: give one within its bounds",
    ),
    "a default out of bounds": (
        (QUANTITY, QUANTITY.replace("above=0", "above=0, default=0.0")),
        "its 'bore' has the default 0, which it may not take: give one within its bounds, in SI",
    ),
    "a default with its unit": (
        (QUANTITY, QUANTITY.replace("above=0", "above=0, default='19 mm'")),
        "its 'bore' has the text '19 mm' for a default: write it as a number in SI",
    ),
    "a role that no rule knows": (
        ('    sources = ("invented', '    roles = ("colder",)\n    sources = ("invented'),
        "has the role 'colder', which no rule knows: did you mean 'cooler'?",
    ),
    "another class name": (
        ("class WeirBox(", "class Box("),
        "its class is called Box: call it WeirBox, as its name says",
    ),
    "two classes": (
        ("class WeirBox(", "class Trap(Component):\n    pass\n\n\nclass WeirBox("),
        "one Component or Joint class is wanted, it has 2: Trap, WeirBox; give each a file of its own, or begin a "
        "helper's name with _",
    ),
    "a newer contract": (
        ('    sources = ("invented', '    contract = 2\n    sources = ("invented'),
        "keeps contract 2, this netsolve knows 1: install a newer netsolve",
    ),
}


@pytest.mark.parametrize("case", ABOUT_THE_CLASS)
def test_a_class_that_breaks_a_promise_by_what_it_says(shell: Shell, case: str) -> None:
    change, sentence = ABOUT_THE_CLASS[case]
    where = "parts/weir_box.py" + ("" if case == "two classes" else ", line 8")
    assert f"'weir_box' from {where}: {sentence}" == told(shell, changed(*change))


def test_the_name_of_a_built_in_component_is_taken(shell: Shell) -> None:
    written(Path("parts"), SOUND, "hose.py")
    done = shell("check", "boat.yaml", "--plugins", "parts")
    assert (done.status, done.out) == (2, "")
    assert (
        "error: 'hose' is there twice: from netsolve and parts/hose.py\n"
        "  help: give another folder, or take the file out of it\n"
    ) == done.err


def origin_of(shell: Shell, *more: str) -> dict[str, object]:
    done = shell("components", "weir_box", "--origin", "--json", *more)
    assert (done.status, done.err) == (0, "")
    (found,) = done.json["origins"]
    return found


SLOW_OR_LOUD = {
    "a slow import": ("import time\n\ntime.sleep(0.6)\n", "s to import: import what is slow inside the method that"),
    "a print": ("print('weir box, by us')\n", "prints on import: 'weir box, by us'; take that out"),
}


@pytest.mark.parametrize("case", SLOW_OR_LOUD)
def test_an_import_that_is_slow_or_prints_is_told_by_origin_and_by_its_own_tests(
    shell: Shell, monkeypatch: pytest.MonkeyPatch, case: str
) -> None:
    monkeypatch.setattr("netsolve.loading.SLOW", 0.5)
    line, sentence = SLOW_OR_LOUD[case]
    written(Path("parts"), SOUND.replace("import numpy as np\n", line), "weir_box.py")
    found = origin_of(shell, "--plugins", "parts")
    assert found["usable"] is True
    assert sentence in str(found["complaint"])
    with pytest.raises(AssertionError) as raised:
        plugin("weir_box", "parts")
    assert sentence in str(raised.value)
    assert str(raised.value).startswith("'weir_box' ")


def test_reaching_into_netsolve_is_told_by_its_own_tests(shell: Shell) -> None:
    written(Path("parts"), SOUND.replace("import numpy as np\n", "import netsolve.hydraulics\n"), "weir_box.py")
    with pytest.raises(AssertionError) as raised:
        plugin("weir_box", "parts")
    told = "'weir_box' imports netsolve.hydraulics: import from netsolve.plugin, which alone is kept as it is"
    assert told == str(raised.value)


@pytest.fixture
def package(tmp_path: Path, monkeypatch: pytest.MonkeyPatch) -> Iterator[Path]:
    """A folder that Python takes for installed packages, with one that declares the weir box."""
    site = tmp_path / "site"
    info = site / "weir_works-1.4.dist-info"
    info.mkdir(parents=True)
    written(info, "Metadata-Version: 2.1\nName: weir-works\nVersion: 1.4\n", "METADATA")
    written(info, "[netsolve.components]\nweir_box = weir_works.weir_box\n", "entry_points.txt")
    monkeypatch.syspath_prepend(str(site))
    importlib.invalidate_caches()
    yield site
    for name in [name for name in sys.modules if name.split(".")[0] == "weir_works"]:
        del sys.modules[name]


def module_of(package: Path, text: str) -> Path:
    folder = package / "weir_works"
    folder.mkdir()
    written(folder, "", "__init__.py")
    return written(folder, text, "weir_box.py")


def refused(shell: Shell) -> str:
    done = shell("check", "boat.yaml")
    assert (done.status, done.out) == (2, "")
    return done.err.splitlines()[0].partition(" error[plugin-failed]: ")[2]


def test_an_installed_package_is_found_with_its_version(shell: Shell, package: Path) -> None:
    module_of(package, SOUND)
    assert shell("check", "boat.yaml").status == 0
    done = shell("components", "weir_box", "--origin")
    assert "installed package weir-works, version 1.4\n  weir_box             component  loads\n" in done.out


def test_an_entry_point_to_a_missing_module(shell: Shell, package: Path) -> None:
    told = (
        "'weir_box' cannot be loaded: installed package weir-works, entry point 'weir_box = weir_works.weir_box': "
        "ModuleNotFoundError: No module named 'weir_works'; install what it needs, or mend the name"
    )
    assert told == refused(shell)
    assert told == origin_of(shell)["complaint"]


def test_an_entry_point_to_a_missing_class(shell: Shell, package: Path) -> None:
    module_of(package, SOUND)
    entry = "[netsolve.components]\nweir_box = weir_works.weir_box:Weir\n"
    written(package / "weir_works-1.4.dist-info", entry, "entry_points.txt")
    assert (
        "'weir_box' cannot be loaded: installed package weir-works, entry point 'weir_box = weir_works.weir_box:Weir': "
        "AttributeError: module 'weir_works.weir_box' has no attribute 'Weir'"
    ) == refused(shell)


def test_a_class_of_a_package_is_told_with_its_file_and_line(shell: Shell, package: Path) -> None:
    module = module_of(package, SOUND.replace('    sources = ("invented for the test",)\n', ""))
    where = f"installed package weir-works, {module}, line 8"
    assert refused(shell).startswith(f"'weir_box' from {where}: names no sources: ")


def test_two_packages_of_one_name_harm_only_the_circuit_that_asks(shell: Shell, package: Path) -> None:
    module_of(package, SOUND)
    other = package / "other_works-2.dist-info"
    other.mkdir()
    written(other, "Metadata-Version: 2.1\nName: other-works\nVersion: 2\n", "METADATA")
    written(other, "[netsolve.components]\nweir_box = weir_works.weir_box\n", "entry_points.txt")
    both = "'weir_box' is there twice: from installed package other-works and installed package weir-works"
    assert both == refused(shell)
    assert shell("check", POT_HAULER).status == 0


RULE = '''"""A rule."""
from netsolve.plugin import Rule, quantity


class {name}(Rule):
    """Says that there is a weir box."""

    limit: float = quantity("number", "how many", default=1.0)
    severity = "{severity}"
    basis = "made up for the test"

    def findings(self, row{more}):
        return []
'''


@pytest.mark.parametrize(
    ("text", "sentence"),
    [
        (
            RULE.format(name="Boxes", severity="serious", more=""),
            "has the severity 'serious': take one of danger, fault, wear, note",
        ),
        (
            RULE.format(name="Boxes", severity="note", more=", water"),
            "its findings takes (self, row, water): write def findings(self, row)",
        ),
        (
            RULE.format(name="Crates", severity="note", more=""),
            "its class is called Crates: call it Boxes, as its name says",
        ),
    ],
)
def test_a_broken_rule(shell: Shell, text: str, sentence: str) -> None:
    written(Path("parts"), text, "boxes.py")
    written(Path("parts"), SOUND, "weir_box.py")
    done = shell("solve", "boat.yaml", "--plugins", "parts")
    assert (done.status, done.out) == (2, "")
    assert done.err.splitlines() == [
        f"error[plugin-failed]: 'boxes' from parts/boxes.py, line 5: {sentence}",
        "  help: mend the rule, take it out, or write limits: {boxes: off}",
        "",
    ]


def test_a_circuit_that_silences_a_broken_rule_does_without_it(shell: Shell, tmp_path: Path) -> None:
    written(tmp_path, "raise RuntimeError\nclass Boxes(Rule):\n    pass\n", "parts/boxes.py")
    text = POT_HAULER.read_text(encoding="utf-8")
    assert shell("solve", written(tmp_path, text), "--plugins", "parts").status == 2
    assert shell("solve", written(tmp_path, text + "limits: {boxes: off}\n"), "--plugins", "parts").status == 0


BAIT = "import pathlib\n\npathlib.Path('sprung').touch()\n"


@pytest.mark.parametrize(
    "type",
    [
        "bait",
        "./bait",
        "../boat/bait",
        "bait.py",
        "netsolve.plugin",
        "os.system",
        "os:system",
        "__import__('bait')",
        "{entry_point: bait}",
        "!!python/name:bait.sprung",
        "!!python/object/apply:os.system ['touch sprung']",
    ],
)
def test_a_circuit_file_cannot_make_code_load(shell: Shell, tmp_path: Path, type: str) -> None:
    written(tmp_path, BAIT, "bait.py")
    written(tmp_path, edited(LOSS, f"{{type: {type}, bore: 32 mm}}"))
    for command in ("check", "solve", "draw"):
        done = shell(command, "boat.yaml")
        assert (done.status, done.out) == (2, "")
    assert not (tmp_path / "sprung").exists()
    files = [str(getattr(module, "__file__", "")) for module in list(sys.modules.values())]
    assert not [file for file in files if file.startswith(str(tmp_path))]


@pytest.mark.parametrize(
    "key", ["plugins: .", "plugins: [bait.py]", "registry: bait", "import: bait", "rules: {bait: on}"]
)
def test_nor_by_a_section_of_its_own(shell: Shell, tmp_path: Path, key: str) -> None:
    written(tmp_path, BAIT, "bait.py")
    written(tmp_path, POT_HAULER.read_text(encoding="utf-8") + f"{key}\n")
    done = shell("solve", "boat.yaml")
    assert (done.status, done.out) == (2, "")
    assert "error[unknown-key]" in done.err
    assert not (tmp_path / "sprung").exists()


def test_every_name_is_known_without_running_the_file(tmp_path: Path) -> None:
    written(tmp_path, BAIT.replace("'sprung'", f"{str(tmp_path / 'sprung')!r}"), "bait.py")
    assert "bait" in Registry.built_in().with_folder(tmp_path).names()
    assert not (tmp_path / "sprung").exists()
