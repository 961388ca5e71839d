"""Hostile words on the page: each is shown where a harmless one would be, as it is, and nothing of it runs.

What a page shows is compared with what it shows when the same places of the project hold marks that mean nothing.
For this a browser is needed (Debian's chromium); without one it is skipped, and says so.
"""

from __future__ import annotations

import random
import re
import tempfile
import time
import unicodedata
from collections.abc import Iterator, Mapping
from functools import lru_cache
from pathlib import Path
from typing import Any
from urllib.parse import urlsplit

from playwright.sync_api import Page, sync_playwright
from tests.faces.web.chromium import CHROMIUM, launch
from tests.faces.web.serving import Server
from tests.stock.pieces import board

from casewright.basics.wording import capital
from casewright.faces.web.page import STEPS
from casewright.faces.web.phone.reading import READINGS
from casewright.session.stocking import stock_address
from casewright.stock.shop import ShopStock
from casewright.workflow import LoadedDocument, changed_document, load_text
from soak.common import ROOT, Tally, told

MARK = "Wq{}z"
"""A word that stands nowhere else."""
STILL_S = 1.0
"""A page that has not changed for so long is ready."""
MOST_S = 40.0
WATCH = """
window.ran = [];
for (const name of ["alert", "confirm", "prompt", "print"]) window[name] = (...a) => { window.ran.push(name + a); };
"""
SEEN = """() => {
  const body = document.body.cloneNode(true);
  for (const one of body.querySelectorAll("script, style")) one.remove();
  const texts = [document.title, body.textContent];
  for (const one of document.querySelectorAll("input, textarea")) texts.push(one.value);
  for (const one of document.querySelectorAll("[aria-label], [title]"))
    texts.push(one.getAttribute("aria-label") || "", one.getAttribute("title") || "");
  return texts.join("\\u0001");
}"""
BRED = """() => [...document.querySelectorAll("img[src=x], [onerror], body script:not([type]):not([src])")]
  .map(one => one.outerHTML.slice(0, 200)).filter(text => text.includes("alert(1)"))"""
"""Elements that words have become."""

BY_ROOM = ("text", "phone")
"""Pages of which not each text is looked for: the file's text quotes them and goes on below; a sheet's picture on the
phone leaves out the name that its piece has no room for."""
Path_ = tuple[str | int, ...]


def some_pages(number: int) -> Tally:
    """One example with hostile words, in every view of the workbench and of the phone."""
    from soak.texts import words

    rng, tally = random.Random(number), Tally()
    name = rng.choice(sorted(path.name for path in (ROOT / "examples").glob("*.yaml")))
    texts = {path: words(rng) for path in places(name)}
    note = words(rng)
    start = time.monotonic()
    try:
        document = changed_document(example(name), texts)
        found = seen(document, note, tally, f"pages of {name}")
    except Exception as error:  # noqa: BLE001 - a page that does not open is what is looked for
        tally.fail(f"pages of {name}: {type(error).__name__}", told(error))
        return tally
    for view, marks in usual(name).items():
        tally.count("pages with hostile words")
        if view in BY_ROOM:
            continue
        for path in marks:
            text = note if path == ("stock",) else texts[path]
            if not any(bare(each) in found[view] for each in (text, capital(text))):
                tally.fail(f"pages of {name}: {view} does not show a text", f"{path}: {text!r}")
    print(f"  {name}: {len(found)} pages in {time.monotonic() - start:.0f} s", flush=True)
    return tally


def example(name: str) -> LoadedDocument:
    """An example's file."""
    return load_text((ROOT / "examples" / name).read_text(encoding="utf-8"), file=name)


def places(name: str) -> list[Path_]:
    """Where an example has words of its maker's own."""
    from soak.texts import FIELDS, leaves

    return [
        path
        for path, value in leaves(example(name).data)
        if path[-1] in FIELDS and isinstance(value, str) and path[-1] != "currency"
    ]


@lru_cache(maxsize=8)
def usual(name: str) -> Mapping[str, frozenset[Path_]]:
    """Which places' words each page shows, found by marks."""
    marks = {path: MARK.format(number) for number, path in enumerate(places(name))}
    stock = MARK.format("stock")
    found = seen(changed_document(example(name), marks), stock, Tally(), "")
    marks[("stock",)] = stock
    return {
        view: frozenset(path for path, mark in marks.items() if mark in text)
        for view, text in found.items()
    }


def seen(document: LoadedDocument, note: str, tally: Tally, about: str) -> dict[str, str]:
    """What each page shows, without spaces; what of the words has run is a failure."""
    if not CHROMIUM:
        print("  pages are skipped: no chromium is installed")
        return {}
    with tempfile.TemporaryDirectory() as folder, sync_playwright() as player:
        path = Path(folder) / "hostile.cabinet.yaml"
        path.write_text(document.text, encoding="utf-8", newline="\n")
        ShopStock(stock_address(None, folder=Path(folder) / "data"), who="Ann").add(
            board("C1", place=note, note=note)
        )
        server = Server(Path(folder), path)
        browser = launch(player, "--disable-gpu")
        try:
            page = browser.new_context(viewport={"width": 1280, "height": 900}).new_page()
            page.add_init_script(WATCH)
            wrong: list[str] = []
            page.on("pageerror", lambda error: wrong.append(f"an error: {error}"))
            page.on("request", lambda one: wrong.extend(strange(one.url, server.address)))
            found = {}
            for view, address in addresses(server):
                page.goto(address, timeout=120_000)
                found[view] = ready(page)
                ran = [f"{one} has run" for one in page.evaluate("window.ran")]
                for words in [*ran, *page.evaluate(BRED), *wrong]:
                    tally.fail(f"{about}: {view}", f"{words}\n\n{document.text}")
                wrong.clear()
            return found
        finally:
            browser.close()
            server.kill()


def addresses(server: Server) -> Iterator[tuple[str, str]]:
    """Every page there is."""
    yield "start", server.address + "/"
    for view, _, _ in STEPS:
        yield view, server.desk(view)
    desk = server.desk()
    yield "phone", f"{desk}/step"
    yield "phone: steps", f"{desk}/steps"
    for reading in READINGS:
        yield f"phone: {reading}", f"{desk}/read/{reading}"
    yield "stock entry", f"{server.address}/stock/C1"


def ready(page: Page) -> str:
    """What the page shows once it does not change any more."""
    ends, since, last = time.monotonic() + MOST_S, time.monotonic(), ""
    while time.monotonic() < ends:
        page.wait_for_timeout(250)
        now: Any = page.evaluate(SEEN)
        if now != last:
            last, since = now, time.monotonic()
        elif time.monotonic() - since > STILL_S and "…" not in now[-5:]:
            break
    return bare(last)


def bare(text: str) -> str:
    """Without spaces and line ends, which pages set as they need."""
    return re.sub(r"\s+", "", unicodedata.normalize("NFC", text))


def strange(url: str, own: str) -> list[str]:
    """What is wrong with an address that a page has asked for."""
    where = urlsplit(url)
    if where.scheme in ("data", "blob"):
        return []
    if f"{where.scheme}://{where.netloc}" != own or where.path.endswith("/x"):
        return [f"it asks for {url[:200]}"]
    return []
