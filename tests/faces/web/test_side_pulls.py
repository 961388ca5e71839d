"""The side view in the workbench, by mouse and by keys: corners of a recipe, eyes, and the dots of findings."""

from __future__ import annotations

import re
from pathlib import Path

import pytest
from playwright.sync_api import Page, expect
from tests.faces.web import workbench
from tests.faces.web.chromium import needs_chromium
from tests.faces.web.serving import Opened, Server

from casewright.workflow import open_text, starter_text

pytestmark = [pytest.mark.browser, needs_chromium]

ROOT = Path(__file__).parents[3]
DUEL = ROOT / "examples" / "library-duel.cabinet.yaml"
MILL = ROOT / "examples" / "mill-console.cabinet.yaml"


@pytest.fixture
def table(server: Server, tmp_path: Path) -> Opened:
    """A cabinet for a table, all of it worked out."""
    path = tmp_path / "table.cabinet.yaml"
    path.write_text(starter_text("tabletop", name="Start", unit="mm"), encoding="utf-8")
    return server.take(path)


def visit(page: Page, address: str) -> None:
    """Open a page and wait until its corners can be taken."""
    workbench.visit(page, address)
    page.locator(".cw-board .corner").first.wait_for()


def handle(page: Page, key: str) -> tuple[float, float]:
    thing = page.locator(f'[data-key="{key}"]')
    box = (
        thing.locator(".bar") if key.startswith("run:") else thing.locator("circle").nth(1)
    ).bounding_box()
    assert box is not None
    return box["x"] + box["width"] / 2, box["y"] + box["height"] / 2


def hold(page: Page, key: str, right: float, up: float) -> None:
    """Take a corner or an eye and hold it so many pixels off."""
    x, y = handle(page, key)
    page.mouse.move(x, y)
    page.mouse.down()
    page.mouse.move(x + right / 2, y - up / 2)
    page.mouse.move(x + right, y - up)


def saved(page: Page, project: Opened) -> str:
    """The file's text after saving."""
    page.keyboard.press("Control+s")
    expect(page.locator(".saved")).to_contain_text("saved")
    return project.file.read_text(encoding="utf-8")


def test_a_corner_pulls_at_its_wish_which_can_be_let_go(page: Page, table: Opened) -> None:
    visit(page, table.desk("side"))
    hold(page, "B", 40, 0)
    tag = page.locator(".cw-board .tag")
    expect(tag).to_contain_text(re.compile(r"depth \d"))
    expect(tag).to_contain_text("worked out")
    expect(page.locator(".cw-board .ghost-outline")).to_have_attribute("visibility", "visible")
    page.mouse.up()
    status = page.locator(".board-status")
    expect(status).to_contain_text("Pinned: depth")
    origin = page.get_by_role("button", name=re.compile("^depth: pinned"))
    expect(origin).to_be_visible()
    depth = float(page.get_by_label("depth", exact=True).input_value())
    project = open_text(saved(page, table)).project
    assert getattr(project.shape, "depth") == depth  # noqa: B009
    page.get_by_role("button", name="Let go of depth").click()
    expect(page.get_by_role("button", name=re.compile("^depth: worked out"))).to_be_visible()
    assert "depth" not in open_text(saved(page, table)).project.shape.model_fields_set


def test_a_whole_edge_pulls_at_its_wish_too(page: Page, table: Opened) -> None:
    visit(page, table.desk("side"))
    hold(page, "run:B-C", 30, 12)
    tag = page.locator(".cw-board .tag")
    expect(tag).to_contain_text(re.compile(r"depth \d"))
    page.mouse.up()
    expect(page.locator(".board-status")).to_contain_text("Pinned: depth")
    assert "depth" in open_text(saved(page, table)).project.shape.model_fields_set


def test_keys_pull_too(page: Page, table: Opened) -> None:
    visit(page, table.desk("side"))
    page.locator('[data-key="H"]').focus()
    page.keyboard.press("Shift+ArrowUp")
    expect(page.locator(".board-status")).to_contain_text("Pinned: lip height")
    page.keyboard.press("Control+z")
    expect(page.get_by_role("button", name=re.compile("^lip height: worked out"))).to_be_visible()


def test_what_no_wish_can_say_can_be_a_free_outline(page: Page, table: Opened) -> None:
    visit(page, table.desk("side"))
    hold(page, "A", 0, 30)
    expect(page.locator(".cw-board .tag")).to_contain_text("no wish moves it that way")
    page.mouse.up()
    page.get_by_role("button", name="Make it a free outline, with A there").click()
    expect(page.get_by_label("z of corner A", exact=True)).to_be_visible()
    lifted = float(page.get_by_label("z of corner A", exact=True).input_value())
    shape = open_text(saved(page, table)).project.shape
    assert shape.recipe == "outline" and lifted > 5
    assert shape.corners["A"][1] == pytest.approx(lifted, abs=0.06)  # the box shows one decimal
    assert shape.corners["B"][1] == 0


def test_an_eye_that_is_dragged_sets_its_persons_distance(page: Page, table: Opened) -> None:
    visit(page, table.desk("people"))
    box = page.locator('[data-field="people.0.distance"]')
    before = float(box.input_value())
    hold(page, "eye:1", -25, 0)
    expect(page.locator(".cw-board .tag")).to_contain_text("in front of the edge")
    page.mouse.up()
    expect(box).not_to_have_value(f"{before:.1f}")
    after = float(box.input_value())
    assert after > before + 5
    person = open_text(saved(page, table)).project.people[0]
    assert person.distance == pytest.approx(after, abs=0.06)


def overlaps(page: Page, what: str) -> list[str]:
    """Pairs of dots, or of dots and handles, that lie over one another by more than a line's width."""
    boxes = page.locator(what).evaluate_all(
        "all => all.map(e => { const b = e.getBoundingClientRect();"
        " return [e.textContent, b.x + b.width / 2, b.y + b.height / 2]; })"
    )
    return [
        f"{a[0]}/{b[0]}"
        for index, a in enumerate(boxes)
        for b in boxes[index + 1 :]
        if max(abs(a[1] - b[1]), abs(a[2] - b[2])) < 16
    ]


def test_dots_of_findings_lie_beside_one_another(
    page: Page, server: Server, tmp_path: Path
) -> None:
    """Controls pushed onto one another: many findings at the same spot."""
    text = DUEL.read_text(encoding="utf-8")
    for name in ("blue1", "yellow1", "palm1"):
        text, count = re.subn(
            rf"(key: {name}, label: [^,]+, on: deck), u: [^,]+, v: [^,}}]+",
            r"\1, u: 141, v: 141",
            text,
        )
        assert count == 1, name
    path = tmp_path / "crowd.cabinet.yaml"
    path.write_text(text, encoding="utf-8")
    workbench.visit(page, server.take(path).desk("panels"))
    page.locator(".cw-board .mark").nth(3).wait_for()
    workbench.settle(page)
    assert overlaps(page, ".cw-board .mark > path") == []
    expect(page.locator(".cw-board .mark .more").first).to_contain_text("+")


def test_all_of_it_shows_the_legs(page: Page, server: Server, tmp_path: Path) -> None:
    """The console stands on boards below its outline: the lowest of them is inside the window."""
    path = tmp_path / "mill.cabinet.yaml"
    path.write_bytes(MILL.read_bytes())
    visit(page, server.take(path).desk("side"))
    room = page.locator(".cw-board").bounding_box()
    assert room is not None
    low = page.locator('.cw-board [data-layer="wood"] *').evaluate_all(
        "all => Math.max(...all.map(e => e.getBoundingClientRect().bottom))"
    )
    assert low < room["y"] + room["height"]
