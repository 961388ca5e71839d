"""What the tests in a browser share: a browser a module, a page a test, and one server for all projects of a module."""

from __future__ import annotations

from collections.abc import Iterator

import pytest
from playwright.sync_api import Browser, Page, Playwright
from tests.faces.web.chromium import launch, playing
from tests.faces.web.serving import Server, serving

OWN = ("http://127.0.0.1:", "data:", "blob:", "chrome:", "chrome-extension:")
"""Beginnings of addresses on this computer; the browser shows PDF files with pages of its own."""


@pytest.fixture(scope="module")
def player() -> Iterator[Playwright]:
    with playing() as found:
        yield found


@pytest.fixture(scope="module")
def browser(player: Playwright) -> Iterator[Browser]:
    """One without pictures in space; tests of those launch their own."""
    found = launch(player, "--disable-gpu")
    yield found
    found.close()


@pytest.fixture
def page(browser: Browser) -> Iterator[Page]:
    """A page that fails the test on a fault in it, or when it asks any other computer."""
    context = browser.new_context(viewport={"width": 1280, "height": 800}, accept_downloads=True)
    opened = context.new_page()
    faults: list[str] = []
    opened.on("pageerror", lambda error: faults.append(str(error)))
    opened.on(
        "request",
        lambda request: faults.append(request.url) if not request.url.startswith(OWN) else None,
    )
    yield opened
    context.close()
    assert faults == []


@pytest.fixture(scope="module")
def server(tmp_path_factory: pytest.TempPathFactory) -> Iterator[Server]:
    """The real command, for projects that tests put before it one after the other."""
    with serving(tmp_path_factory.mktemp("server")) as found:
        yield found
