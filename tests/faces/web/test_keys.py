"""The workbench by keys alone: where the focus is after what was pressed, in dialogs, and what typing does not set off.

Source of what is asked: WCAG 2.2, 2.1.1 Keyboard, 2.4.3 Focus Order, 2.4.7 Focus Visible; ARIA Authoring Practices
Guide, the pattern of a modal dialog.
"""

from __future__ import annotations

import re
from pathlib import Path

import pytest
from playwright.sync_api import Locator, Page, expect
from tests.faces.web.chromium import needs_chromium
from tests.faces.web.serving import Opened, Server
from tests.faces.web.workbench import visit

pytestmark = [pytest.mark.browser, needs_chromium]

DUEL = Path(__file__).parents[3] / "examples" / "library-duel.cabinet.yaml"
IS_INSIDE = "Boolean(document.activeElement.closest('.paper-dialog'))"


@pytest.fixture
def duel(server: Server, tmp_path: Path) -> Opened:
    path = tmp_path / "duel.cabinet.yaml"
    path.write_bytes(DUEL.read_bytes())
    return server.take(path)


def press(button: Locator, key: str = "Enter") -> None:
    button.focus()
    button.page.keyboard.press(key)


def test_the_focus_stays_where_a_press_draws_the_page_anew(page: Page, duel: Opened) -> None:
    """On the control itself; on the next one where it is gone; on what stands beside it where it is switched off."""
    visit(page, duel.desk("parts"))
    lever = page.get_by_role("button", name="Ball-top lever", exact=True)
    press(lever)
    expect(page.locator("tr.chosen")).to_contain_text("Ball-top lever")
    expect(lever).to_be_focused()

    visit(page, duel.desk("people"))
    press(page.get_by_role("button", name="Take out tall adult"))
    expect(page.locator("summary", has_text="child of eight")).to_be_focused()
    undo = page.get_by_role("button", name="Undo: take out tall adult")
    press(undo)
    expect(page.get_by_role("button", name="Nothing to undo")).to_be_focused()
    page.keyboard.press("Enter")  # what cannot be pressed does nothing
    expect(page.get_by_role("button", name="Redo: take out tall adult")).to_be_enabled()

    visit(page, duel.desk("cutting"))
    press(page.get_by_role("button", name=re.compile("^fence reach: given")))
    expect(page.get_by_label("fence reach", exact=True)).to_be_focused()
    page.keyboard.press("Control+z")  # in a box, whatever it holds is undone by the browser
    expect(page.get_by_role("button", name=re.compile("^Undo: let go"))).to_be_enabled()


def test_a_dialog_has_the_focus_and_gives_it_back(page: Page, duel: Opened) -> None:
    visit(page, duel.desk("side"))
    change = page.get_by_role("button", name="Change the seam at B")
    press(change)
    dialog = page.get_by_role("dialog", name="Seam at B")
    last = dialog.get_by_role("button", name="Close")
    expect(dialog.locator("button.way")).to_have_count(3)
    page.wait_for_function(IS_INSIDE)
    last.focus()
    page.keyboard.press("Tab")  # boxes in what is folded away cannot take it
    first = dialog.locator("button.way:not(:disabled)").first
    expect(first).to_be_focused()
    page.keyboard.press("Shift+Tab")
    expect(last).to_be_focused()
    page.keyboard.press("Escape")
    expect(dialog).to_have_count(0)
    expect(change).to_be_focused()

    menu = page.get_by_role("button", name="Project", exact=True)
    press(menu)
    page.wait_for_function("document.activeElement.closest('.paper-menu')")
    page.keyboard.press("End")
    expect(page.get_by_role("menuitem", name="Edit the project's text")).to_be_focused()
    page.keyboard.press("ArrowUp")
    page.keyboard.press("ArrowUp")
    page.keyboard.press("Enter")
    expect(page.get_by_label("Keep it as it is now, as")).to_be_focused()
    page.keyboard.press("Escape")
    expect(page.get_by_role("dialog")).to_have_count(0)
    expect(menu).to_be_focused()  # the line of the menu that opened it is gone


def test_what_is_typed_sets_nothing_off_and_is_saved(page: Page, duel: Opened) -> None:
    visit(page, duel.desk("cutting"))
    kerf = page.get_by_label("kerf", exact=True)
    kerf.fill("2.6")
    page.keyboard.press("Control+s")  # takes what is typed first
    expect(page.locator(".saved")).to_contain_text("saved")
    expect(page.get_by_role("button", name="Undo: kerf")).to_be_enabled()
    expect(kerf).to_be_focused()
    expect(kerf).to_have_value("2.6")
    page.wait_for_function("document.querySelector('.saved').textContent.startsWith('saved')")
    assert "kerf: 2.6" in duel.file.read_text(encoding="utf-8")

    visit(page, duel.desk("text"))
    page.locator(".cm-content").click()
    page.keyboard.type("? ")
    page.keyboard.press("Control+z")
    page.keyboard.press("Alt+1")
    expect(page.get_by_role("button", name="Undo: kerf")).to_be_enabled()
    expect(page.get_by_role("dialog")).to_have_count(0)
    expect(page.get_by_role("heading", name="Project text")).to_be_visible()

    kind = page.get_by_role("button", name="Light or dark")
    kind.focus()
    page.keyboard.press("?")
    expect(page.get_by_role("dialog", name="Keys")).to_be_visible()
    page.keyboard.press("Alt+1")  # nothing goes on behind a dialog
    expect(page.get_by_role("heading", name="Project text")).to_be_visible()


def test_a_slider_says_what_it_is_and_moves_by_arrows(page: Page, duel: Opened) -> None:
    """To whoever listens: role, name and value are those of the element that has the focus (WCAG 2.2, 4.1.2)."""
    visit(page, duel.desk("cutting"))
    page.get_by_role("button", name=re.compile("^One cut back on")).first.focus()
    page.keyboard.press("Tab")
    focused = page.locator(":focus")
    expect(focused).to_have_role("slider")
    expect(focused).to_have_accessible_name(re.compile("^Cuts made on"))
    before = focused.get_attribute("aria-valuenow")
    page.keyboard.press("ArrowLeft")
    expect(focused).not_to_have_attribute("aria-valuenow", str(before))
