"""The commands. Each imports what it needs when it runs, so that `--help` answers at once."""

from __future__ import annotations

import click

from netsolve import __version__
from netsolve.completing import offer_completion
from netsolve.console import Commands

offer_completion()


@click.group(cls=Commands, context_settings={"help_option_names": ["-h", "--help"], "max_content_width": 100})
@click.version_option(__version__, prog_name="netsolve", message="%(prog)s %(version)s")
def main() -> None:
    """How much water reaches each cooler of a boat's raw-water circuit, who is starved, and what a change would do.

    An estimate, not a survey: verify before relying on it, and follow the makers' instructions.
    """
