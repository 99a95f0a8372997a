"""What the commands share that give a sheet: on the terminal, or as a page to print."""

from __future__ import annotations

from collections.abc import Callable
from pathlib import Path
from typing import TYPE_CHECKING

import click

from netsolve.console import print_table, refuse, write

if TYPE_CHECKING:
    from netsolve.views.sheet import Sheet

PAGE = click.option(
    "-o", "--output", type=click.Path(path_type=Path), metavar="FILE", help="As a page to print: .html."
)


def check_page(output: Path | None) -> None:
    """End the command where the page's file is no .html: before anything long is done."""
    if output is not None and output.suffix.lower() not in (".html", ".htm"):
        refuse(f"'{output}' is no .html", "write for example -o sheet.html")


def tell(sheet: Callable[[], Sheet], output: Path | None) -> None:
    """The sheet as a page where a file is given, else on the terminal."""
    from netsolve.views.sheet import as_html, on_terminal

    if output is None:
        print_table(lambda: on_terminal(sheet()))
    else:
        page = as_html(sheet())
        write(output, lambda path: path.write_text(page, encoding="utf-8"))
