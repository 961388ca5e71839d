"""The workbench's pages in a browser: opening them and moving about, for tests."""

from __future__ import annotations

import re

from playwright.sync_api import Page, expect
from tests.faces.web.serving import Server

expect.set_options(timeout=30_000)  # a busy computer is slow, not wrong


def visit(page: Page, address: str) -> None:
    """Open a page and wait until it can be worked with."""
    page.goto(address)
    page.wait_for_function("window.socket && window.socket.connected && window.did_handshake")


def visit_again(page: Page, server: Server, address: str) -> None:
    """Start a killed server and open its page anew.

    A page that a server left behind loads itself when it finds the next one; that would cut off another visit.
    """
    page.goto("about:blank")
    server.again()
    visit(page, address)


def settle(page: Page) -> None:
    """Wait until nothing that stands in the view moves any more: five frames alike."""
    page.evaluate(
        """async () => {
          const places = () => JSON.stringify([...document.querySelectorAll(".view-body *")].map(one => {
            const { x, y, width, height } = one.getBoundingClientRect();
            return [x, y, width, height];
          }));
          let before = "";
          for (let alike = 0; alike < 5;) {
            await new Promise(requestAnimationFrame);
            const now = places();
            alike = now === before ? alike + 1 : 0;
            before = now;
          }
        }"""
    )


def step(page: Page, name: str) -> None:
    page.get_by_role("navigation", name="The job").get_by_role(
        "button", name=re.compile(name)
    ).click()


def type_in(page: Page, label: str, text: str) -> None:
    """Into the first box of that label, and Enter."""
    box = page.get_by_label(label, exact=True).first
    box.fill(text)
    box.press("Enter")


__all__ = ["settle", "step", "type_in", "visit", "visit_again"]
