"""As built, versions and the shared page in the workbench: by mouse and keyboard, in a browser."""

from __future__ import annotations

import re
from pathlib import Path

import pytest
from playwright.sync_api import Page, expect
from tests.faces.web.chromium import needs_chromium
from tests.faces.web.serving import Opened, Server
from tests.faces.web.workbench import visit

pytestmark = [pytest.mark.browser, needs_chromium]

DUEL = Path(__file__).parents[3] / "examples" / "library-duel.cabinet.yaml"


@pytest.fixture
def duel(server: Server, tmp_path: Path) -> Opened:
    path = tmp_path / "duel.cabinet.yaml"
    path.write_bytes(DUEL.read_bytes())
    return server.take(path)


def test_a_short_piece_is_measured_and_the_plan_follows(page: Page, duel: Opened) -> None:
    visit(page, duel.desk("made"))
    page.get_by_role("button", name="What the tape says of the deck", exact=True).click()
    page.get_by_label(re.compile("^Length, plan 670.6")).fill("669.6")
    page.get_by_role("button", name="Keep it", exact=True).click()
    expect(page.get_by_text("1 made piece does not serve the plan as it is.")).to_be_visible()
    expect(page.get_by_text(re.compile("Deck as made: 1.0.mm lacks"))).to_be_visible()
    page.get_by_role("button", name="Find the ways on").click()
    expect(
        page.get_by_role("heading", name=re.compile("The cabinet 1.0.mm narrower"))
    ).to_be_visible()
    page.get_by_role("button", name="Let the plan go way 1").click()
    expect(page.get_by_text("All that is made serves the plan as it is.")).to_be_visible()
    page.keyboard.press("Control+s")
    expect(page.get_by_text("Saved.")).to_be_visible()
    text = duel.file.read_text(encoding="utf-8")
    assert "width: 699" in text and "length: 669.6" in text


def test_a_version_is_kept_compared_and_brought_back(page: Page, duel: Opened) -> None:
    visit(page, duel.desk("side"))
    page.get_by_role("button", name="Project", exact=True).click()
    page.get_by_text("Versions …").click()
    page.get_by_label("Keep it as it is now, as").fill("as drawn")
    page.keyboard.press("Enter")
    expect(page.get_by_role("button", name="What changed since as drawn")).to_be_visible()
    page.keyboard.press("Escape")
    expect(page.get_by_role("dialog", name="Versions of this project")).to_have_count(0)
    box = page.get_by_label("width", exact=True).first
    box.fill("720")
    box.press("Enter")
    expect(page.get_by_role("button", name="Undo: width")).to_be_enabled()
    page.get_by_role("button", name="Project", exact=True).click()
    page.get_by_text("Versions …").click()
    page.get_by_role("button", name="What changed since as drawn").click()
    expect(page.get_by_text(re.compile("shape.width: 700 → 720"))).to_be_visible()
    page.get_by_role("button", name=re.compile("^Bring as drawn back")).click()
    expect(box).to_have_value(re.compile("^700"))
    page.get_by_role("button", name="Project", exact=True).click()
    with page.expect_download() as got:
        page.get_by_text("Share as one page").click()
    assert got.value.suggested_filename.endswith(".html")
    assert DUEL.read_text(encoding="utf-8").splitlines()[0] in _inside(Path(got.value.path()))


def _inside(page: Path) -> str:
    from casewright.faces.share import project_in

    return project_in(page)[1]
