"""The workbench as a maker meets it: the real command, a real browser, by mouse and by keys."""

from __future__ import annotations

import math
import re
import time
import zipfile
from collections.abc import Iterator
from http.server import BaseHTTPRequestHandler, ThreadingHTTPServer
from pathlib import Path
from threading import Thread

import pytest
from playwright.sync_api import Browser, Page, expect
from tests.faces.web.chromium import needs_chromium
from tests.faces.web.serving import Opened, Server, serving
from tests.faces.web.workbench import settle, step, type_in, visit, visit_again

from casewright.faces.web.page import NUMBERS, STEPS
from casewright.workflow import KeyPath, Removal, Value, changed_document, load_text

pytestmark = [pytest.mark.browser, needs_chromium]

ROOT = Path(__file__).parents[3]
DUEL = ROOT / "examples" / "library-duel.cabinet.yaml"
CASE = ROOT / "examples" / "speaker-case.cabinet.yaml"
BRIGHTNESS = """(selector, property) => {
  const found = document.querySelector(selector);
  const parts = found ? getComputedStyle(found)[property].match(/\\d+/g) : null;
  return parts ? (Number(parts[0]) + Number(parts[1]) + Number(parts[2])) / 3 : NaN;
}"""
"""Of a color on the page: 0 black, 255 white. The picture's lettering is gray at the darkest in the dark theme."""
HOSTILE = '<img src=x onerror="document.title=1"> ../../x'


@pytest.fixture
def duel(server: Server, tmp_path: Path) -> Opened:
    """The main demo in a folder of its own, at the server of all."""
    return server.take(copied(tmp_path))


@pytest.fixture
def case(server: Server, tmp_path: Path) -> Opened:
    """A small demo, where the cabinet is no subject: its pages are a third lighter."""
    path = tmp_path / "case.cabinet.yaml"
    path.write_bytes(CASE.read_bytes())
    return server.take(path)


@pytest.fixture
def alone(tmp_path: Path) -> Iterator[Server]:
    """The main demo at a server of its own, which may be killed."""
    with serving(tmp_path, copied(tmp_path)) as own:
        yield own


def copied(folder: Path) -> Path:
    path = folder / "duel.cabinet.yaml"
    path.write_bytes(DUEL.read_bytes())
    return path


def test_from_a_recipe_to_the_papers(page: Page, tmp_path: Path) -> None:
    """A name meant to hurt, the recipe's picture by mouse, the rest by keys; the papers in the maker's hand."""
    with serving(tmp_path) as server:
        visit(page, server.address)
        started = time.perf_counter()
        cards = page.get_by_role("radio")
        cards.first.focus()
        page.keyboard.press("ArrowLeft")  # round to the last one
        expect(cards.last).to_be_checked()
        expect(cards.last).to_be_focused()
        page.get_by_role("radio", name=re.compile("Lap")).click()
        name = page.get_by_label("What is it called")
        name.fill(HOSTILE)
        page.get_by_role("button", name="Begin").focus()
        page.keyboard.press("Enter")
        page.wait_for_url("**/desk/**")
        expect(page.locator(".project-name")).to_have_text(HOSTILE)
        expect(page.get_by_role("button", name="Whole cabinet")).to_have_attribute(
            "aria-current", "step"
        )
        expect(page.locator(".view-whole canvas").first).to_be_visible()
        assert time.perf_counter() - started < 60
        page.keyboard.press(f"Alt+{NUMBERS[[key for key, _, _ in STEPS].index('side')]}")
        expect(page.locator(".board-room svg").first).to_be_visible()
        page.keyboard.press(f"Alt+{NUMBERS[[key for key, _, _ in STEPS].index('papers')]}")
        page.get_by_role("button", name="Make them now").focus()
        page.keyboard.press("Enter")
        everything = page.get_by_text("Take all as one archive")
        everything.wait_for(timeout=60_000)
        with page.expect_download() as coming:
            everything.click()
        got = tmp_path / "got.zip"
        coming.value.save_as(got)
        with zipfile.ZipFile(got) as papers:
            names = papers.namelist()
            assert papers.read("bench-book.pdf").startswith(b"%PDF-")
        assert {"templates-A4.pdf", "parts.csv", "cabinet.json", "cabinet.glb"} <= set(names)
        with page.expect_download() as one:
            page.get_by_role("link", name="parts.csv").click()
        assert one.value.suggested_filename == "parts.csv"
        assert page.title() == "casewright"  # no word of the name was run
        assert page.locator("img[src='x']").count() == 0
    written = {p.name for p in tmp_path.iterdir()}
    assert written == {
        "img-src-x-onerror-document-title-1-x.cabinet.yaml",
        "data",
        "got.zip",
    }


def test_papers_go_on_beside_other_work_and_stop_at_once(page: Page, duel: Opened) -> None:
    visit(page, duel.desk("papers"))
    make, stop = page.get_by_role("button", name="Make them now"), page.locator(".working button")
    make.click()
    expect(page.locator(".working")).to_contain_text("bench book", timeout=30_000)
    expect(make).to_be_disabled()
    step(page, "Cutting")  # the page is at hand meanwhile
    expect(page.get_by_label("kerf", exact=True)).to_have_value("3.2")
    step(page, "Papers")
    expect(stop).to_be_visible()
    stop.click()  # how soon it acts is asked in tests/session/test_making.py
    expect(make).to_be_enabled()
    expect(stop).to_be_hidden()
    expect(page.get_by_text("No papers made yet.")).to_be_visible()
    assert {found.name for found in duel.folder.iterdir()} == {duel.file.name}


def test_a_button_pushed_into_its_neighbor_and_back(page: Page, duel: Opened) -> None:
    """An edit, its finding, the remedy of another, and undo to the start."""
    visit(page, duel.desk("panels"))
    pane = page.locator("aside")
    expect(pane.get_by_text("Stop", exact=True)).to_have_count(0)
    type_in(page, "u of red (red1)", "165")
    expect(pane.get_by_text("Stop", exact=True).first).to_be_visible()
    page.get_by_role("button", name="Undo: move red").click()
    expect(pane.get_by_text("Stop", exact=True)).to_have_count(0)

    remedy = pane.get_by_role("button", name=re.compile("^Move white palm button"))
    remedy.click()
    expect(remedy).to_have_count(0)
    page.locator("#view").click(position={"x": 5, "y": 5})
    page.keyboard.press("Control+z")
    expect(remedy).to_be_visible()
    expect(page.get_by_role("button", name="Nothing to undo")).to_be_disabled()
    page.keyboard.press("Control+y")
    expect(remedy).to_have_count(0)
    page.keyboard.press("Control+z")
    expect(page.locator(".saved")).to_contain_text("saved")


def drag(page: Page, start: tuple[float, float], end: tuple[float, float]) -> None:
    page.mouse.move(*start)
    page.mouse.down()
    for share in (0.1, 0.4, 0.7, 1.0):
        page.mouse.move(*(a + share * (b - a) for a, b in zip(start, end, strict=True)))


def spot(page: Page, key: str) -> tuple[float, float]:
    """Where the board shows a part or a corner, on the page, once it does."""
    found = page.wait_for_function(
        """key => {
          const board = document.querySelector(".board-room").firstElementChild;
          try {
            return getElement(Number(board.id.slice(1))).pixel(key);
          } catch { return null; }
        }""",
        arg=key,
    ).json_value()
    return float(found[0]), float(found[1])


def test_a_button_dragged_into_its_neighbor(page: Page, duel: Opened) -> None:
    """By mouse: the finding comes, its remedy is pressed, all of it is undone."""
    visit(page, duel.desk("panels"))
    page.locator(".board-room svg").first.wait_for()
    stops = page.locator("aside .finding.stop")
    expect(stops).to_have_count(0)
    red, blue = spot(page, "red1"), spot(page, "blue1")
    # Taken at its left rim: the mark of a finding sits at the right one.
    taken = (red[0] - 6, red[1] + 5)
    to = ((red[0] + 2 * blue[0]) / 3 - 6, (red[1] + 2 * blue[1]) / 3 + 5)
    drag(page, taken, to)
    told = page.locator(".board-status p")
    expect(told).to_contain_text("red and blue")
    page.keyboard.press("Escape")  # what a move would bring goes with it
    page.mouse.up()
    expect(told).to_be_empty()
    drag(page, taken, to)
    page.mouse.up()
    expect(stops.first).to_contain_text("red and blue")
    expect(page.get_by_role("button", name="Undo: move red")).to_be_enabled()
    remedy = stops.first.get_by_role("button", name=re.compile("^Move"))
    remedy.click()
    expect(page.get_by_role("button", name=re.compile("^Undo: Move"))).to_be_enabled()
    expect(stops.filter(has_text="red and blue stand")).to_have_count(0)
    page.get_by_role("button", name=re.compile("^Undo: Move")).click()
    page.get_by_role("button", name="Undo: move red").click()
    expect(page.get_by_role("button", name="Nothing to undo")).to_be_disabled()
    expect(stops).to_have_count(0)
    for _ in range(3):  # however small it is drawn, a part can be taken hold of
        page.get_by_role("button", name="Further away (−)").click()
    expect(page.locator(".board-room .mark").first).to_be_visible()
    settle(page)
    assert page.evaluate(HELD_BY_DOTS) == []


HELD_BY_DOTS = """
[...document.querySelectorAll(".board-room [data-key][aria-label*=', u ']")].map(part => {
  const { x, y, width, height } = part.getBoundingClientRect();
  return document.elementFromPoint(x + width / 2, y + height / 2);
}).filter(there => there?.closest(".mark")).map(there => there.closest(".mark").getAttribute("aria-label"))
"""
"""Dots of findings that lie on the middle of a part."""


def test_a_corner_dragged_in_the_side_view(page: Page, duel: Opened) -> None:
    visit(page, duel.desk("side"))
    page.locator(".board-room svg").first.wait_for()
    corner = spot(page, "D")
    drag(page, corner, (corner[0] - 12, corner[1]))
    page.mouse.up()
    expect(page.get_by_role("button", name="Undo: move corner D")).to_be_enabled()
    expect(page.get_by_label("y of corner D", exact=True)).not_to_have_value("298.0")
    page.get_by_role("button", name="Undo: move corner D").click()
    expect(page.get_by_label("y of corner D", exact=True)).to_have_value("298.0")


def test_a_whole_edge_dragged_in_the_side_view(page: Page, duel: Opened) -> None:
    """The screen's edge F-G leans; put back, its corners slide along underside and deck, and it leans as before."""
    visit(page, duel.desk("side"))
    page.locator(".board-room svg").first.wait_for()

    def corners() -> dict[str, tuple[float, float]]:
        boxes = {name: [f"{axis} of corner {name}" for axis in "yz"] for name in "EFGH"}
        values = {
            name: [float(page.get_by_label(label, exact=True).input_value()) for label in labels]
            for name, labels in boxes.items()
        }
        return {name: (y, z) for name, (y, z) in values.items()}

    before = corners()
    middle = spot(page, "run:F-G")
    drag(page, middle, (middle[0] + 6, middle[1]))
    expect(page.locator(".cw-board .tag")).to_contain_text("edge F-G")
    page.mouse.up()
    undo = page.get_by_role("button", name="Undo: move edge F-G")
    expect(undo).to_be_enabled()
    expect(page.get_by_label("y of corner F", exact=True)).not_to_have_value(
        f"{before['F'][0]:.1f}"
    )
    after = corners()

    def lean(places: dict[str, tuple[float, float]], a: str, b: str) -> float:
        return math.degrees(math.atan2(places[b][1] - places[a][1], places[b][0] - places[a][0]))

    for a, b in (("E", "F"), ("F", "G"), ("G", "H")):
        assert lean(after, a, b) == pytest.approx(lean(before, a, b), abs=0.2)  # boxes show 0.1 mm
    assert after["E"] == before["E"] and after["H"] == before["H"]
    undo.click()
    expect(page.get_by_label("y of corner F", exact=True)).to_have_value(f"{before['F'][0]:.1f}")
    assert corners() == before


def test_see_it_shows_the_place(page: Page, duel: Opened) -> None:
    visit(page, duel.desk("cutting"))
    finding = page.locator("aside .finding", has_text="white palm button").first
    finding.get_by_role("button", name="see it").click()
    expect(page.get_by_role("heading", name="Deck and every panel")).to_be_visible()
    expect(page.locator("tr.chosen", has_text="white palm button").first).to_be_visible()


def test_two_pages_on_one_project(page: Page, case: Opened) -> None:
    other = page.context.new_page()
    visit(page, case.desk("cutting"))
    visit(other, case.desk("cutting"))
    expect(other.get_by_label("kerf", exact=True)).to_have_value("3.2")
    type_in(page, "kerf", "2.6")
    expect(other.get_by_label("kerf", exact=True)).to_have_value("2.6")
    other.get_by_role("button", name="Undo: kerf").click()
    expect(page.get_by_label("kerf", exact=True)).to_have_value("3.2")


def test_what_is_being_typed_survives_an_edit_elsewhere(page: Page, case: Opened) -> None:
    other = page.context.new_page()
    visit(page, case.desk("cutting"))
    visit(other, case.desk("cutting"))
    box = page.get_by_label("kerf", exact=True)
    box.fill("2.")
    type_in(other, "edge trim", "4")
    expect(page.get_by_label("edge trim", exact=True)).to_have_value("4.0")
    expect(box).to_have_value("2.")
    expect(box).to_be_focused()


def test_a_killed_server_loses_nothing(page: Page, alone: Server) -> None:
    """In the middle of a drag: the page comes back by itself. Then two pages on the project, and the file away too."""
    assert alone.file is not None
    before = alone.file.read_text(encoding="utf-8")
    place_of_red = page.get_by_label("u of red (red1)", exact=True).first
    visit(page, alone.desk("panels"))
    for place in ("141", "142", "143"):
        type_in(page, "u of red (red1)", place)
        expect(page.get_by_role("button", name="Undo: move red")).to_be_enabled()
        expect(place_of_red).to_have_value(f"{place}.0")
    drag_red(page)
    alone.kill()
    page.mouse.up()
    assert alone.file.read_text(encoding="utf-8") == before  # only Save writes the file
    page.evaluate("window.isOld = true")
    alone.again()
    page.wait_for_function("!window.isOld && window.socket && window.socket.connected")
    expect(place_of_red).to_have_value("143.0")
    expect(page.get_by_text("taken up again")).to_be_visible()
    for place in ("142.0", "141.0", "140.3"):
        page.get_by_role("button", name="Undo: move red").click()
        expect(place_of_red).to_have_value(place)
    expect(page.get_by_role("button", name="Nothing to undo")).to_be_disabled()

    other = page.context.new_page()
    visit(other, alone.desk("cutting"))
    type_in(other, "kerf", "2.6")
    expect(page.get_by_role("button", name=re.compile("^Undo: "))).to_be_enabled()
    drag_red(page)
    alone.kill()
    page.mouse.up()
    other.close()
    alone.file.unlink()
    visit_again(page, alone, alone.desk("cutting"))
    expect(page.get_by_label("kerf", exact=True)).to_have_value("2.6")
    expect(page.get_by_text("The project file is gone.")).to_be_visible()
    page.get_by_role("button", name="Save it again").click()
    expect(page.get_by_role("button", name="Save it again")).to_have_count(0)
    assert alone.file.read_text(encoding="utf-8") == before.replace("kerf: 3.2", "kerf: 2.6")
    assert {found.name for found in alone.folder.iterdir()} == {alone.file.name, "data"}


def drag_red(page: Page) -> None:
    """Begin to drag a button, and hold it."""
    page.locator(".board-room svg").first.wait_for()
    red = spot(page, "red1")
    drag(page, red, (red[0], red[1] + 30))


STRANGE = """<!doctype html><title>strange</title><iframe src="{desk}"></iframe><script>
window.told = {{}};
const tell = (name, value) => {{ window.told[name] = value; }};
fetch("{desk}").then(() => tell("fetch", "let in"), () => tell("fetch", "refused"));
const socket = new WebSocket("ws://127.0.0.1:{port}/_nicegui_ws/socket.io/?EIO=4&transport=websocket");
socket.onopen = () => tell("socket", "let in");
socket.onerror = () => tell("socket", "refused");
</script>"""


def test_a_strangers_page_on_this_computer_gets_nothing(browser: Browser, duel: Opened) -> None:
    """Not in a frame, not by a request, not by a websocket; what it shows instead is the browser's own refusal."""
    words = STRANGE.format(desk=duel.desk(), port=duel.port).encode()

    class Stranger(BaseHTTPRequestHandler):
        def do_GET(self) -> None:
            self.send_response(200)
            self.send_header("content-type", "text/html")
            self.end_headers()
            self.wfile.write(words)

        def log_message(self, *_: object) -> None:
            """Say nothing."""

    with ThreadingHTTPServer(("127.0.0.1", 0), Stranger) as server:
        Thread(target=server.serve_forever, daemon=True).start()
        page = browser.new_page()
        page.goto(f"http://127.0.0.1:{server.server_port}/")
        page.wait_for_function("told.fetch && told.socket")
        assert page.evaluate("told") == {"fetch": "refused", "socket": "refused"}
        page.frames[1].wait_for_url("chrome-error://**")
        page.close()
        server.shutdown()


def test_a_file_changed_by_another_program(page: Page, case: Opened) -> None:
    visit(page, case.desk("cutting"))
    type_in(page, "kerf", "2.6")
    expect(page.get_by_role("button", name="Undo: kerf")).to_be_enabled()
    text = case.file.read_text(encoding="utf-8")
    case.file.write_text(
        text.replace("name: Workshop loudspeaker", "name: Edited"), encoding="utf-8"
    )
    warning = page.get_by_text("Another program changed the file.")
    warning.wait_for()
    page.get_by_role("button", name="Take the file from the disk").click()
    expect(page.locator(".project-name")).to_have_text("Edited")
    expect(warning).to_have_count(0)
    page.get_by_role("button", name=re.compile("^Undo: take the file")).click()
    expect(page.locator(".project-name")).to_have_text("Workshop loudspeaker")


def test_text_with_a_mistake_names_its_line(page: Page, duel: Opened) -> None:
    visit(page, duel.desk("text"))
    editor = page.locator(".cm-content")
    editor.click()
    page.keyboard.press("Control+Home")
    page.keyboard.type("width: [\n")
    page.get_by_role("button", name="Use this text").click()
    expect(page.get_by_role("alert").filter(has_text="last good picture")).to_be_visible()
    step(page, "Side view")
    expect(page.get_by_role("alert").filter(has_text="Line")).to_be_visible()
    page.get_by_role("button", name="Undo: edit the text").first.click()
    expect(page.get_by_role("alert").filter(has_text="last good picture")).to_have_count(0)


def test_figures_say_why_by_keys(page: Page, duel: Opened) -> None:
    visit(page, duel.desk("side"))
    mass = page.get_by_role("button", name=re.compile("^mass"))
    mass.focus()
    page.keyboard.press("Enter")
    sheet = page.locator(".why-sheet")
    expect(sheet).to_contain_text("birch plywood 12")
    expect(sheet).to_contain_text("Volume × density of each piece")
    page.keyboard.press("Escape")
    expect(sheet).to_have_count(0)


def test_the_list_of_keys_and_the_dark_theme(page: Page, duel: Opened) -> None:
    visit(page, duel.desk("side"))
    page.locator("#view").click(position={"x": 5, "y": 5})
    page.keyboard.press("?")
    expect(page.get_by_role("dialog", name="Keys").first).to_be_visible()
    page.keyboard.press("Escape")
    page.get_by_role("button", name="Light or dark").click()
    expect(page.locator("html[data-theme='dark']")).to_have_count(1)
    page.reload()
    expect(page.locator("html[data-theme='dark']")).to_have_count(1)
    visit(page, duel.desk("text"))
    page.wait_for_function(f"() => ({BRIGHTNESS})('.cm-editor', 'backgroundColor') < 90")
    visit(page, duel.desk("use"))
    page.wait_for_function(f"() => ({BRIGHTNESS})('.topic svg text', 'fill') > 160")


CUT_OFF = """
() => [...document.querySelectorAll(".view-body *, aside *")]
  .filter(one => one.clientWidth && getComputedStyle(one).overflowX !== "visible")
  .filter(one => getComputedStyle(one).textOverflow !== "ellipsis")
  .filter(one => !one.closest("input, textarea, .cm-editor, svg, .q-field, iframe, .heard"))
  .filter(one => one.scrollWidth > one.clientWidth + 1)
  .map(one => `${one.tagName}.${one.className}: ${one.scrollWidth} in ${one.clientWidth}`)
"""
"""What reaches farther to the right than the box that it is cut off by."""


def with_long_names(text: str) -> str:
    """Every label 60 letters long, without a place to break it; 80 are the most that a file may have."""
    document = load_text(text, file="long")
    edits: dict[KeyPath, Value | Removal] = {("name",): "N" * 80}
    for section in ("parts", "materials", "panels"):
        for key in document.data[section]:
            edits[(section, key, "label")] = f"{key}{'abcdefghi' * 6}"
    for number, _ in enumerate(document.data["people"]):
        edits[("people", number, "label")] = f"Person{'abcdefghi' * 6}{number}"
    return changed_document(document, edits).text


def test_nothing_reaches_beyond_the_window(page: Page, server: Server, tmp_path: Path) -> None:
    """Neither in a window that a page was opened in, nor in one made wider or narrower after; nor is a name cut off."""
    path = tmp_path / "long.cabinet.yaml"
    path.write_text(with_long_names(DUEL.read_text(encoding="utf-8")), encoding="utf-8")
    long = server.take(path)
    found = {}
    for key, _, _ in STEPS:
        boarded = key in ("side", "panels", "whole")  # a board is measured when it is opened
        for opened_in in (820, 1920) if boarded else (820,):
            page.set_viewport_size({"width": opened_in, "height": 800})
            visit(page, long.desk(key))
            page.locator(".view-body").wait_for()
            page.wait_for_load_state("networkidle")  # else what it still loads is a fault
            for width in (820, 1280, 1920) if opened_in == 820 else (1920,):
                page.set_viewport_size({"width": width, "height": 800})
                settle(page)
                reach = page.evaluate("document.documentElement.scrollWidth")
                assert reach <= width, (key, opened_in, width)
                if width != 1280:
                    continue
                if beyond := page.evaluate(CUT_OFF):
                    found[key] = beyond
                if key == "panels":  # the panel shown is in sight among all those buttons
                    assert is_in_sight(page, ".chooser [aria-pressed=true]", ".chooser")
                if key == "side":
                    assert min(page.evaluate(PEOPLE)) >= 0, "names of people begin in the picture"
    assert found == {}


PEOPLE = """
[...document.querySelectorAll('.cw-board .eye text')].map(text =>
  text.getBoundingClientRect().left - text.closest('.cw-board').getBoundingClientRect().left)
"""
"""How far from the picture's left edge each name begins."""


def is_in_sight(page: Page, thing: str, room: str) -> bool:
    """Whether all of a thing's height is within that of what holds it."""
    inner, outer = (page.locator(where).bounding_box() for where in (thing, room))
    assert inner and outer
    low, high = inner["y"] - outer["y"], inner["y"] + inner["height"] - outer["y"]
    return low >= -1 and high <= outer["height"] + 1


def test_what_stands_on_the_side_view_stands_apart(page: Page, duel: Opened) -> None:
    """No dot of a finding on a dimension's figure, no tilt of a seam on that of another."""
    visit(page, duel.desk("side"))
    page.locator(".cw-board .mark").first.wait_for()
    settle(page)
    boxes = """
      of => [...document.querySelectorAll(of)]
        .filter(one => getComputedStyle(one).visibility === "visible" && one.textContent)
        .map(one => one.getBoundingClientRect()).map(box => [box.left, box.top, box.right, box.bottom])
    """
    tags = page.evaluate(boxes, ".cw-board .seam text")
    figures = page.evaluate(boxes, ".cw-board .dimension text")
    dots = page.evaluate(boxes, ".cw-board .mark")
    assert tags and figures and dots
    overlaps = [
        (one, other)
        for mine, others in ((tags, tags), (dots, figures))
        for one in mine
        for other in others
        if one is not other
        and min(one[2], other[2]) - max(one[0], other[0]) > 1
        and min(one[3], other[3]) - max(one[1], other[1]) > 4
    ]
    assert overlaps == []


def test_on_a_tablet_the_step_is_in_sight_and_the_work_has_most_of_the_room(
    page: Page, duel: Opened
) -> None:
    page.set_viewport_size({"width": 820, "height": 1180})
    in_sight = """() => {
      const box = of => document.querySelector(of)?.getBoundingClientRect();
      const step = box(".job [aria-current]"), head = box(".head"), work = box("#view");
      return step && step.left >= 0 && step.right <= innerWidth
        && step.top >= head.bottom && work.top >= step.bottom;
    }"""
    for key in ("papers", "findings", "parts"):
        visit(page, duel.desk(key))
        page.wait_for_function(in_sight)
    last = page.locator(".job .step").last
    last.click()
    expect(last).to_have_attribute("aria-current", "step")
    page.wait_for_function(in_sight)
    work = page.locator("#view").bounding_box()
    assert work is not None
    assert work["height"] > 0.6 * 1180
    page.wait_for_load_state("networkidle")
