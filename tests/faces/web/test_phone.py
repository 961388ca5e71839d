"""The bench view on a phone, by touch: the real command, a browser with a phone's window, several at once."""

from __future__ import annotations

import os
import re
import socket
import subprocess
import sys
import time
from collections.abc import Iterator
from contextlib import contextmanager
from pathlib import Path

import pytest
from playwright.sync_api import Browser, BrowserContext, Page, expect
from tests.faces.web.chromium import free_port, needs_chromium
from tests.faces.web.conftest import OWN
from tests.faces.web.serving import ROOT, Opened, Server, serving
from tests.faces.web.workbench import visit, visit_again

from casewright.geometry.model import Circle
from casewright.planning.work import Step
from casewright.workflow import Worked, open_text, work_out

pytestmark = [pytest.mark.browser, needs_chromium]

LAP = (ROOT / "examples" / "lap-controller.cabinet.yaml").read_text(encoding="utf-8")
TALL, WIDE = {"width": 360, "height": 740}, {"width": 740, "height": 360}


@pytest.fixture(scope="module")
def lap() -> Worked:
    return work_out(open_text(LAP))


@pytest.fixture
def file(tmp_path: Path) -> Path:
    path = tmp_path / "lap.cabinet.yaml"
    path.write_text(LAP, encoding="utf-8")
    return path


@pytest.fixture
def opened(server: Server, file: Path) -> Opened:
    return server.take(file)


@contextmanager
def phone(browser: Browser, **more: object) -> Iterator[Page]:
    """A phone of its own: it shares no storage with another one, and it can be touched only."""
    wishes = {"viewport": TALL, "has_touch": True, "is_mobile": True, **more}
    context: BrowserContext = browser.new_context(**wishes)  # type: ignore[arg-type]
    page = context.new_page()
    faults: list[str] = []
    page.on("pageerror", lambda error: faults.append(str(error)))
    yield page
    context.close()
    assert faults == []


@pytest.fixture
def hand(browser: Browser) -> Iterator[Page]:
    with phone(browser) as page:
        page.on("request", lambda request: request.url.startswith(OWN) or pytest.fail(request.url))
        yield page


def at(opened: Opened | Server, step: str = "") -> str:
    return opened.desk() + "/step" + (f"/{step}" if step else "")


def done(page: Page, *, is_done: bool = True) -> None:
    """Wait until the step shown is ticked, or not."""
    expect(page.locator("button.tick")).to_have_attribute(
        "aria-pressed", "true" if is_done else "false"
    )


def tick(page: Page) -> None:
    done(page, is_done=False)
    page.locator("button.tick").tap()
    done(page)


def saw_all(page: Page, opened: Opened | Server, lap: Worked) -> list[Step]:
    """Tick everything at the saw but the last step of it; those steps."""
    sawn = [step for step in lap.work.steps if step.stage in ("cut", "bevel")]
    lines = "".join(f"  {step.key}: 2027-03-05 10:00\n" for step in sawn[:-1])
    assert opened.file is not None
    opened.file.write_text(f"{LAP}steps done:\n{lines}", encoding="utf-8")
    return sawn


def test_a_tick_on_one_phone_is_seen_on_another_and_at_the_desk(
    browser: Browser, hand: Page, page: Page, opened: Opened, lap: Worked
) -> None:
    first = lap.work.steps[0]
    visit(hand, at(opened))
    expect(hand.locator(".phone-where")).to_contain_text("step 1")
    with phone(browser) as other:
        visit(other, at(opened, first.key))
        visit(page, opened.desk("order"))
        at_desk = page.get_by_role("button", name=re.compile("^Step 1 is done"))
        expect(at_desk).to_have_attribute("aria-pressed", "false")
        tick(hand)
        done(other)
        expect(at_desk).to_have_attribute("aria-pressed", "true")
        expect(hand.locator(".phone-progress")).to_contain_text(re.compile("^1 of "))
        at_desk.click()  # and back from the desk
        done(hand, is_done=False)
        done(other, is_done=False)
    assert first.key not in opened.file.read_text(encoding="utf-8")


def test_a_tick_is_in_the_file_at_once(hand: Page, opened: Opened, lap: Worked) -> None:
    visit(hand, at(opened))
    tick(hand)
    text = opened.file.read_text(encoding="utf-8")
    assert text.startswith(LAP)  # comments and all
    assert re.search(rf"steps done:\n  {re.escape(lap.work.steps[0].key)}: '\d{{4}}-", text)


def test_next_and_back_and_the_list(hand: Page, opened: Opened, lap: Worked) -> None:
    visit(hand, at(opened))
    expect(hand.get_by_role("button", name="The step before")).to_be_disabled()
    hand.get_by_role("button", name="The next step").tap()
    expect(hand.locator(".phone-where")).to_contain_text("step 2")
    hand.get_by_role("button", name="The step before").tap()
    expect(hand.locator(".phone-where")).to_contain_text("step 1")
    hand.get_by_role("button", name="Steps", exact=True).tap()
    expect(hand.locator(".phone-row")).to_have_count(len(lap.work.steps))
    assert [int(t.removeprefix("Day ")) for t in hand.locator(".phone-day").all_inner_texts()] == [
        day.number for day in lap.work.days if any(s in day.steps for s in _ended(lap, day.number))
    ]
    last = lap.work.steps[-1]
    hand.get_by_role("button", name=f"Step {last.number}:").tap()
    expect(hand.locator(".phone-where")).to_contain_text(f"step {last.number}")
    expect(hand.get_by_role("button", name="The next step")).to_be_disabled()


def _ended(lap: Worked, day: int) -> list[str]:
    return [slot.step for slot in lap.work.slots if slot.is_last and slot.day == day]


def test_each_phone_keeps_its_place(browser: Browser, hand: Page, opened: Opened) -> None:
    with phone(browser) as other:
        visit(hand, at(opened, "dry-fit"))
        visit(other, at(opened, "wire"))
        for page, words in ((hand, "dry fit"), (other, "wire")):
            expect(page.locator(".phone-where")).to_contain_text(words)
            page.goto("about:blank")
            visit(page, at(opened))  # no step in the address: where it was
            expect(page.locator(".phone-where")).to_contain_text(words)


@pytest.mark.parametrize("size", [TALL, WIDE], ids=["upright", "across"])
@pytest.mark.parametrize("theme", ["light", "dark"])
def test_all_that_is_touched_is_large_and_nothing_runs_over_the_edge(
    browser: Browser, opened: Opened, lap: Worked, size: dict[str, int], theme: str
) -> None:
    """48 px: Web Content Accessibility Guidelines 2.2, 2.5.5, ask for 44 CSS pixels; a dusty finger gets four more."""
    drilled = next(s for s in lap.work.steps if s.stage == "shape" and "deck" in s.pieces)
    places = [f"/step/{drilled.key}", "/step/panel.deck", "/step/wire", "/piece/deck"]
    with phone(browser, viewport=size, color_scheme=theme) as page:
        for place in places:
            visit(page, opened.desk() + place)
            expect(page.locator("h1")).to_be_visible()
            if place != "/step/wire":
                expect(page.locator(".phone-picture svg").first).to_be_visible(timeout=60_000)
            small = page.evaluate(
                """() => [...document.querySelectorAll("button, a, input")].filter(one => {
                  const box = one.getBoundingClientRect();
                  return box.width && (box.width < 48 || box.height < 48);
                }).map(one => one.outerHTML.slice(0, 120))"""
            )
            assert small == []
            over = page.evaluate(
                "() => document.documentElement.scrollWidth - document.documentElement.clientWidth"
            )
            assert over <= 0
            foot = page.locator("button.tick").bounding_box()
            if "/step/" in place:
                assert foot is not None and foot["y"] + foot["height"] <= size["height"]


@pytest.mark.parametrize("theme", ["light", "dark"])
def test_it_can_be_read_in_the_sun(browser: Browser, opened: Opened, theme: str) -> None:
    """WCAG 2.2, 1.4.6: contrast of 7 to 1, by its own formula of relative luminance; the words of the step get it."""
    with phone(browser, color_scheme=theme) as page:
        visit(page, at(opened, "panel.deck"))
        for selector in (
            "h1",
            ".phone-orders li",
            ".phone-set b",
            ".phone-where",
            ".phone-caution p",
        ):
            ratio = page.locator(selector).first.evaluate(
                """one => {
                  const parse = text => text.match(/[\\d.]+/g).map(Number);
                  const light = ([r, g, b]) => { const [x, y, z] = [r, g, b].map(c => c / 255).map(
                    c => c <= 0.04045 ? c / 12.92 : ((c + 0.055) / 1.055) ** 2.4);
                    return 0.2126 * x + 0.7152 * y + 0.0722 * z; };
                  let ground = one;
                  const clear = one => parse(getComputedStyle(one).backgroundColor)[3] === 0;
                  while (ground && clear(ground)) ground = ground.parentElement;
                  const [a, b] = [light(parse(getComputedStyle(one).color)),
                    light(parse(getComputedStyle(ground || document.body).backgroundColor))];
                  return (Math.max(a, b) + 0.05) / (Math.min(a, b) + 0.05);
                }"""
            )
            assert ratio >= 7, selector


def test_sawn_pieces_are_put_down_and_their_steps_leave(
    hand: Page, opened: Opened, lap: Worked
) -> None:
    sawn = saw_all(hand, opened, lap)
    visit(hand, at(opened, sawn[-1].key))
    tick(hand)
    hand.get_by_role("button", name="Put it down").tap()
    expect(hand.locator(".phone-where")).to_contain_text("saw out, rout and drill")
    text = opened.file.read_text(encoding="utf-8")
    sheet = {p.key for p in lap.cabinet.pieces if p.material == "ply12"}
    project = open_text(text).project
    assert sheet <= set(project.as_built) and {r.state for r in project.as_built.values()} == {
        "cut"
    }
    hand.get_by_role("button", name="Steps", exact=True).tap()
    expect(hand.locator(".phone-row").first).to_be_visible()
    assert not [t for t in hand.locator(".phone-stage").all_inner_texts() if t in ("Bevel",)]
    visit(hand, at(opened, sawn[-1].key))  # an old link to a step that is no more
    expect(hand.get_by_text("That step is not in the plan any more")).to_be_visible()


def test_a_measured_value_that_does_not_fit_is_said_on_every_phone(
    browser: Browser, hand: Page, opened: Opened, lap: Worked
) -> None:
    """An inch short of the plan: no seam takes that up, so the piece is to be made anew, and the desk has all ways."""
    sawn = saw_all(hand, opened, lap)
    deck = lap.cabinet.piece_by_key["deck"]
    with phone(browser) as other:
        visit(other, at(opened, "wire"))
        visit(hand, at(opened, sawn[-1].key))
        tick(hand)
        hand.get_by_role("button", name="First, what the tape says").tap()
        hand.locator(".phone-sheet").get_by_role("button", name="deck", exact=True).tap()
        box = hand.get_by_label(re.compile("^length, plan"))
        box.fill("no length")
        hand.get_by_role("button", name="Keep it").tap()
        expect(hand.locator(".phone-sheet .problem")).to_contain_text("length")
        box.fill(f"{max(deck.width, deck.height) - 25.4:.1f} mm")
        hand.get_by_role("button", name="Keep it").tap()
        expect(hand.locator(".phone-stop").first).to_contain_text("Deck")
        expect(hand.get_by_text(re.compile("^Best way on"))).to_be_visible(timeout=120_000)
        expect(other.locator(".phone-alarm")).to_contain_text("deck")
        other.locator(".phone-alarm").tap()
        expect(other.locator(".phone-stop").first).to_contain_text("Deck")
        hand.get_by_role("link", name=re.compile("As built")).tap()
        expect(hand).to_have_url(re.compile(r"view=made"))
    record = open_text(opened.file.read_text(encoding="utf-8")).project.as_built["deck"]
    assert record.length == pytest.approx(max(deck.width, deck.height) - 25.4, abs=0.06)


def test_a_bevel_and_a_hole_are_measured_at_the_bench(
    hand: Page, opened: Opened, lap: Worked
) -> None:
    """A button hole 1/2 in too far right; its place on the panel is reckoned anew from the corner seen lower left."""
    sawn = saw_all(hand, opened, lap)
    deck = lap.cabinet.piece_by_key["deck"]
    hole = next(f for f in deck.features if f.key.startswith("b1"))
    assert isinstance(hole.shape, Circle)
    low_u, _, high_u, _ = deck.extent
    right = (hole.shape.u - low_u if hole.face == "show" else high_u - hole.shape.u) + 12.7
    visit(hand, at(opened, sawn[-1].key))
    tick(hand)
    hand.get_by_role("button", name="First, what the tape says").tap()
    hand.locator(".phone-sheet").get_by_role("button", name="deck", exact=True).tap()
    hand.get_by_role("button", name=re.compile("^bevel, upper edge")).tap()
    expect(hand.locator(".phone-sheet svg").first).to_be_visible(timeout=60_000)
    hand.get_by_label(re.compile("^tilt, plan 6.0")).fill("7.5")
    label = hole.label or lap.cabinet.placed_by_key["b1"].label
    hand.locator(".phone-sheet").get_by_role("button", name=label).first.tap()
    hand.get_by_label(re.compile("^right, plan")).fill(f"{right:.2f} mm")
    expect(hand.get_by_role("button", name="bevel, upper edge ✓")).to_be_visible()
    hand.get_by_role("button", name="Keep it").tap()
    expect(hand.locator(".phone-stop").first).to_contain_text("Deck")
    record = open_text(opened.file.read_text(encoding="utf-8")).project.as_built["deck"]
    assert record.bevels == {"upper": 7.5}
    at_hole = record.holes[hole.key]
    way = 12.7 if hole.face == "show" else -12.7
    assert (at_hole.u, at_hole.v) == pytest.approx((hole.shape.u + way, hole.shape.v), abs=0.02)


def test_nothing_is_measured_of_what_still_hangs_in_its_sheet(
    hand: Page, opened: Opened, lap: Worked
) -> None:
    visit(hand, opened.desk() + "/piece/deck")
    hand.get_by_role("button", name="What the tape says").tap()
    expect(hand.locator(".phone-sheet")).to_contain_text("not ticked yet")
    expect(hand.get_by_role("button", name="Keep it")).to_have_count(0)
    hand.get_by_role("button", name="To step 1", exact=True).tap()
    expect(hand.locator(".phone-where")).to_contain_text("step 1")


def test_a_server_killed_while_ticking_loses_nothing(
    browser: Browser, tmp_path: Path, file: Path, lap: Worked
) -> None:
    """What a phone showed as ticked is ticked afterwards, also where the desk had something unsaved."""
    keys = [step.key for step in lap.work.steps]
    with serving(tmp_path, file) as server, phone(browser) as page:
        visit(page, at(server))
        for number in range(1, 4):
            tick(page)
            page.get_by_role("button", name="The next step").tap()
            expect(page.locator(".phone-where")).to_contain_text(f"step {number + 1}")
        server.kill()
        saved = open_text(file.read_text(encoding="utf-8")).project.steps_done
        assert set(keys[:3]) == set(saved)
        page.goto("about:blank")
        server.again()
        with phone(browser, has_touch=False, is_mobile=False, viewport=None) as desk:
            visit(desk, server.desk("cutting"))
            box = desk.get_by_label("kerf", exact=True)
            box.fill("3 mm")
            box.press("Enter")
            expect(desk.get_by_role("button", name=re.compile("^Undo: "))).to_be_enabled()
        visit(page, at(server, keys[3]))
        tick(page)
        page.get_by_role("button", name="The next step").tap()
        expect(page.locator(".phone-where")).to_contain_text("step 5")
        page.locator("button.tick").tap(no_wait_after=True)
        server.kill()  # in the middle of it
        assert set(open_text(file.read_text(encoding="utf-8")).project.steps_done) == set(keys[:3])
        visit_again(page, server, at(server, keys[3]))
        done(page)
        for key in keys[:3]:
            visit(page, at(server, key))
            done(page)
        visit(page, server.desk("cutting"))
        expect(page.get_by_label("kerf", exact=True)).to_have_value(re.compile("^(3|1/8|0)"))


# ---- on the local network ----


class Terminal:
    """`casewright open --lan`, and what its terminal shows."""

    def __init__(self, folder: Path, file: Path) -> None:
        self.port = free_port()
        self.said = folder / "terminal.txt"
        command = [sys.executable, "-m", "casewright", "open", str(file), "--lan", "--no-browser"]
        environment = {
            **os.environ,
            "PYTHONPATH": str(ROOT / "src"),
            "PYTHONIOENCODING": "utf-8",
            "CASEWRIGHT_DATA": str(folder / "data"),
        }
        for name in [name for name in environment if name.startswith(("NICEGUI", "PYTEST"))]:
            del environment[name]
        with self.said.open("wb") as out:
            self.process = subprocess.Popen(
                [*command, "--port", str(self.port)], stderr=out, env=environment, cwd=folder
            )
        self.wait("Ctrl+C ends it")

    def text(self) -> str:
        return self.said.read_text(encoding="utf-8")

    def wait(self, words: str) -> None:
        for _ in range(600):
            if words in self.text():
                return
            assert self.process.poll() is None, self.text()
            time.sleep(0.1)
        raise AssertionError(self.text())

    @property
    def code(self) -> str:
        return re.findall(r"Code for the next browser: (\w{4} \w{4})", self.text())[-1]

    @property
    def address(self) -> str:
        found = re.search(r"http://[^\s/]+/b/[a-z-]+", self.text().replace("127.0.0.1", "own"))
        assert found is not None, self.text()
        return found[0]


@pytest.fixture(scope="module")
def terminal(tmp_path_factory: pytest.TempPathFactory) -> Iterator[Terminal]:
    """One for all: a code that a test has used up is followed by the next one."""
    folder = tmp_path_factory.mktemp("terminal")
    file = folder / "lap.cabinet.yaml"
    file.write_text(LAP, encoding="utf-8")
    try:
        running = Terminal(folder, file)
    except AssertionError as error:
        if "on no network" in str(error):
            pytest.skip("this computer is on no network")
        raise
    yield running
    running.process.kill()
    running.process.wait()


def asked(port: int, host: str, peer: str = "127.0.0.1") -> int:
    """Status of a plain request under a Host of choice."""
    with socket.create_connection((peer, port), timeout=30) as line:
        line.sendall(f"GET /desk HTTP/1.1\r\nHost: {host}\r\nConnection: close\r\n\r\n".encode())
        return int(line.recv(100).split()[1])


def test_a_phone_on_the_network_types_the_code_and_lands_at_its_piece(
    browser: Browser, terminal: Terminal
) -> None:
    address = terminal.address
    with phone(browser) as page:
        page.goto(f"{address}/deck?of=1234-ABCD")
        box = page.get_by_label("Code")
        box.fill("AAAA AAAA")
        page.get_by_role("button", name="Come in").tap()
        expect(page.get_by_role("alert")).to_contain_text("not the code")
        page.wait_for_timeout(1200)  # a second between two tries
        box.fill(terminal.code.lower())
        page.get_by_role("button", name="Come in").tap()
        expect(page.locator("h1")).to_have_text("Deck")
        expect(page.get_by_text("The page is of state 1234-ABCD")).to_be_visible()
        page.goto(f"{address}/step/panel.deck")
        expect(page.locator(".phone-where")).to_contain_text("glue")
        tick(page)
        page.goto(f"{address}/step/gone")
        expect(page.get_by_text("That step is not in the plan any more")).to_be_visible()
        page.goto(f"{address}/view/steps?of=1234-ABCD")  # as the codes of pages without a piece
        expect(page.locator(".phone-row").first).to_be_visible()
        for view, words in (("findings", "Will it serve"), ("shopping", "Shopping list")):
            page.goto(f"{address}/view/{view}")
            expect(page.locator("h1")).to_have_text(words)
        page.goto(f"{address}/view/service")
        expect(page.get_by_text("Pull the plug")).to_be_visible()
        page.goto(f"{address}/view/parts")  # what is typed in at the desk
        expect(page).to_have_url(re.compile(r"/desk/[^/]+\?view=parts$"))
    with phone(browser) as stranger:  # the code was used up, and its pass is another phone's
        stranger.goto(address)
        expect(stranger.get_by_label("Code")).to_be_visible()


def test_only_known_names_are_answered_and_only_this_computer_without_a_code(
    terminal: Terminal,
) -> None:
    port = terminal.port
    ours = terminal.address.split("/")[2]
    assert asked(port, f"127.0.0.1:{port}") == 404  # let in; there is no such page
    assert asked(port, ours) == 401  # by its name on the network: the code, also from here
    assert asked(port, ours, peer=ours.rpartition(":")[0]) == 401
    assert asked(port, f"127.0.0.1:{port}", peer=ours.rpartition(":")[0]) == 401
    for host in ("evil.example", f"evil.example:{port}", "192.0.2.77", f"192.0.2.77:{port}"):
        assert asked(port, host) == 421


def test_the_terminal_shows_the_address_as_a_code_too(terminal: Terminal) -> None:
    """Half blocks read back, two squares a sign, and held against the library's own squares."""
    import segno

    lines = [line for line in terminal.text().splitlines() if set(line) & set("█▀▄")]
    made = segno.make(terminal.address, error="m", micro=False)
    size = len(made.matrix) + 4
    rows: list[list[int]] = []
    for line in lines:
        plain = re.sub(r"\x1b\[[0-9;]*m", "", line)
        rows.append([int(sign in "█▀") for sign in plain])
        rows.append([int(sign in "█▄") for sign in plain])
    light = [[1 - on for on in row[:size]] for row in rows[:size]]
    wanted = [[int(bool(on)) for on in row] for row in made.matrix_iter(border=2)]
    assert light == wanted or rows[:size] == wanted
