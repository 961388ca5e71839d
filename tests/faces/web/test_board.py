"""The drawing board in a real browser: dragging, keys, typing, and what is said of it."""

from __future__ import annotations

import json
import random
import statistics
from collections.abc import Callable, Iterator
from contextlib import ExitStack, closing
from pathlib import Path
from typing import Any
from urllib.parse import urlencode

import pytest
from playwright.sync_api import Browser, BrowserContext, Page, Playwright, ViewportSize
from shapely.geometry import LineString, Point, Polygon
from shapely.geometry.base import BaseGeometry
from tests.faces.web.chromium import launch, needs_chromium
from tests.faces.web.conftest import FORGETFUL
from tests.faces.web.serving import page_served

from casewright.basics.units import LengthStyle, format_length

ROOT = Path(__file__).parents[3]
DUEL = ROOT / "examples" / "library-duel.cabinet.yaml"
MILL = ROOT / "examples" / "mill-console.cabinet.yaml"
SIZE: ViewportSize = {"width": 1280, "height": 800}

pytestmark = [pytest.mark.browser, needs_chromium]


@pytest.fixture(scope="module")
def server() -> Iterator[str]:
    """Address of one server for all: it shows the project and the scene that its address names."""
    with page_served("board_page.py") as address:
        yield address


@pytest.fixture(scope="module")
def browser(player: Playwright) -> Iterator[Browser]:
    """One that makes code quick, as a maker's does: how long a drag takes is asked."""
    found = launch(player, "--disable-gpu")
    yield found
    found.close()


class Seen:
    """A page with the board on it."""

    def __init__(self, page: Page, address: str) -> None:
        self.page = page
        self.errors: list[str] = []
        page.on("pageerror", lambda error: self.errors.append(str(error)))
        page.goto(address)
        page.wait_for_function("() => window.boardId && getElement(window.boardId)?.state?.().id")
        self.rest()

    def rest(self) -> None:
        """Two frames, so that what was asked for is laid out."""
        self.page.evaluate(
            "new Promise(done => requestAnimationFrame(() => requestAnimationFrame(done)))"
        )

    @property
    def state(self) -> dict[str, Any]:
        found: dict[str, Any] = self.page.evaluate("getElement(window.boardId).state()")
        return found

    def place(self, key: str) -> list[float]:
        found: list[float] = self.state["places"][key]
        return found

    def pixel(self, key: str) -> tuple[float, float]:
        x, y = self.page.evaluate("key => getElement(window.boardId).pixel(key)", key)
        return x, y

    def grab(self, key: str) -> tuple[float, float]:
        x, y = self.pixel(key)
        self.page.mouse.move(x, y)
        self.page.mouse.down()
        return x, y

    def pull(self, key: str, du: float, dv: float, *, is_free: bool = False) -> None:
        """Take a part and hold it so many millimeters off; free of grid and lines with Alt."""
        x, y = self.grab(key)
        if is_free:
            self.page.keyboard.down("Alt")
        scale = self.state["view"]["scale"]
        for step in (0.3, 0.7, 1.0):
            self.page.mouse.move(x + du * scale * step, y - dv * scale * step)
        self.rest()
        if is_free:
            self.page.keyboard.up("Alt")

    def text(self, selector: str) -> str:
        return self.page.locator(selector).first.text_content() or ""

    def told(self, what: str) -> Any:
        """What the board told Python last, once it is this."""
        self.page.wait_for_function(
            "what => (document.getElementById('said').textContent || '[]').startsWith(`[\"${what}\"`)",
            arg=what,
        )
        return json.loads(self.page.locator("#said").text_content() or "")[1]

    def until(self, condition: str) -> None:
        self.page.wait_for_function(
            f"() => {{ const s = getElement(window.boardId).state(); return {condition}; }}"
        )


Opener = Callable[..., Seen]


@pytest.fixture
def opened(
    browser: Browser, context: BrowserContext, server: str, tmp_path: Path
) -> Iterator[Opener]:
    """Opens a board on a copy of a project of its own; nothing may go wrong in the page."""
    with ExitStack() as stack:
        pages: list[Seen] = []

        def start(
            project: Path = DUEL,
            scene: str = "deck",
            *,
            change: tuple[str, str] = ("", ""),
            touch: bool = False,
        ) -> Seen:
            copy = tmp_path / project.name
            text = project.read_text(encoding="utf-8")
            assert change[0] in text
            copy.write_text(text.replace(*change) if change[0] else text, encoding="utf-8")
            made = browser.new_page(viewport=SIZE, has_touch=True) if touch else context.new_page()
            page = stack.enter_context(closing(made))
            page.set_viewport_size(SIZE)
            page.add_init_script(FORGETFUL)
            pages.append(Seen(page, f"{server}?{urlencode({'project': copy, 'scene': scene})}"))
            return pages[-1]

        yield start
        assert [seen.errors for seen in pages] == [[] for _ in pages]


# ---- figures ---------------------------------------------------------------------------------------------------------


def solid(flat: dict[str, Any]) -> BaseGeometry:
    core = flat["core"]
    made = (
        Point(core[0]) if len(core) == 1 else LineString(core) if len(core) == 2 else Polygon(core)
    )
    return made.buffer(flat["radius"], quad_segs=256)


def any_flat(dice: random.Random) -> dict[str, Any]:
    x, y, w, h = (dice.uniform(low, 60) for low in (-60, -60, 1, 1))
    corners = [[x, y], [x + w, y], [x + w, y + h], [x, y + h]]
    return {"core": corners[: dice.choice((1, 2, 4))], "radius": dice.uniform(0.5, 20)}


def test_distances_are_those_of_a_geometry_library(opened: Opener) -> None:
    """GEOS (by shapely), rims as polygons of 1024 sides: off by less than 0.001 at these radii."""
    seen = opened()
    dice = random.Random(7)
    pairs = [(any_flat(dice), any_flat(dice)) for _ in range(300)]
    edge = [[-70, -70], [90, -70], [90, 40], [10, 90], [-70, 90]]
    gaps, edges = seen.page.evaluate(
        """async ([pairs, edge]) => {
            const { gapBetween, gapToEdge } = await import("casewright-drafting");
            return [pairs.map(([a, b]) => gapBetween(a, [0, 0], b, [0, 0]).gap),
                    pairs.map(([a]) => gapToEdge(a, [0, 0], edge).gap)];
        }""",
        [pairs, edge],
    )
    apart = 0
    for (a, b), gap in zip(pairs, gaps, strict=True):
        far = solid(a).distance(solid(b))
        if far > 0:
            apart += 1
            assert gap == pytest.approx(far, abs=0.001)
        else:
            assert gap < 0.001
    assert 50 < apart < 250
    face = Polygon(edge)
    inside = 0
    for (a, _), gap in zip(pairs, edges, strict=True):
        if face.contains(solid(a)):
            inside += 1
            assert gap == pytest.approx(face.exterior.distance(solid(a)), abs=0.001)
        else:
            assert gap < 0.001
    assert 50 < inside < 250


def test_figures_are_written_as_python_writes_them(opened: Opener) -> None:
    seen = opened()
    dice = random.Random(3)
    lengths = [
        0.0,
        0.05,
        25.4,
        -12.7,
        12.05,
        19.049,
        *(dice.uniform(-900, 900) for _ in range(300)),
    ]
    styles = [LengthStyle("mm"), LengthStyle("mm", decimals=2), LengthStyle("cm"), LengthStyle("m")]
    styles += [LengthStyle("in", denominator=d) for d in (16, 32, 64)]
    for style in styles:
        writing = {"unit": style.unit, "decimals": style.decimals, "denominator": style.denominator}
        made = seen.page.evaluate(
            """async ([lengths, writing]) => {
                const { figure } = await import("casewright-drafting");
                return lengths.map(length => figure(length, writing));
            }""",
            [lengths, writing],
        )
        assert made == [
            format_length(length, style, with_unit=False, glyphs="typeset") for length in lengths
        ]


@pytest.mark.parametrize(
    ("project", "scene"), [(DUEL, "deck"), (DUEL, "back"), (DUEL, "screen"), (MILL, "deck")]
)
def test_examples_are_clear_as_they_stand(opened: Opener, project: Path, scene: str) -> None:
    """They have no stops, so nothing on the board may be too close before it is moved."""
    seen = opened(project, scene)
    states = seen.page.evaluate(
        """() => {
            const { board } = getElement(window.boardId), items = [...board.things.values()];
            return items.map(one => {
                const found = board.spacing.worst(one, one.at, items.filter(other => other !== one));
                return [one.key, found ? found.state : 0, found ? found.words : ""];
            });
        }"""
    )
    assert states
    assert [state for state in states if state[1] == 2] == []


# ---- dragging --------------------------------------------------------------------------------------------------------


def test_a_button_dragged_into_its_neighbor_is_too_close(opened: Opener) -> None:
    seen = opened()
    assert seen.place("red1") == [140.3, 140.0]
    seen.pull("red1", 20, 8)
    assert seen.state["states"]["red1"] == 2
    assert seen.state["states"]["red2"] == 2, "the mirror button goes along, into its own neighbor"
    assert "too close: blue" in seen.text(".tag .second")
    assert "too close: blue" in seen.text(".readout")
    assert seen.page.locator(".item.close").count() == 2
    seen.page.mouse.up()
    told = seen.told("moved")
    assert told["by"] == "drag"
    assert set(told["places"]) == {"red1"}, "what follows needs no edit of its own"
    at = [told["places"]["red1"][axis] for axis in "uv"]
    seen.until(f"Math.abs(s.places.red2[0] - {at[0] + 335.3}) < 1e-3")
    assert seen.place("red1") == pytest.approx(at)
    seen.page.wait_for_selector(".mark.stop")
    seen.page.locator(".mark.stop").first.click()
    assert seen.told("finding") == 1, "stops come first in the list"


def test_near_is_told_apart_from_clear_and_too_close(opened: Opener) -> None:
    """A lever at u 70 with a body 65 wide, a button beside it with a nut of 39: they meet below 32.5 + 19.5 apart.

    At full tilt of 14 degrees the middle of the ball, 61.5 over the pivot, swings out 14.9; with its radius, 20 for the
    hand and the rim of 16.65 that is 69.0.
    """
    place = "red1, label: red, on: deck, u: 140.3, v: 140"
    seen = opened(change=(place, "red1, label: red, on: deck, u: 100, v: 125"))
    for u, state in ((140.0, "clear"), (138.0, "near"), (123.0, "near"), (120.0, "too close")):
        seen.pull("red1", u - 100, 0, is_free=True)
        assert seen.place("red1") == pytest.approx([u, 125.0], abs=0.02)
        assert state in seen.text(".tag .second"), u
        assert seen.state["states"]["red1"] == ("clear", "near", "too close").index(state)
        seen.page.keyboard.press("Escape")
        seen.page.mouse.up()


def test_drags_rest_on_the_grid_and_in_line(opened: Opener) -> None:
    seen = opened()
    seen.pull("palm1", -14.4, -20.3)  # nothing is in line with it there
    assert seen.place("palm1") == [161.0, 68.0], "whole millimeters"
    seen.page.mouse.up()
    seen.told("moved")
    seen.pull("yellow1", 12.6, -14.8)  # 1.2 off the row of red and green
    assert seen.place("yellow1")[1] == 140.0
    lines = "[...document.querySelectorAll('.guide.snap')].filter(one => !one.style.display).length"
    assert seen.page.evaluate(lines) == 1
    seen.page.keyboard.press("Escape")


def test_alt_drags_freely(opened: Opener) -> None:
    seen = opened()
    seen.pull("palm1", 10.33, 10.33, is_free=True)
    assert seen.place("palm1") == pytest.approx([185.33, 98.33], abs=0.02)
    seen.page.mouse.up()


def test_evenly_spaced_is_a_place_to_rest(opened: Opener) -> None:
    """The mill's domes stand 5 in apart; dragged off, one finds back to its place between the two others."""
    seen = opened(MILL)
    found = seen.page.evaluate(
        """async () => {
            const { evenSpaces } = await import("casewright-drafting");
            const row = [10, 30, 90].map((u, i) => ({ key: `${i}`, label: "", at: [u, 0] }));
            return [evenSpaces(0, row, [58, 1]), evenSpaces(0, row, [100, 1]), evenSpaces(0, row, [58, 90])]
                .map(list => list.map(one => one.at).sort((a, b) => a - b));
        }"""
    )
    # Between 30 and 90, or as far from 30 as 30 from 10; beyond 90 as far as 90 from 30; of another row: none.
    assert found == [[50, 60], [150], []]


def test_escape_puts_everything_back(opened: Opener) -> None:
    seen = opened()
    before = seen.state["places"]
    seen.pull("blue1", 30, 20)
    assert seen.place("blue2") != before["blue2"]
    seen.page.keyboard.press("Escape")
    assert seen.state["places"] == before
    seen.page.mouse.up()
    assert seen.state["places"] == before
    assert seen.page.locator(".tag:visible").count() == 0


def test_several_move_together(opened: Opener) -> None:
    seen = opened()
    x0, y0 = seen.pixel("red1")
    x1, y1 = seen.pixel("green1")
    top = seen.pixel("blue1")[1]
    seen.page.mouse.move(x0 - 30, top - 40)
    seen.page.mouse.down()
    seen.page.mouse.move(x1 + 20, y1 + 12)
    seen.page.mouse.move(x1 + 30, y0 + 14)
    seen.rest()
    seen.page.mouse.up()
    assert set(seen.told("select")) == {"red1", "blue1", "yellow1", "green1"}
    assert seen.page.locator(".tools.arranging").is_visible()
    seen.pull("red1", 0, 25)
    seen.page.mouse.up()
    told = seen.told("moved")
    assert {key: at["v"] for key, at in told["places"].items()} == {
        "red1": 165,
        "green1": 165,
        "blue1": 181,
        "yellow1": 181,
    }
    seen.page.get_by_label("Centres in a row").click()
    seen.page.wait_for_function(
        "() => document.getElementById('said').textContent.includes('arranging')"
    )
    places = seen.told("moved")["places"]
    assert len({at["v"] for at in places.values()}) == 1


def test_view_stays_after_a_change(opened: Opener) -> None:
    seen = opened()
    seen.page.mouse.move(400, 300)
    seen.page.mouse.wheel(0, -300)
    seen.rest()
    before = seen.state["view"]
    assert before["scale"] > 1.7
    seen.pull("palm1", 0, -5)
    seen.page.mouse.up()
    seen.told("moved")
    seen.until("Math.abs(s.places.palm2[1] - 83) < 1e-6")
    assert seen.state["view"] == before


def test_shift_press_adds_and_takes_away(opened: Opener) -> None:
    seen = opened()
    seen.page.mouse.click(*seen.pixel("red1"))
    seen.page.keyboard.down("Shift")
    seen.page.mouse.click(*seen.pixel("palm1"))
    assert seen.state["chosen"] == ["red1", "palm1"]
    seen.page.mouse.click(*seen.pixel("red1"))
    seen.page.keyboard.up("Shift")
    assert seen.state["chosen"] == ["palm1"]
    seen.page.mouse.click(30, 30)
    assert seen.state["chosen"] == []


# ---- keys ------------------------------------------------------------------------------------------------------------


def test_keys_alone_are_enough(opened: Opener) -> None:
    seen = opened()
    press = seen.page.keyboard.press
    seen.page.locator("svg.sheet").focus()
    press("Tab")
    assert seen.state["focused"] == "blue1", "the upper row, from the left"
    press("Tab")
    assert seen.state["focused"] == "yellow1"
    press("Shift+Tab")
    press("ArrowRight")
    told = seen.told("moved")
    assert told == {"places": {"blue1": {"u": 182.3, "v": 156}}, "by": "keys"}
    press("Shift+ArrowDown")
    seen.page.wait_for_function("() => document.getElementById('said').textContent.includes('146')")
    label = seen.page.locator("[data-key=blue1]").get_attribute("aria-label") or ""
    assert label.replace("\u202f", " ") == "blue, u 182.3 mm, v 146.0 mm"
    assert "blue, u" in seen.text("[aria-live=polite]")
    assert seen.state["focused"] == "blue1", "the focus stays though the part was drawn anew"
    press("Delete")
    assert seen.told("remove") == ["blue1"]


def test_tab_leaves_the_board_at_its_end(opened: Opener) -> None:
    seen = opened(scene="underside")
    seen.page.locator("svg.sheet").focus()
    dots = seen.page.locator(".mark").count()
    for expected in ("speaker-left", "speaker-right", *["mark"] * dots, None):
        seen.page.keyboard.press("Tab")
        focused = seen.state["focused"]
        assert (focused if focused is None else focused.partition(" ")[0]) == expected
    assert seen.page.evaluate("document.activeElement.closest('.tools') !== null")


def test_the_dots_of_findings_are_reached_and_pressed_by_keys(opened: Opener) -> None:
    """They come last; what is under the finger is seen, heard, and stays when the drawing is laid out anew."""
    seen = opened(scene="underside")
    page, press = seen.page, seen.page.keyboard.press
    page.wait_for_selector(".mark")
    page.locator("svg.sheet").focus()
    for _ in range(60):
        press("Tab")
        if str(seen.state["focused"]).startswith("mark"):
            break
    assert str(seen.state["focused"]).startswith("mark")
    ring = page.locator(".mark:focus-visible .ring-mark")
    assert ring.evaluate("ring => getComputedStyle(ring).stroke") not in ("none", "")
    words = page.locator(".mark:focus").get_attribute("aria-label") or ""
    number = int(words.partition(":")[0])
    press("+")
    seen.rest()
    assert page.locator(".mark:focus").get_attribute("aria-label") == words
    press("Enter")
    assert seen.told("finding") == number
    assert words.splitlines()[0] in seen.text("[aria-live=polite]")
    press("Shift+Tab")
    assert page.locator(".mark:focus").count() + page.locator("[data-key]:focus").count() == 1


def test_every_handle_that_takes_the_focus_shows_it(opened: Opener) -> None:
    """Corners, edges, eyes and seams: each has words of its own and looks otherwise while it has the focus."""
    seen = opened(scene="side")
    page, press = seen.page, seen.page.keyboard.press
    look = """
      of => [...of.querySelectorAll("circle, line, path")].map(one => {
        const { stroke, strokeWidth, fill, opacity, r } = getComputedStyle(one);
        return [stroke, strokeWidth, fill, opacity, r].join();
      }).join("; ")
    """
    page.locator("svg.sheet").focus()
    names, words = [], set()
    for _ in range(80):
        press("Tab")
        key = seen.state["focused"]
        if key is None or str(key).startswith("mark"):
            break
        thing = page.locator(f'[data-key="{key}"]')
        assert thing.evaluate("one => one === document.activeElement"), f"{key} cannot be seen"
        focused = thing.evaluate(look)
        words.add(thing.get_attribute("aria-label"))
        names.append(key)
        # The same thing chosen but without the focus.
        thing.evaluate("one => one.blur()")
        assert thing.evaluate(look) != focused, key
        thing.evaluate("one => one.focus()")
    assert len(words) == len(names) > 10
    assert None not in words and "" not in words


# ---- fingers ---------------------------------------------------------------------------------------------------------


class Fingers:
    """Touches as the browser gets them from a screen."""

    def __init__(self, page: Page) -> None:
        self._page = page
        self._session = page.context.new_cdp_session(page)

    def send(self, what: str, *points: tuple[float, float]) -> None:
        touches = [{"x": x, "y": y, "id": n} for n, (x, y) in enumerate(points)]
        self._session.send("Input.dispatchTouchEvent", {"type": what, "touchPoints": touches})
        self._page.evaluate("new Promise(done => requestAnimationFrame(() => done()))")


def test_a_finger_drags_a_part(opened: Opener) -> None:
    seen = opened(touch=True)
    fingers, (x, y) = Fingers(seen.page), seen.pixel("palm1")
    u, v = seen.place("palm1")
    scale, view = seen.state["view"]["scale"], seen.state["view"]
    fingers.send("touchStart", (x, y))
    fingers.send("touchMove", (x + 5, y))
    assert seen.place("palm1") == [u, v], "a finger is never quite still: this is no drag yet"
    for far in (0.4, 0.8, 1.0):
        fingers.send("touchMove", (x + 30 * scale * far, y))
    fingers.send("touchEnd")
    told = seen.told("moved")
    assert told["by"] == "drag"
    assert told["places"]["palm1"]["u"] == pytest.approx(u + 30, abs=4)  # it snaps to lines
    assert seen.state["view"] == view, "the drawing stays where it is"


def test_a_finger_beside_all_parts_moves_the_drawing_and_two_zoom_it(opened: Opener) -> None:
    """Two fingers: what was between them stays between them, and grows as they part."""
    seen = opened(touch=True)
    fingers, before, (x, y) = Fingers(seen.page), seen.state, seen.pixel("palm1")
    fingers.send("touchStart", (40, 40))
    fingers.send("touchMove", (80, 70))
    fingers.send("touchEnd")
    moved = seen.state["view"]
    assert seen.pixel("palm1") == pytest.approx((x + 40, y + 30), abs=0.5)
    (x, y), spread = seen.pixel("palm1"), (60.0, 150.0)
    fingers.send("touchStart", (x - spread[0], y), (x + spread[0], y))
    for far in (80.0, 120.0, spread[1]):
        fingers.send("touchMove", (x - far, y), (x + far, y))
    fingers.send("touchEnd")
    zoomed = seen.state["view"]
    assert zoomed["scale"] / moved["scale"] == pytest.approx(spread[1] / spread[0], rel=0.02)
    assert seen.pixel("palm1") == pytest.approx((x, y), abs=2)
    assert seen.state["places"] == before["places"], "nothing was dragged by it"


def test_steps_are_sixteenths_for_inches(opened: Opener) -> None:
    seen = opened(MILL)
    u, v = seen.place("amber")
    seen.page.mouse.click(*seen.pixel("amber"))
    seen.page.keyboard.press("ArrowUp")
    assert seen.told("moved")["places"]["amber"] == pytest.approx({"u": u, "v": v + 25.4 / 16})


def test_a_typed_place_is_read_in_python(opened: Opener) -> None:
    seen = opened()
    seen.page.mouse.click(*seen.pixel("palm1"))
    seen.page.keyboard.press("Enter")
    u, v = seen.page.locator(".entry input:not([type=submit])").all()
    assert u.input_value() == "175.0"
    u.fill("far away")
    seen.page.keyboard.press("Enter")
    seen.page.wait_for_selector(".refusal:not(:empty)")
    assert seen.text(".refusal").startswith("u: ")
    assert seen.place("palm1") == [175.0, 88.0]
    u.fill("7 1/2 in")
    seen.page.keyboard.press("Enter")
    told = seen.told("moved")
    assert told == {"places": {"palm1": {"u": 190.5}}, "by": "entry"}, "v was not touched"
    seen.until("s.places.palm1[0] === 190.5 && s.places.palm1[1] === 88")
    assert seen.page.locator(".entry").is_hidden()
    seen.page.mouse.dblclick(*seen.pixel("palm1"))
    assert seen.page.locator(".entry").is_visible()
    seen.page.keyboard.press("Escape")
    assert seen.page.locator(".entry").is_hidden()
    assert seen.state["focused"] == "palm1"
    assert v.count() == 1


# ---- side view -------------------------------------------------------------------------------------------------------


def test_a_corner_is_dragged_and_a_seam_is_pressed(opened: Opener) -> None:
    seen = opened(scene="side")
    seen.page.mouse.click(*seen.pixel("seam-H"))
    assert seen.told("seam_picked") == ["H", "deck", "lip"]
    assert "deck covers front lip" in seen.text(".card")
    assert "8.4°" in seen.text(".card")
    seen.pull("H", 0, 9)
    assert seen.place("H") == [0.0, 104.0]
    assert "inside angle" in seen.text(".tag .second")
    seen.page.mouse.up()
    told = seen.told("corner_moved")
    assert (told["key"], told["at"], told["by"]) == ("H", {"y": 0, "z": 104}, "drag")
    assert seen.place("H") == [0.0, 104.0]


def test_a_corner_keeps_the_slope_of_its_run(opened: Opener) -> None:
    """G lies on the run from H (0, 95): a drag along it stays on it, at a whole length."""
    seen = opened(scene="side")
    seen.pull("G", 10, 2.6)
    y, z = seen.place("G")
    assert z == pytest.approx(95 + y * 37 / 250, abs=1e-3)
    length = (y**2 + (z - 95) ** 2) ** 0.5
    assert length == pytest.approx(round(length), abs=1e-3)
    seen.page.keyboard.press("Escape")
    assert seen.place("G") == [250.0, 132.0]


# ---- hostile names, speed --------------------------------------------------------------------------------------------


def test_names_are_text_and_nothing_else(opened: Opener) -> None:
    name = "<img src=x onerror=window.hit=1>"
    seen = opened(change=("label: white palm button", f"label: '{name}'"))
    seen.page.mouse.click(*seen.pixel("palm1"))
    seen.page.keyboard.press("Enter")
    assert seen.text(".entry b") == name
    assert name in seen.text(".readout")
    seen.pull("palm1", 5, 5)
    assert name in seen.text(".tag .first")
    assert seen.page.locator(".cw-board img").count() == 0
    assert seen.page.evaluate("window.hit") is None


def parts(found: list[float], count: int = 5) -> list[list[float]]:
    size = len(found) // count
    return [found[n * size : (n + 1) * size] for n in range(count)]


def test_frames_of_a_drag(opened: Opener) -> None:
    """On the main demo's deck, with its twin carried along: time from frame to frame, and of our own work in each."""
    seen = opened()
    times, work = seen.page.evaluate(
        """async () => {
            const { board } = getElement(window.boardId), { svg, pointing } = board;
            const [x, y] = getElement(window.boardId).pixel("blue1");
            svg.setPointerCapture = () => {};
            const target = document.elementFromPoint(x, y);
            const fire = (what, dx, dy) => (what === "pointerdown" ? target : svg).dispatchEvent(
                new PointerEvent(what, { clientX: x + dx, clientY: y + dy, pointerId: 1, button: 0, buttons: 1,
                                         bubbles: true, pointerType: "mouse" }));
            fire("pointerdown", 0, 0);
            const times = [], work = [];
            let last = 0;
            for (let n = 0; n < 240; n++) {
                fire("pointermove", 90 * Math.sin(n / 30), 60 * Math.sin(n / 17));
                const now = await new Promise(requestAnimationFrame);
                if (last) times.push(now - last);
                last = now;
            }
            for (let n = 0; n < 200; n++) {
                const start = performance.now();
                pointing.last = { at: [x + (n % 80) - 40, y + (n % 50)], alt: false };
                pointing.step();
                svg.getBoundingClientRect();
                work.push(performance.now() - start);
            }
            fire("pointerup", 0, 0);
            return [times, work];
        }"""
    )
    # The calmest of five stretches: what else the machine does in the meantime is not the board's.
    frame, own = (min(statistics.median(part) for part in parts(found)) for found in (times, work))
    print(f"\nboard: a frame each {frame:.1f} ms, {own:.1f} ms of it ours (medians)")
    assert own <= 8.0, "half a frame at 60 a second"
    assert frame <= 34.0, "every second frame at least, on a machine that does other work as well"
