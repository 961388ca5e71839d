"""What the tests in a browser share: a browser a module, a page a test, and one server for all projects."""

from __future__ import annotations

from collections.abc import Iterator

import pytest
from playwright.sync_api import Browser, BrowserContext, Page, Playwright, ViewportSize
from tests.faces.web.chromium import BRIEF, launch, playing
from tests.faces.web.serving import Server, serving

WINDOW: ViewportSize = {"width": 1280, "height": 800}
FORGETFUL = """
try {
  if (!sessionStorage.getItem("is begun")) localStorage.clear();
  sessionStorage.setItem("is begun", "1");
} catch {} // documents without an origin have no storage
"""
"""Nothing that an earlier page has kept is there in the first document of this one."""
OWN = ("http://127.0.0.1:", "data:", "blob:", "chrome:", "chrome-extension:")
"""Beginnings of addresses on this computer; the browser shows PDF files with pages of its own."""


@pytest.fixture(scope="module")
def player() -> Iterator[Playwright]:
    with playing() as found:
        yield found


@pytest.fixture(scope="module")
def browser(player: Playwright) -> Iterator[Browser]:
    """One without pictures in space and for short use; tests of those and of speed launch their own."""
    found = launch(player, "--disable-gpu", BRIEF)
    yield found
    found.close()


@pytest.fixture(scope="module")
def context(browser: Browser) -> Iterator[BrowserContext]:
    """Windows of one browser keep what they have loaded once."""
    opened = browser.new_context(viewport=WINDOW, accept_downloads=True)
    yield opened
    opened.close()


@pytest.fixture
def page(context: BrowserContext) -> Iterator[Page]:
    """A page that fails the test on a fault in it, or when it asks any other computer; it knows of none before."""
    opened = context.new_page()
    opened.set_viewport_size(WINDOW)
    faults: list[str] = []
    opened.on("pageerror", lambda error: faults.append(str(error)))
    opened.on(
        "request",
        lambda request: faults.append(request.url) if not request.url.startswith(OWN) else None,
    )
    opened.add_init_script(FORGETFUL)
    yield opened
    for left in context.pages:
        left.close()
    context.clear_cookies()
    assert faults == []


@pytest.fixture(scope="session")
def server(tmp_path_factory: pytest.TempPathFactory) -> Iterator[Server]:
    """The real command, for projects that tests put before it one after the other."""
    with serving(tmp_path_factory.mktemp("server")) as found:
        yield found
