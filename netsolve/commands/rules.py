"""`netsolve rules`: the rules of the trade, or one of them in full."""

from __future__ import annotations

import json
from collections.abc import Sequence
from pathlib import Path

import click

from netsolve.console import JSON, PLUGINS, at_work, refuse, registry_of


@click.command()
@click.argument("code", required=False)
@PLUGINS
@JSON
def command(code: str | None, plugins: Sequence[Path], as_json: bool) -> None:
    """List the rules with their thresholds, or print one in full."""
    from netsolve.reading.naming import did_you_mean
    from netsolve.registry import PluginError
    from netsolve.views.rules import as_dict, listed, page

    registry = registry_of(plugins)
    if code is not None and code not in registry.rule_entries:
        refuse(f"no rule is called '{code}'", did_you_mean(code, registry.rule_entries, "'netsolve rules' lists them"))
    try:
        with at_work():
            rules = registry.rules() if code is None else (registry.rule(code),)
            if as_json:
                text = json.dumps({"format": 1, "rules": [as_dict(rule) for rule in rules]}, allow_nan=False)
            else:
                text = listed(rules) if code is None else page(rules[0])
    except PluginError as error:
        refuse(str(error), "mend the plugin")
    click.echo(text)
