"""A page of HTML as PDF, printed by whatever browser is installed."""

from __future__ import annotations

import os
import re
import shutil
import subprocess
import tempfile
from pathlib import Path

from netsolve.views.render import RenderError

BROWSERS = (
    "chromium",
    "chromium-browser",
    "google-chrome",
    "google-chrome-stable",
    "chrome",
    "msedge",
    "microsoft-edge",
    "brave-browser",
)
"""Browsers that print without a window, all in the same way."""

_SECONDS = 60


def pdf_of(svg: str) -> bytes:
    """A picture as a PDF of its own size. RenderError where there is no browser, or it fails."""
    width, height = re.findall(r'(?:width|height)="([\d.]+(?:pt)?)"', svg)[:2]
    style = f"@page {{ size: {width} {height}; margin: 0 }} body {{ margin: 0 }} svg {{ display: block }}"
    with tempfile.TemporaryDirectory(prefix="netsolve-") as folder:
        page, pdf = Path(folder, "picture.html"), Path(folder, "picture.pdf")
        page.write_text(f'<!DOCTYPE html><meta charset="utf-8"><style>{style}</style>{svg}', encoding="utf-8")
        printed(page, pdf)
        return pdf.read_bytes()


def printed(page: Path, pdf: Path) -> None:
    """Print a page to a PDF. RenderError where there is no browser, or it fails."""
    browser = next((found for name in BROWSERS if (found := shutil.which(name))), None)
    if browser is None:
        raise RenderError(
            f"no browser was found to print a PDF with; install one of {', '.join(BROWSERS[:4])}, "
            "or print the page or the picture from any browser by hand"
        )
    with tempfile.TemporaryDirectory(prefix="netsolve-") as profile:
        command = [browser, "--headless", "--disable-gpu", f"--user-data-dir={profile}", "--no-pdf-header-footer"]
        if hasattr(os, "geteuid") and os.geteuid() == 0:
            command.append("--no-sandbox")  # as root a browser starts only so; the page holds no script
        _run([*command, f"--print-to-pdf={pdf.resolve()}", page.resolve().as_uri()], browser)
    if not pdf.exists():
        raise RenderError(f"{browser} wrote no PDF")


def _run(command: list[str], browser: str) -> None:
    try:
        done = subprocess.run(command, capture_output=True, timeout=_SECONDS, check=False)
    except subprocess.TimeoutExpired as error:
        raise RenderError(f"{browser} took longer than {_SECONDS} s to print") from error
    except OSError as error:
        raise RenderError(f"{browser} does not run ({error.strerror})") from error
    if done.returncode != 0:
        raise RenderError(f"{browser} ended with status {done.returncode} while printing")
