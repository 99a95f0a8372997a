"""A working plugin to begin from: its files, by their place, for the name that it is to have."""

from __future__ import annotations

import keyword
import re
from collections.abc import Mapping
from importlib import resources
from string import Template

_HERE = "HERE"


def fault(name: str) -> tuple[str, str]:
    """What is wrong with the name of a component, and what to type; nothing where it will do."""
    parted = re.sub(r"(?<=[a-z0-9])(?=[A-Z])", "_", name.strip())  # KeelCooler
    likely = re.sub(r"[\W_]+", "_", parted, flags=re.ASCII).strip("_").lower()
    usable = re.fullmatch(r"[a-z][a-z0-9]*(_[a-z0-9]+)*", name) is not None
    if usable and not keyword.iskeyword(name) and not name.startswith("test_"):
        return "", ""
    told = f"'{name}' cannot be the name of a component: small letters, digits and single _ between words are"
    better = likely if likely and likely[0].isalpha() and not keyword.iskeyword(likely) else "keel_cooler"
    if name.startswith("test_"):
        told, better = f"'{name}' would be taken for a test", likely.removeprefix("test_") or "keel_cooler"
    elif keyword.iskeyword(name):
        told, better = f"'{name}' is a word of Python", f"{name}_part"
    return told, f"netsolve new-component {better}"


def local_files(name: str) -> Mapping[str, str]:
    """The files of a folder for `--plugins`: the component, its test, a circuit."""
    words = _words(name, folder=_HERE)
    return {
        f"{name}.py": _filled("component", words),
        f"test_{name}.py": _filled("test", words),
        f"{name}.yaml": _filled("circuit", words),
    }


def package_files(name: str) -> Mapping[str, str]:
    """The files of a package that can be installed, with its entry point and its own CI."""
    words = _words(name, folder="None  # it is installed")
    package = f"src/netsolve_{name}"
    return {
        "pyproject.toml": _filled("pyproject", words),
        "README.md": _filled("readme", words),
        ".ci/run": _filled("ci", words),
        f"{package}/__init__.py": _filled("init", words),
        f"{package}/py.typed": "",
        f"{package}/{name}.py": _filled("component", words),
        f"tests/test_{name}.py": _filled("test", words),
        f"tests/{name}.yaml": _filled("circuit", words),
    }


def _words(name: str, *, folder: str) -> Mapping[str, str]:
    spoken = name.replace("_", " ")
    return {
        "name": name,
        "dashed": name.replace("_", "-"),
        "words": spoken,
        "Words": spoken.capitalize(),
        "Class": "".join(word.title() for word in name.split("_")),
        "folder": folder,
    }


def _filled(template: str, words: Mapping[str, str]) -> str:
    file = resources.files("netsolve").joinpath("skeleton", f"{template}.txt")
    return Template(file.read_text(encoding="utf-8")).substitute(words)
