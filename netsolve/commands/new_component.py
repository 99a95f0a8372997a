"""`netsolve new-component`: a working plugin to begin from."""

from __future__ import annotations

from collections.abc import Mapping
from pathlib import Path

import click

from netsolve.console import refuse, registry_of


@click.command()
@click.argument("name")
@click.option("--package", is_flag=True, help="A project that can be installed, with its entry point and its own CI.")
@click.option("--folder", type=click.Path(path_type=Path), help="Where to put it; default: a folder of that name.")
def command(name: str, package: bool, folder: Path | None) -> None:
    """Write a component that works, to make your own of.

    NAME is the type that circuits will ask for, such as keel_cooler. Beside the component stand its test and a
    circuit.
    """
    from netsolve.scaffold import fault, local_files, package_files

    told, help = fault(name)
    if told:
        refuse(told, help)
    registry = registry_of(())
    if name in registry.components:
        origin = registry.origin(name)
        refuse(f"there is a '{name}' already, from {origin}", f"netsolve new-component my_{name}")
    place = folder or Path(name)
    _write(place, package_files(name) if package else local_files(name))
    click.echo(f"{place}: a {name.replace('_', ' ')} that works, to make your own of\n\n{_next(name, place, package)}")


def _write(place: Path, files: Mapping[str, str]) -> None:
    """Write all of them, or none where one is there already."""
    for file in files:
        if (place / file).exists():
            refuse(
                f"'{place / file}' is there already, and nothing was written", "give another --folder, or another name"
            )
    for file, text in files.items():
        path = place / file
        try:
            path.parent.mkdir(parents=True, exist_ok=True)
            path.write_text(text, encoding="utf-8")
        except OSError as error:
            refuse(f"'{path}' cannot be written: {error.strerror or error}".lower(), "give another --folder")
        if path.parent.name == ".ci":
            path.chmod(0o755)


def _next(name: str, place: Path, package: bool) -> str:
    if package:
        return (
            f"  pip install -e '{place}[test]'\n"
            f"  pytest {place}\n"
            f"  netsolve components {name}\n"
            f"  netsolve solve {place}/tests/{name}.yaml"
        )
    return (
        f"  pytest {place}\n"
        f"  netsolve components {name} --plugins {place}\n"
        f"  netsolve solve {place}/{name}.yaml --plugins {place}"
    )
