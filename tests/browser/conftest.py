"""A real browser for the pages: the system's, or the one that playwright has installed.

Where there is none these tests are skipped, each with the reason; `.ci/run` installs one and sets NEEDED, so that
there they fail instead.
"""

from __future__ import annotations

import os
import shutil
from collections.abc import Iterator
from dataclasses import dataclass, field
from pathlib import Path

import pytest
from playwright import sync_api as playwright

from netsolve.views.paper import BROWSERS

NEEDED = "NETSOLVE_NEEDS_BROWSER"
MISSING = "no browser: pages are NOT TESTED in one; install chromium, or run: playwright install chromium"


@dataclass
class Opened:
    """A page in a browser without network, and what it asked for and complained of."""

    page: playwright.Page
    asked: list[str] = field(default_factory=list)
    complaints: list[str] = field(default_factory=list)

    def __post_init__(self) -> None:
        self.page.on("request", lambda request: self.asked.append(request.url))
        self.page.on("console", lambda message: self.complaints.append(message.text))
        self.page.on("pageerror", lambda error: self.complaints.append(str(error)))
        self.page.on("dialog", self._heard)

    def _heard(self, dialog: playwright.Dialog) -> None:
        self.complaints.append(f"dialog: {dialog.message}")
        dialog.dismiss()

    def goto(self, file: Path) -> playwright.Page:
        """Open a file."""
        self.page.goto(file.as_uri())
        return self.page

    def fetched(self, file: Path) -> list[str]:
        """What was asked for besides the file itself."""
        return [url for url in self.asked if url != file.as_uri() and not url.startswith("data:")]


@pytest.fixture(scope="session")
def browser() -> Iterator[playwright.Browser]:
    with playwright.sync_playwright() as driver:
        own = Path(driver.chromium.executable_path)
        found = next((path for name in BROWSERS if (path := shutil.which(name))), str(own) if own.exists() else None)
        if found is None:
            (pytest.fail if os.environ.get(NEEDED) else pytest.skip)(MISSING)
        launched = driver.chromium.launch(executable_path=found, args=["--no-sandbox"])
        yield launched
        launched.close()


@pytest.fixture
def opened(browser: playwright.Browser, request: pytest.FixtureRequest) -> Iterator[Opened]:
    """An empty page, 1440 pixels wide unless the test is given a `width`; `scheme` makes it dark."""
    given = getattr(request.node, "callspec", None)
    values = given.params if given else {}
    context = browser.new_context(
        viewport={"width": values.get("width", 1440), "height": 900},
        color_scheme=values.get("scheme", "light"),
        offline=True,
    )
    yield Opened(context.new_page())
    context.close()
