"""`netsolve components`: the catalogue, or the page of one component."""

from __future__ import annotations

import json
from collections.abc import Sequence
from pathlib import Path
from typing import TYPE_CHECKING

import click

from netsolve.console import JSON, PLUGINS, at_work, refuse, registry_of

if TYPE_CHECKING:
    from netsolve.registry import Registry

OILS = "oils"
"""The section of the file that has a page of its own beside the components'."""


@click.command()
@click.argument("name", required=False)
@click.option(
    "--set",
    "settings",
    multiple=True,
    metavar="NAME=VALUE",
    help="What the part is like: 'bore=5/8 in'; may be repeated.",
)
@click.option("--curve", "flows", metavar="RANGE", help="The flows at which to show it: '0 .. 6 gpm, 7 points'.")
@click.option("--origin", is_flag=True, help="Where each comes from, rules too, its version, and whether it loads.")
@PLUGINS
@JSON
def command(
    name: str | None, settings: Sequence[str], flows: str | None, origin: bool, plugins: Sequence[Path], as_json: bool
) -> None:
    """List the kinds of parts and joints, or the page of one.

    With --set and --curve a table shows what a part takes at a few flows, in sea water.
    """
    registry = registry_of(plugins)
    if origin:
        click.echo(_origins(name, registry, as_json))
        return
    alone = bool(settings) or flows is not None or as_json
    if name == OILS and not alone:
        from netsolve.views.oil_page import oils_page

        click.echo(oils_page())
        return
    if name is None and alone:
        refuse("--set, --curve and --json are of one component", "netsolve components hose --curve '0 .. 6 gpm'")
    if name is not None and name not in registry.names():
        refuse(f"no component is called '{name}'", registry.suggest(name))
    from netsolve.registry import PluginError

    try:
        with at_work():
            text = _of_one(name, registry, settings, flows, as_json) if alone and name else _page(name, registry)
    except PluginError as error:
        refuse(str(error), "mend the plugin")
    click.echo(text)


def _origins(name: str | None, registry: Registry, as_json: bool) -> str:
    """Where everything, or everything of one name, comes from."""
    from netsolve.study.origins import origins
    from netsolve.views.origins import origins_data, origins_text

    found = origins(registry, name)
    if not found:
        refuse(f"no component or rule is called '{name}'", registry.suggest(name or ""))
    return json.dumps(origins_data(found)) if as_json else origins_text(found)


def _page(name: str | None, registry: Registry) -> str:
    """The page of a component, or the catalogue."""
    from netsolve.views.catalogue import catalogue
    from netsolve.views.component_page import page

    return catalogue(registry) if name is None else page(name, registry.component(name))


def _of_one(name: str, registry: Registry, settings: Sequence[str], flows: str | None, as_json: bool) -> str:
    """What one part takes by itself."""
    from netsolve.component import Component
    from netsolve.study.one_part import tried
    from netsolve.views.part_curve import as_dict, as_text

    kind = registry.component(name)
    if not issubclass(kind, Component):
        refuse(f"'{name}' is a joint: what it takes depends on the flow of each run", "see it in a circuit, by solve")
    found = tried(name, kind, settings, flows)
    return json.dumps(as_dict(found), allow_nan=False) if as_json else as_text(found)
