"""Debian's Chromium for tests, without a graphics card and without a word to the outside."""

from __future__ import annotations

import shutil
import socket
from collections.abc import Iterator
from contextlib import contextmanager

import pytest
from playwright.sync_api import Browser, Playwright, sync_playwright

# Debian packs Chromium a second time without windows; it draws the same for half of the work.
CHROMIUM = shutil.which("chromium-headless-shell") or shutil.which("chromium") or ""

needs_chromium = pytest.mark.skipif(
    not CHROMIUM, reason="Chromium is not installed: no test in a browser"
)

QUIET = (
    "--no-sandbox",
    "--disable-background-networking",
    "--disable-component-update",
    "--disable-default-apps",
    "--disable-sync",
    "--no-first-run",
)
IN_SOFTWARE = (
    "--use-angle=swiftshader",
    "--enable-unsafe-swiftshader",
    "--ignore-gpu-blocklist",
)
BRIEF = "--js-flags=--no-opt --no-maglev --min-semi-space-size=32 --initial-heap-size=256"
"""For pages that are closed a few seconds after they are opened: no code is translated a second time to be quicker
later, and a few megabytes are not looked through for rubbish. A page costs a fifth less."""


@contextmanager
def playing() -> Iterator[Playwright]:
    """What starts browsers. One at a time: leave it before another is entered."""
    with sync_playwright() as playwright:
        yield playwright


def launch(playwright: Playwright, *flags: str) -> Browser:
    """A browser that draws in software; more flags may follow."""
    return playwright.chromium.launch(executable_path=CHROMIUM, args=[*QUIET, *IN_SOFTWARE, *flags])


def free_port() -> int:
    """A port of this machine that nothing listens on."""
    with socket.socket() as found:
        found.bind(("127.0.0.1", 0))
        port: int = found.getsockname()[1]
        return port
