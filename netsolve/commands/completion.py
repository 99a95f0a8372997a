"""`netsolve completion`: what makes a shell complete commands, options and the names in a circuit file."""

from __future__ import annotations

import click

from netsolve.completing import SHELLS, offer_completion


@click.command()
@click.argument("shell", type=click.Choice(SHELLS))
def command(shell: str) -> None:
    """Print what makes a shell complete names, too.

    \b
    bash, zsh: netsolve completion bash (or zsh) > ~/.netsolve-completion
               and in ~/.bashrc or ~/.zshrc: . ~/.netsolve-completion
    fish:      netsolve completion fish > ~/.config/fish/completions/netsolve.fish
    """
    from click.shell_completion import get_completion_class

    offer_completion()
    kind = get_completion_class(shell)
    if kind is not None:
        click.echo(kind(click.Group(), {}, "netsolve", "_NETSOLVE_COMPLETE").source())
