"""The real server: strangers, wrong codes, large and slow requests; its description; many pages that edit one project.

For the pages a browser is needed (Debian's chromium); without one this half is skipped, and says so.
"""

from __future__ import annotations

import http.client
import random
import socket
import tempfile
import threading
import time
from collections.abc import Callable
from contextlib import suppress
from difflib import unified_diff
from pathlib import Path
from typing import Any

from playwright.sync_api import Error as PlaywrightError
from playwright.sync_api import sync_playwright
from tests.faces.web.chromium import CHROMIUM, launch
from tests.faces.web.serving import Server

from casewright.faces.web.security import LARGEST_BODY, Gate
from soak.common import ROOT, Budget, Tally, told
from soak.described import described

DEMO = ROOT / "examples" / "library-duel.cabinet.yaml"
PAGES = 20
TAKEN_MS = 300_000
"""Longest time until a page takes an edit. Twenty pages draw each one; on a busy computer a page that was not heard of
for ten seconds loads anew before it does."""
CODES = 10_000
ANSWERED_S = 10.0
"""Longest time that a request may wait while others are slow. On a busy computer."""
GROWTH = 1.25
"""Memory at the end over memory once all pages are open and have edited a while."""
SLOW = 40
"""Requests that come a byte at a time, all at once."""


def run(budget: Budget, tell: Callable[[Tally], None]) -> Tally:
    """An eighth of the time each for strangers and for the description, the rest for the pages."""
    tally, rng = Tally(), random.Random(budget.seed)
    wrong_codes(tally, rng)
    described(tally, seconds=budget.seconds / 8 if budget.most is None else 20, seed=budget.seed)
    tell(tally)
    with tempfile.TemporaryDirectory() as folder:
        file = Path(folder) / "duel.cabinet.yaml"
        file.write_bytes(DEMO.read_bytes())
        server = Server(Path(folder), file)
        try:
            strangers(tally, rng, server, time.monotonic() + budget.seconds / 8, budget.most)
            tell(tally)
            many_pages(
                tally, rng, server, time.monotonic() + budget.seconds * 3 / 4, budget.most, tell
            )
        except Exception as error:  # noqa: BLE001 - what was counted before is told all the same
            tally.fail("many pages: it ended", told(error))
        finally:
            server.process.kill()
            server.process.wait()
    return tally


# ---- codes -----------------------------------------------------------------------------------------------------------


def wrong_codes(tally: Tally, rng: random.Random) -> None:
    """Ten thousand wrong codes, as fast as they come: none lets in, and the right one of before does not either.

    The clock is the test's own: a try each tenth of a second, which is faster than tries are heard.
    """
    codes: list[str] = []
    now = [0.0]
    gate = Gate(codes.append, clock=lambda: now[0])
    first = gate.code
    for _ in range(CODES):
        now[0] += 0.1
        code = "".join(rng.choice("ABCDEFGHJKLMNPQRSTUVWXYZ23456789") for _ in range(8))
        if code == gate.code:
            continue
        if gate.enter(code) is not None:
            tally.fail("a wrong code lets in", code)
        tally.count("wrong codes")
    now[0] += 3600  # so that nothing is refused for having come too soon
    if gate.code == first or gate.enter(first) is not None:
        tally.fail("a code outlives ten thousand wrong ones", first)
    if len(codes) < 3:  # the first, and at least two that took its place
        tally.fail("the code was not exchanged", f"{len(codes)} codes in {now[0]:.0f} s")
    now[0] += 3600
    if gate.enter(gate.code) is None:
        tally.fail("the right code does not let in", gate.code)


# ---- strangers -------------------------------------------------------------------------------------------------------


def strangers(
    tally: Tally, rng: random.Random, server: Server, ends: float, most: int | None
) -> None:
    """Requests that must be refused, and slow ones; in between the page answers."""
    held = [slow_request(server) for _ in range(SLOW)]
    tried = 0
    while time.monotonic() < ends and (most is None or tried < most):
        tried += 1
        host = f"127.0.0.1:{server.port}"
        sort = rng.choice(("host", "origin", "large", "path", "method", "garbage", "own"))
        headers, method, path, body, want = {"Host": host}, "GET", "/", b"", {200}
        if sort == "host":
            headers["Host"] = rng.choice(
                ("evil.example", f"evil.example:{server.port}", host + ".x", "[::]", "x" * 500)
            )
            want = {421}
        elif sort == "origin":
            headers["Origin"] = rng.choice(
                ("http://evil.example", "null", f"https://{host}", f"http://{host}.x")
            )
            want = {403}
        elif sort == "large":
            method, headers["Content-Length"], want = (
                "POST",
                str(LARGEST_BODY * rng.randint(2, 10**6)),
                {413},
            )
        elif sort == "path":
            parts = (
                "..",
                "%2e%2e",
                "%00",
                "desk",
                "a" * 3000,
                "%ff",
                "\\",
                "static",
                "etc",
                "passwd",
                "?view=",
                ";",
            )
            path = "/" + "/".join(rng.choice(parts) for _ in range(rng.randint(1, 6)))
            want = {200, 303, 307, 400, 404, 405, 414}
        elif sort == "method":
            method, want = (
                rng.choice(("PUT", "DELETE", "PATCH", "OPTIONS", "TRACE", "FOO")),
                {200, 400, 404, 405},
            )
        elif sort == "garbage":
            garbage(server, rng)
            tally.count("garbage")
            continue
        start = time.monotonic()
        try:
            status = ask(server, method, path, headers, body)
        except (OSError, http.client.HTTPException) as error:
            tally.fail(f"strangers: {sort}", f"{method} {path[:200]} {headers}: {told(error)}")
            continue
        took = time.monotonic() - start
        tally.count(f"requests: {sort}", took)
        if status not in want:
            tally.fail(
                f"strangers: {sort} is answered {status}", f"{method} {path[:200]} {headers}"
            )
        if took > ANSWERED_S:
            tally.fail(f"strangers: {sort} waits {took:.1f} s", f"{method} {path[:200]} {headers}")
        for one in held:
            drip(one)
    for one in held:
        one.close()
    if server.process.poll() is not None:
        tally.fail("the server ended", str(server.process.returncode))


def ask(server: Server, method: str, path: str, headers: dict[str, str], body: bytes) -> int:
    """The status that a request gets."""
    talk = http.client.HTTPConnection("127.0.0.1", server.port, timeout=30)
    try:
        talk.putrequest(method, path, skip_host=True, skip_accept_encoding=True)
        for name, value in headers.items():
            talk.putheader(name, value)
        talk.endheaders(body or None)
        return talk.getresponse().status
    finally:
        talk.close()


def slow_request(server: Server) -> socket.socket:
    """The start of one that never comes to its end."""
    one = socket.create_connection(("127.0.0.1", server.port), timeout=5)
    one.sendall(
        b"POST / HTTP/1.1\r\nHost: 127.0.0.1:%d\r\nContent-Length: 100000\r\nX: " % server.port
    )
    return one


def drip(one: socket.socket) -> None:
    """A byte more; that the server has hung up is well."""
    with suppress(OSError):
        one.sendall(b"x")


def garbage(server: Server, rng: random.Random) -> None:
    """Bytes that are no request."""
    with socket.create_connection(("127.0.0.1", server.port), timeout=30) as one:
        try:
            one.sendall(rng.randbytes(rng.randint(1, 3000)) + b"\r\n\r\n")
            one.recv(100)
        except OSError:
            pass


# ---- many pages ------------------------------------------------------------------------------------------------------


def many_pages(
    tally: Tally,
    rng: random.Random,
    server: Server,
    ends: float,
    most: int | None,
    tell: Callable[[Tally], None],
) -> None:
    """Twenty pages on one project, each typing in turn; in the end all show the same, and memory has not grown."""
    if not CHROMIUM:
        print("  skipped: no chromium is installed")
        return
    errors: list[str] = []
    loads: list[str] = []
    with sync_playwright() as player:
        browser = launch(player, "--disable-gpu")
        pages: list[Any] = []
        for _ in range(PAGES if most is None else min(PAGES, most)):
            page = browser.new_context(viewport={"width": 1280, "height": 800}).new_page()
            page.on("pageerror", lambda error: errors.append(str(error)))
            page.on("load", lambda page: loads.append(page.url))
            page.goto(server.desk("panels"), timeout=120_000)
            page.locator(BOX).first.wait_for(timeout=120_000)
            pages.append(page)
        first_mb, edits = 0.0, 0
        begun = time.monotonic()
        while time.monotonic() < ends and (most is None or edits < most):
            page = rng.choice(pages)
            value = f"{150 + rng.randrange(200) / 10:g}"
            try:
                box = page.locator(BOX).first
                box.fill(value, timeout=TAKEN_MS)
                box.press("Enter", timeout=TAKEN_MS)
            except Exception as error:  # noqa: BLE001 - a page that does not take an edit
                tally.fail("many pages: an edit is not taken", told(error))
                break
            edits += 1
            tally.count("edits by many pages")
            tell(tally)
            if not first_mb and time.monotonic() - begun > (ends - begun) / 3:
                first_mb = held_mb(server.process.pid)
        last = f"{150 + rng.randrange(200) / 10:g}"
        pages[0].locator(BOX).first.fill(last, timeout=TAKEN_MS)
        pages[0].locator(BOX).first.press("Enter", timeout=TAKEN_MS)
        begun = time.monotonic()
        shown = settled(pages)
        print(f"  pages alike {time.monotonic() - begun:.1f} s after the last edit")
        if len(shown) != 1:
            tally.fail("many pages: they show different things", differing(shown))
        last_mb = held_mb(server.process.pid)
        tally.largest = max(tally.largest, last_mb)
        print(f"  pages that loaded anew: {len(loads) - len(pages)}")
        print(
            f"  server: {first_mb:.0f} MB after a third of the edits, {last_mb:.0f} MB at the end"
        )
        if first_mb and last_mb > GROWTH * first_mb:
            tally.fail("many pages: memory grows", f"{first_mb:.0f} MB, then {last_mb:.0f} MB")
        for error in sorted(set(errors)):
            tally.fail("many pages: an error in a page", error)
        browser.close()


BOX = "[aria-label='u of red (red1)']"
SHOWN = """() => [
  document.querySelector("[aria-label='u of red (red1)']")?.value,
  ...[...document.querySelectorAll("aside .finding")].map(one => one.innerText),
  document.querySelector(".board-room .world")?.innerHTML.replace(/id="[^"]*"|url\\(#[^)]*\\)/g, ""),
].join("\\n")"""


def settled(pages: list[Any]) -> set[str]:
    """What the pages show once nothing changes any more; one thing if all is well."""
    shown: set[str] = set()
    for _ in range(180):
        try:
            shown = {page.evaluate(SHOWN) for page in pages}
        except PlaywrightError:
            shown = set()  # a page that lost the server for a moment is loading anew
        if len(shown) == 1:
            return shown
        threading.Event().wait(1.0)
    return shown


def differing(shown: set[str]) -> str:
    """The lines in which two pages differ."""
    one, other, *_ = (*(text.splitlines() for text in sorted(shown)), [], [])
    return "\n".join(line[:400] for line in unified_diff(one, other, n=0, lineterm=""))[:5000]


def held_mb(process: int) -> float:
    """Memory that a process holds. [MB] 0 where the system does not tell."""
    try:
        pages = int(Path(f"/proc/{process}/statm").read_text(encoding="ascii").split()[1])
    except OSError:
        return 0.0
    return pages * 4096 / 1e6
