"""The workbench in a real browser: how soon a page can be worked with, how soon an edit is seen, how a drag runs.

The demo is served by the real command, a headless Chromium shows it. What is timed is timed in the pages themselves,
on one clock, from the key or pointer to the picture.
"""

from __future__ import annotations

import statistics
import sys
import tempfile
import time
from collections.abc import Callable, Sequence
from dataclasses import dataclass
from functools import partial
from itertools import pairwise
from pathlib import Path
from typing import TYPE_CHECKING, Any

if TYPE_CHECKING:
    from playwright.sync_api import Browser, BrowserContext, Locator, Page
    from tests.faces.web.serving import Server

ROOT = Path(__file__).resolve().parent.parent
DEMO = ROOT / "examples" / "library-duel.cabinet.yaml"

FPS = 60.0
"""Frames a second that a drag should keep: one for each refresh of a usual screen."""
SEEN_MS = 150.0
"""From a typed value to its findings and its picture. [ms]"""
REBUILT_MS = 25.0
"""From a moved control to its new cabinet, in Python alone. [ms]"""
USABLE_MS = 1500.0
"""From opening the page to a page that can be worked with. [ms]"""
BUSY = 1.3
"""From when on other programs are said to have been in the way."""
DRAG_S = 3.0
COLD = 5
"""Cold contexts tried."""


@dataclass(frozen=True)
class Figure:
    """One measured figure beside what it should be."""

    name: str
    value: float
    target: float
    unit: str
    remark: str = ""

    @property
    def line(self) -> str:
        """The figure, its share of the target, the target."""
        most = "at least" if self.unit == "fps" else "at most"
        return (
            f"  {self.name:<58}{self.value:9.1f} {self.unit:<3}{self.value / self.target:7.2f} x   "
            f"target: {most} {self.target:g} {self.unit}{self.remark and '; ' + self.remark}"
        )


@dataclass(frozen=True)
class Edit:
    """A value typed into a box in a view, several times."""

    name: str
    view: str
    box: str
    """Selector of the box."""
    values: tuple[str, ...]


EDITS = (
    Edit(
        "moved control",
        "panels",
        "[aria-label='u of red (red1)']",
        ("160", "161", "162", "163", "164", "165"),
    ),
    Edit(
        "changed slope",
        "side",
        "[aria-label='y of corner G']",
        ("251", "252", "253", "254", "255", "256"),
    ),
    Edit(
        "changed material",
        "cutting",
        "[data-field='materials.ply12.measured']",
        ("11.7", "11.6", "11.5", "11.4"),
    ),
)

USABLE = """
(() => {
  const look = () => {
    const board = document.querySelector(".board-room svg.sheet");
    const isDrawn = board && board.querySelectorAll(".world :is(path, circle, polygon, rect)").length > 5;
    const isListed = document.querySelector("aside .finding");
    const isHeard = window.socket && window.socket.connected;
    if (isDrawn && isListed && isHeard) window.usableAt = performance.now();
    else requestAnimationFrame(look);
  };
  requestAnimationFrame(look);
})();
"""
"""Run before the page: keeps the moment from which on it can be worked with. [ms since it was asked for]"""

NOW = "performance.timeOrigin + performance.now()"

TYPED = f"""
window.typedAt = 0;
addEventListener("keydown", event => {{ if (event.key === "Enter") window.typedAt = {NOW}; }}, true);
"""

WATCH = f"""
() => {{
  const viewer = document.querySelector(".cw-viewer");
  const element = getElement(Number(viewer.id.slice(1)));
  window.watched = {{}};
  const list = document.querySelector("aside.look-at");
  const {{found, version}} = list.dataset, took = element.state().took;
  const step = () => {{
    if (!window.watched.findings && list.dataset.found !== found) window.watched.findings = {NOW};
    if (!window.watched.rest && list.dataset.version !== version) window.watched.rest = {NOW};
    if (!window.watched.picture && element.state().took !== took) window.watched.picture = {NOW};
    if (!window.watched.rest || !window.watched.picture) requestAnimationFrame(step);
  }};
  requestAnimationFrame(step);
}}
"""
"""In the page with the cabinet in space: keeps when the picture, the findings, and all else are those of an edit."""

FRAMES = """
() => {
  window.frames_ = [];
  window.isDragging = true;
  const step = now => {
    window.frames_.push(now);
    if (window.isDragging) requestAnimationFrame(step);
  };
  requestAnimationFrame(step);
}
"""


MOVES = 12
"""Times that a control is moved in Python; the first ones only warm up."""


def rebuilt() -> list[Figure]:
    """A control moved again and again in an open project, the way the page does it.

    "In space" is from the edit until its cabinet is told: the file's text changed, read and brought to the disk, the
    geometry of every piece, feature and body, solids as far as collisions need them, and all collisions. "In all" is
    from the edit until its findings are told: the same and every topic, check, cutting plan and purchase after it.
    """
    from casewright.session import Session
    from casewright.session.arranging import moved

    with tempfile.TemporaryDirectory() as folder:
        file = Path(folder) / DEMO.name
        file.write_bytes(DEMO.read_bytes())
        session = Session.open(file)
        told: dict[str, float] = {}
        session.subscribe(
            lambda changes: told.update(whole=time.perf_counter()),
            early=lambda changes: told.update(space=time.perf_counter()),
        )
        space, whole = [], []
        for step in range(1, MOVES + 1):
            worked = session.worked
            assert worked is not None
            edits = moved(worked, "red1", "u", 140.3 + step / 4)
            begun = time.perf_counter()
            session.edit(edits)
            space.append(1000 * (told["space"] - begun))
            whole.append(1000 * (told["whole"] - begun))
        session.close(discard=True)
    return [
        Figure(
            f"moved control in Python, {name}",
            statistics.median(times[3:]),
            REBUILT_MS,
            "ms",
            f"shortest {min(times):.0f}",
        )
        for name, times in (("in space, with collisions", space), ("in all, with findings", whole))
    ]


def stages() -> list[str]:
    """Where the time of a moved control goes, stage by stage; the shortest of some, since others come between."""
    from casewright.behavior.balance import weigh
    from casewright.behavior.whole import behavior_of
    from casewright.checks import Subject, run_checks
    from casewright.geometry.build import build_cabinet
    from casewright.geometry.collisions import find_collisions
    from casewright.planning.blanks import plan_cutting
    from casewright.planning.buying import list_purchases
    from casewright.session.arranging import moved
    from casewright.workflow import (
        changed_document,
        densities,
        open_document,
        open_project,
        screw_sizes,
        work_out,
    )

    opened = open_project(DEMO)
    worked = work_out(opened)
    taken: dict[str, list[float]] = {}

    def timed(name: str, make: Callable[[], Any]) -> Any:
        begun = time.perf_counter()
        made = make()
        taken.setdefault(name, []).append(1000 * (time.perf_counter() - begun))
        return made

    for step in range(1, MOVES + 1):
        edits = moved(worked, "red1", "u", 140.3 + step / 4)
        document = timed("text", partial(changed_document, opened.document, edits))
        opened = timed("reading", partial(open_document, document, opened.catalog))
        screws = screw_sizes(opened.catalog, opened.project.unit)
        cabinet = timed("geometry", partial(build_cabinet, opened.project, opened.parts, screws))
        collisions = timed("collisions", partial(find_collisions, cabinet))
        balance = timed("mass", partial(weigh, cabinet, densities(opened.catalog)))
        behavior = timed("topics", partial(behavior_of, cabinet, balance, opened.catalog))
        subject = Subject(cabinet, opened.catalog, collisions, behavior)
        timed("checks", partial(run_checks, subject))
        cutting = timed("cutting", partial(plan_cutting, cabinet))
        timed(
            "buying",
            partial(list_purchases, cabinet, cutting, behavior.painting, behavior.wiring),
        )
        worked = work_out(opened)
    times = ", ".join(f"{name} {min(some):.1f}" for name, some in taken.items())
    return [f"    stages, shortest in ms: {times}"]


def figures() -> list[Figure]:
    """All figures of the browser, or none where there is none, which is said."""
    sys.path.insert(0, str(ROOT))
    try:
        from tests.faces.web.chromium import CHROMIUM, launch, playing
        from tests.faces.web.serving import serving
    except ModuleNotFoundError as missing:
        print(f"  skipped: {missing.name} is not installed")
        return []
    if not CHROMIUM:
        print("  skipped: no Chromium on this computer")
        return []
    with tempfile.TemporaryDirectory() as folder, playing() as playwright:
        file = Path(folder) / DEMO.name
        file.write_bytes(DEMO.read_bytes())
        browser = launch(playwright, "--disable-gpu")
        with serving(Path(folder), file) as server:
            found = [usable(browser, server), *edits(browser, server), *drag(browser, server)]
            found += idle(browser, server)
        browser.close()
    return found


def context_of(browser: Browser) -> BrowserContext:
    return browser.new_context(viewport={"width": 1280, "height": 800})


def opened(context: BrowserContext, address: str) -> Page:
    page = context.new_page()
    page.goto(address)
    page.wait_for_function("window.socket && window.socket.connected")
    return page


def usable(browser: Browser, server: Server) -> Figure:
    """The page on a project, each time in a browser that has nothing of it yet."""
    times = []
    for _ in range(COLD):
        context = context_of(browser)
        context.add_init_script(USABLE)
        page = context.new_page()
        page.goto(server.desk("side"), wait_until="commit")
        page.wait_for_function("window.usableAt")
        times.append(float(page.evaluate("window.usableAt")))
        context.close()
    remark = f"the first one {times[0]:.0f}; usable: drawn, findings listed, server heard"
    return Figure("page usable, cold", statistics.median(times), USABLE_MS, "ms", remark)


def edits(browser: Browser, server: Server) -> list[Figure]:
    """A value typed in one page; the findings and the picture in space of another page on the same project."""
    context = context_of(browser)
    context.add_init_script(TYPED)
    space = opened(context, server.desk("whole"))
    space.wait_for_function(
        """() => {
          const viewer = document.querySelector(".cw-viewer");
          try { return getElement(Number(viewer.id.slice(1))).state().took > 0; } catch { return false; }
        }"""
    )
    found, everything = [], []
    for edit in EDITS:
        typing = opened(context, server.desk(edit.view))
        box = box_of(typing, edit.box)
        box.wait_for(state="attached")
        typing.evaluate("document.querySelectorAll('details').forEach(one => { one.open = true; })")
        first = box.input_value()
        seen_in = [seen(typing, space, edit.box, value) for value in edit.values]
        both = [pair for pair in seen_in if pair is not None]
        times = [max(picture, findings) for picture, findings, _ in both]
        if not times:
            print(
                f"  {edit.name}: no figure; the pages lost their server on a computer that is too busy"
            )
            typing.close()
            continue
        for _ in edit.values:  # back to the start, for the next one
            typing.get_by_role("button", name="Undo:").click()
        typing.wait_for_function(
            "first => [...document.querySelectorAll('input')].some(box => box.value === first)",
            arg=first,
        )
        typing.close()
        everything += times
        picture, _, rest = (statistics.median(column) for column in zip(*both, strict=True))
        found.append(
            Figure(
                f"{edit.name} to findings and picture",
                statistics.median(times),
                SEEN_MS,
                "ms",
                f"the picture alone {picture:.0f}; slow remedies, cutting and cost {rest:.0f}",
            )
        )
    if everything:
        found.append(every_kind(everything))
    context.close()
    return found


def every_kind(times: Sequence[float]) -> Figure:
    """All edits together."""
    return Figure(
        "edited value to findings and picture, all kinds",
        statistics.median(times),
        SEEN_MS,
        "ms",
        f"longest {max(times):.0f}",
    )


def box_of(page: Page, selector: str) -> Locator:
    """The box itself, where the selector names what it stands in as well."""
    return page.locator(f"input{selector}, {selector} input").first


def seen(typing: Page, space: Page, selector: str, value: str) -> tuple[float, float, float] | None:
    """From Enter to the picture, the findings, and the rest; None where the page was loaded anew meanwhile. [ms]"""
    from playwright.sync_api import TimeoutError as TooLongError

    space.evaluate(WATCH)
    box = box_of(typing, selector)
    box.fill(value)
    box.press("Enter")
    try:
        space.wait_for_function("window.watched?.rest && window.watched?.picture", timeout=15_000)
    except TooLongError:
        return None
    at: dict[str, float] = space.evaluate("window.watched")
    typing.wait_for_timeout(100)  # what else follows is no part of the next one
    begun = float(typing.evaluate("window.typedAt"))
    return at["picture"] - begun, at["findings"] - begun, at["rest"] - begun


def drag(browser: Browser, server: Server) -> list[Figure]:
    """A button carried about on the deck by the mouse, frames counted by the page itself."""
    context = context_of(browser)
    page = opened(context, server.desk("panels"))
    start = page.wait_for_function(
        """() => {
          const board = document.querySelector(".board-room").firstElementChild;
          try { return getElement(Number(board.id.slice(1))).pixel("red1"); } catch { return null; }
        }"""
    ).json_value()
    page.mouse.move(*start)
    page.mouse.down()
    page.mouse.move(start[0] + 8, start[1])
    page.evaluate(FRAMES)
    began, n = time.perf_counter(), 0
    while time.perf_counter() - began < DRAG_S:
        n += 1
        page.mouse.move(start[0] + 8 + n % 90, start[1] + 30 * ((n // 90) % 2))
    page.evaluate("window.isDragging = false")
    frames: list[float] = page.evaluate("window.frames_")
    page.keyboard.press("Escape")
    page.mouse.up()
    context.close()
    steps = sorted(b - a for a, b in pairwise(frames))
    late = steps[int(0.95 * len(steps))]
    fps = 1000 * len(steps) / (frames[-1] - frames[0])
    remark = f"{n} moves; 19 of 20 frames within {late:.0f} ms, longest {steps[-1]:.0f}"
    return [Figure("frames during a drag on the board", fps, FPS, "fps", remark)]


def held_up() -> float:
    """How much longer a loop takes than the processor time it needs: 1 on a computer with nothing else to do."""
    begun, spent = time.perf_counter(), time.process_time()
    while time.process_time() - spent < 0.15:
        pass
    return (time.perf_counter() - begun) / (time.process_time() - spent)


def idle(browser: Browser, server: Server) -> list[Figure]:
    """What server and page do while nobody touches them."""
    spent = cpu_of(server.process.pid)
    if spent is None:
        return []
    context = context_of(browser)
    page = opened(context, server.desk("whole"))
    page.wait_for_timeout(2000)
    before = spent()
    page.wait_for_timeout(5000)
    share = 100 * (spent() - before) / 5
    context.close()
    return [Figure("server while nothing happens, one page open", share, 2.0, "%")]


def cpu_of(pid: int) -> Callable[[], float] | None:
    """Reads the processor time of a process; None where the system does not tell. [s]"""
    import os

    stat = Path(f"/proc/{pid}/stat")
    if not stat.exists():
        return None
    ticks = os.sysconf("SC_CLK_TCK")

    def read() -> float:
        fields: list[Any] = stat.read_text().rpartition(")")[2].split()
        return (int(fields[11]) + int(fields[12])) / ticks

    return read


def main() -> None:
    """Print the figures."""
    print("The workbench in a browser, main demo")
    before = held_up()
    for figure in rebuilt():
        print(figure.line)
    for line in stages():
        print(line)
    for figure in figures():
        print(figure.line)
    held = max(before, held_up())
    if held > BUSY:
        print(
            f"  This computer was busy with other things: waiting made times about {held:.1f} times as long."
        )


__all__ = ["figures", "main"]


if __name__ == "__main__":
    main()
